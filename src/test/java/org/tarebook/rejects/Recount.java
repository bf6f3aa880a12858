package org.tarebook.rejects;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Function;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.stats.ClusteredShare;
import org.tarebook.stats.Overdispersion;
import org.tarebook.stats.Proportion;

/**
 * Counts rejects once more, from all rows of the record and the clock of Berlin, by the words of
 * the definition and without any of the feature's own code. Slow and simple.
 */
final class Recount {

  private final List<Row> rows;

  Recount(JdbcClient sql) {
    rows = Row.all(sql);
  }

  private static LocalDate day(ZonedDateTime at) {
    return at.getHour() < 6 ? at.toLocalDate().minusDays(1) : at.toLocalDate();
  }

  private static String bucket(Bucket bucket, ZonedDateTime at) {
    return switch (bucket) {
      case NONE -> "";
      case HOUR -> at.format(DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:'00'xxx"));
      case SHIFT -> day(at) + " " + Row.shift(at);
      case DAY -> day(at).toString();
      case WEEK -> day(at).format(DateTimeFormatter.ofPattern("YYYY-'W'ww", Locale.GERMANY));
    };
  }

  /** What was counted of a group. */
  private static final class Count {
    private final Map<String, Long> numbers = new HashMap<>();
    private final Map<String, long[]> shifts = new TreeMap<>();
    private final Map<String, long[]> loads = new TreeMap<>();

    void add(String name) {
      numbers.merge(name, 1L, Long::sum);
    }

    void add(String day, String load, int place) {
      shifts.computeIfAbsent(day, none -> new long[3])[place]++;
      loads.computeIfAbsent(load, none -> new long[3])[place]++;
    }
  }

  /** Every row of an answer as text, by what it stands for; the total stands for "total". */
  Map<String, String> answer(RateQuestion question) {
    List<Row> asked = rows.stream().filter(row -> fits(question, row)).toList();
    Set<Dimension> by = question.groupBy();
    boolean lines =
        by.contains(Dimension.LINE)
            || by.contains(Dimension.STATION)
            || by.contains(Dimension.DIE)
            || question.narrowing().die() != null;
    Function<Row, String> part =
        row ->
            (lines ? row.codes()[0] : "")
                + "|"
                + (by.contains(Dimension.COMPONENT) ? row.codes()[1] : "")
                + "|"
                + (by.contains(Dimension.PRODUCT) ? row.codes()[2] : "");
    Function<Row, String> whole = row -> question.narrowing().die() != null ? row.codes()[0] : "";
    Map<String, Map<String, Count>> groups = new TreeMap<>();
    Set<String> reasons = new TreeSet<>();
    count(question, asked, part, row -> group(question, row), groups, reasons);
    Map<String, Set<String>> possible = possible(question, asked, groups, reasons);
    everyBucket(question, groups);
    Map<String, Map<String, Count>> total = new TreeMap<>();
    count(question, asked, whole, row -> "total", total, new TreeSet<>());
    boolean apart = by.contains(Dimension.REASON) || by.contains(Dimension.DIRECTION);
    boolean sides = apart && !by.contains(Dimension.REASON);
    Map<String, String> told = new LinkedHashMap<>();
    groups.forEach(
        (group, counts) -> {
          Set<String> own = possible.getOrDefault(anyTime(group), Set.of());
          for (String reason : apart && !own.isEmpty() ? own : Set.of(sides ? "- -" : "")) {
            told.put(group + " " + reason, tell(question, counts, reason));
          }
        });
    told.put("total", tell(question, total.getOrDefault("total", Map.of()), ""));
    return told;
  }

  private static String anyTime(String group) {
    return group.substring(0, group.lastIndexOf('|'));
  }

  /** Reasons that a group shows at any time, and those whose characteristic was judged in it. */
  private static Map<String, Set<String>> possible(
      RateQuestion question,
      List<Row> asked,
      Map<String, Map<String, Count>> groups,
      Set<String> reasons) {
    Map<String, Set<String>> possible = new HashMap<>();
    groups.forEach(
        (group, counts) -> {
          Set<String> own = possible.computeIfAbsent(anyTime(group), none -> new TreeSet<>());
          own.addAll(counts.keySet());
          own.remove("");
        });
    for (Row row : asked) {
      if (wanted(question, row) && row.state(question).equals("IN")) {
        for (String reason : reasons) {
          boolean about =
              row.load() != null
                  ? reason.equals("- -") || reason.contains("cure ")
                  : question.groupBy().contains(Dimension.REASON)
                      ? reason.contains(" " + row.characteristic() + " ")
                      : !reason.equals("- -");
          if (about) {
            possible.get(anyTime(group(question, row))).add(reason);
          }
        }
      }
    }
    return possible;
  }

  /** Groups of a question in every bucket of its window, quarter by quarter of an hour. */
  private static void everyBucket(RateQuestion question, Map<String, Map<String, Count>> groups) {
    if (question.bucket() == Bucket.NONE) {
      return;
    }
    Set<String> anyTime = new TreeSet<>();
    groups.keySet().forEach(group -> anyTime.add(anyTime(group)));
    if (question.groupBy().stream().allMatch(each -> each.ordinal() >= 6)) {
      anyTime.add("|||||");
    }
    Instant end = question.measuredBefore().minusNanos(1000);
    for (Instant at = question.measuredFrom(); ; at = at.plusSeconds(900)) {
      ZonedDateTime moment = (at.isAfter(end) ? end : at).atZone(Row.BERLIN);
      String shift = Row.shift(moment);
      String asked = question.narrowing().shift();
      for (String group : anyTime) {
        String of = group.substring(group.lastIndexOf('|') + 1);
        if ((asked == null || asked.equals(shift)) && (of.isEmpty() || of.equals(shift))) {
          groups.computeIfAbsent(
              group + "|" + bucket(question.bucket(), moment), none -> new HashMap<>());
        }
      }
      if (!at.isBefore(end)) {
        return;
      }
    }
  }

  private static boolean fits(RateQuestion question, Row row) {
    RateQuestion.Narrowing n = question.narrowing();
    return (n.line() == null || n.line().equals(row.codes()[0]))
        && (n.component() == null || n.component().equals(row.codes()[1]))
        && (n.product() == null || n.product().equals(row.codes()[2]))
        && (n.station() == null || n.station().startsWith(row.codes()[0]))
        && (n.characteristic() == null || n.characteristic().equals(row.characteristic()));
  }

  private static boolean wanted(RateQuestion question, Row row) {
    RateQuestion.Narrowing n = question.narrowing();
    Instant at = row.at().toInstant();
    return !at.isBefore(question.measuredFrom())
        && at.isBefore(question.measuredBefore())
        && (n.station() == null || n.station().equals(row.codes()[3]))
        && (n.die() == null || n.die().equals(row.codes()[4]))
        && (n.shift() == null || n.shift().equals(row.codes()[5]));
  }

  private static String group(RateQuestion question, Row row) {
    List<String> members = new ArrayList<>();
    Dimension[] places = Dimension.values();
    for (int i = 0; i < 6; i++) {
      members.add(question.groupBy().contains(places[i]) ? row.codes()[i] : "");
    }
    members.add(bucket(question.bucket(), row.at()));
    return String.join("|", members);
  }

  private static void count(
      RateQuestion question,
      List<Row> asked,
      Function<Row, String> toPart,
      Function<Row, String> toGroup,
      Map<String, Map<String, Count>> groups,
      Set<String> reasons) {
    Map<String, List<Row>> items = new LinkedHashMap<>();
    for (Row row : asked) {
      items
          .computeIfAbsent(row.item() + " on " + toPart.apply(row), i -> new ArrayList<>())
          .add(row);
      if (wanted(question, row)) {
        Count count = of(groups, toGroup.apply(row), "");
        count.add(row.load() == null ? "READINGS" : "CAVITIES");
        count.add(row.state(question));
      }
    }
    for (List<Row> item : items.values()) {
      List<Row> in = item.stream().filter(row -> row.state(question).equals("IN")).toList();
      Set<String> names = new TreeSet<>(in.stream().map(Row::characteristic).toList());
      Map<String, Boolean> first = new TreeMap<>();
      Map<String, Boolean> last = new TreeMap<>();
      boolean suspect = false;
      boolean conditional = false;
      boolean hasty = false;
      for (String name : names) {
        List<Row> chain = in.stream().filter(row -> row.characteristic().equals(name)).toList();
        Row one = chain.get(0);
        Row end = chain.get(chain.size() - 1);
        suspect |= one.suspect() || end.suspect();
        for (String reason : failure(question, one)) {
          first.put(reason, one.suspect() && first.getOrDefault(reason, true));
        }
        for (String reason : failure(question, end)) {
          last.put(reason, end.suspect() && last.getOrDefault(reason, true));
        }
        conditional |= end.result().equals("CONDITIONAL");
        for (int i = 1; i < chain.size(); i++) {
          Row again = chain.get(i);
          hasty |=
              chain.get(i - 1).result().equals("FAIL")
                  && again.result().equals("PASS")
                  && !again.at().isAfter(chain.get(i - 1).at().plusMinutes(2));
          if (wanted(question, again)) {
            of(groups, toGroup.apply(again), "")
                .add(again.load() == null ? "REMEASURED" : "CURED_AGAIN");
          }
        }
      }
      if (in.isEmpty() || !wanted(question, in.get(0))) {
        continue;
      }
      String group = toGroup.apply(in.get(0));
      String occurrence = day(in.get(0).at()) + " " + Row.shift(in.get(0).at());
      Count count = of(groups, group, "");
      count.add("JUDGED");
      String load =
          in.stream()
              .filter(row -> row.load() != null)
              .findFirst()
              .map(row -> "load " + row.load())
              .orElse("item " + in.get(0).item() + in.get(0).id());
      count.add(occurrence, load, 0);
      if (conditional && last.isEmpty()) {
        count.add("CONDITIONAL");
      }
      if (hasty) {
        count.add("HASTY");
      }
      if (suspect) {
        count.add("JUDGED_SUSPECT");
      }
      first.forEach((r, weak) -> fail(of(groups, group, r), "FIRST", weak, occurrence, load, 2));
      last.forEach((r, weak) -> fail(of(groups, group, r), "LAST", weak, occurrence, load, 1));
      reasons.addAll(first.keySet());
      reasons.addAll(last.keySet());
    }
    reasons.remove("");
  }

  private static void fail(
      Count count, String name, boolean suspect, String occurrence, String load, int place) {
    count.add(name);
    if (suspect) {
      count.add(name + "_SUSPECT");
    }
    count.add(occurrence, load, place);
  }

  private static Set<String> failure(RateQuestion question, Row row) {
    if (!row.result().equals("FAIL")) {
      return Set.of();
    }
    if (row.load() != null) {
      Set<String> told = new TreeSet<>(Set.of(""));
      if (!question.groupBy().contains(Dimension.REASON)
          && question.groupBy().contains(Dimension.DIRECTION)) {
        told.add("- -");
      }
      if (question.groupBy().contains(Dimension.REASON)) {
        row.breaches().forEach(code -> told.add("- cure " + code));
      }
      return told;
    }
    boolean mass = row.characteristic().endsWith("MASS");
    boolean below = "BELOW".equals(row.direction());
    String word = mass ? (below ? "light" : "heavy") : below ? "below" : "above";
    String told =
        (question.groupBy().contains(Dimension.DIRECTION) ? row.direction() : "-")
            + " "
            + (question.groupBy().contains(Dimension.REASON)
                ? row.characteristic() + " " + word
                : "-");
    return told.equals("- -") ? Set.of("") : Set.of("", told);
  }

  private static Count of(Map<String, Map<String, Count>> groups, String group, String reason) {
    return groups
        .computeIfAbsent(group, none -> new HashMap<>())
        .computeIfAbsent(reason, none -> new Count());
  }

  private static String tell(RateQuestion question, Map<String, Count> counts, String reason) {
    Count all = counts.getOrDefault("", new Count());
    Count failed = counts.getOrDefault(reason, new Count());
    List<Object> told = new ArrayList<>();
    for (String name :
        List.of(
            "JUDGED",
            "CONDITIONAL",
            "HASTY",
            "READINGS",
            "REMEASURED",
            "NOT_JUDGED",
            "VOIDED",
            "REPLACED",
            "SUSPECT",
            "NOT_RUNNING",
            "JUDGED_SUSPECT",
            "CAVITIES",
            "CURED_AGAIN",
            "CURE_NOT_JUDGED",
            "CURE_WITHOUT_LOG")) {
      told.add(all.numbers.getOrDefault(name, 0L));
    }
    for (String name : List.of("LAST", "FIRST", "LAST_SUSPECT", "FIRST_SUSPECT")) {
      told.add(failed.numbers.getOrDefault(name, 0L));
    }
    for (int place = 1; place <= 2; place++) {
      told.add(
          figures(
              shares(all.shifts, failed.shifts, place),
              shares(all.loads, failed.loads, place),
              question.confidence()));
    }
    return told.toString();
  }

  private static List<Proportion.Count> shares(
      Map<String, long[]> all, Map<String, long[]> failed, int place) {
    List<Proportion.Count> shares = new ArrayList<>();
    all.forEach(
        (name, judged) ->
            shares.add(
                new Proportion.Count(failed.getOrDefault(name, new long[3])[place], judged[0])));
    return shares;
  }

  private static List<Object> figures(
      List<Proportion.Count> shifts, List<Proportion.Count> loads, double confidence) {
    if (shifts.isEmpty()) {
      return List.of("nothing");
    }
    long x = shifts.stream().mapToLong(Proportion.Count::counted).sum();
    long n = shifts.stream().mapToLong(Proportion.Count::total).sum();
    List<Object> told =
        new ArrayList<>(
            Arrays.asList(
                (double) x / n, Proportion.wilson(new Proportion.Count(x, n), confidence)));
    Optional<ClusteredShare> clustered = ClusteredShare.of(loads, Optional.empty());
    if (clustered.isPresent()) {
      Optional<Double> effective = clustered.get().effectiveTotal(confidence);
      told.set(
          1,
          effective.isEmpty()
              ? "one load"
              : Proportion.wilson((double) x / n, effective.get(), confidence));
      told.add(effective.isEmpty() ? "one load" : effective.get());
    }
    if (shifts.size() > 1) {
      Overdispersion spread = Overdispersion.of(shifts).orElseThrow();
      told.addAll(
          List.of(
              spread.dispersion(),
              shifts.size(),
              spread.interval(
                  confidence, clustered.map(ClusteredShare::designEffect).orElse(1.0))));
    }
    return told;
  }
}
