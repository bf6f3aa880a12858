package org.tarebook.rejects;

import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.stats.Overdispersion;
import org.tarebook.stats.Proportion;

/**
 * Counts rejects once more, from all rows of the record and the clock of Berlin, by the words of
 * the definition and without any of the feature's own code. Slow and simple.
 */
final class Recount {

  private static final ZoneId BERLIN = ZoneId.of("Europe/Berlin");

  /** Codes stand in their order: line, component, product, station, die, shift. */
  private record Row(
      long id,
      ZonedDateTime at,
      String item,
      String characteristic,
      String[] codes,
      String result,
      @Nullable String direction,
      String state,
      boolean suspect) {

    String state(RateQuestion question) {
      return suspect && state.equals("IN") && !question.includeSuspect() ? "SUSPECT" : state;
    }
  }

  private final List<Row> rows = new ArrayList<>();

  Recount(JdbcClient sql) {
    Map<Long, List<Map<String, Object>>> causes = by(sql, "uncounted", "until_version is null");
    Map<Long, List<Map<String, Object>>> successors = by(sql, "successor_result", "1 = 1");
    List<Map<String, Object>> all =
        sql.sql(
                """
                select r.*, c.code as characteristic, s.code as station, l.code as line,
                  co.code as component, p.code as product
                from reading r join characteristic c on c.id = r.characteristic_id
                join station s on s.id = r.station_id join line l on l.id = s.line_id
                left join component co on co.id = c.component_id
                left join product p on p.id = c.product_id
                """)
            .query()
            .listOfRows();
    Map<Object, Object> labelOfEvent = new HashMap<>();
    all.forEach(row -> labelOfEvent.put(row.get("event_id"), row.get("item_label")));
    for (Map<String, Object> row : all) {
      long id = (Long) row.get("id");
      boolean declared = row.get("remeasures_key") != null;
      Object label =
          row.get("item_label") != null && !declared
              ? row.get("item_label")
              : labelOfEvent.get(row.get("root_event_id"));
      Map<String, Object> judged =
          successors.getOrDefault(id, List.of()).stream()
              .max(Comparator.comparing(later -> ((Number) later.get("sequence")).intValue()))
              .orElse(row);
      String result = (String) judged.get("result");
      Set<String> own = new TreeSet<>();
      causes.getOrDefault(id, List.of()).forEach(cause -> own.add((String) cause.get("cause")));
      ZonedDateTime at =
          ((OffsetDateTime) instant(row.get("measured_at"))).atZoneSameInstant(BERLIN);
      rows.add(
          new Row(
              id,
              at,
              label == null ? "#" + row.get("root_event_id") : "!" + label,
              (String) row.get("characteristic"),
              new String[] {
                text(row.get("line")),
                text(row.get("component")),
                text(row.get("product")),
                text(row.get("station")),
                text(row.get("die")),
                shift(at)
              },
              result,
              (String) judged.get("direction"),
              state(own, result),
              own.contains("INSTRUMENT_FAILED") || own.contains("INSTRUMENT_SUSPECT")));
    }
    rows.sort(Comparator.comparing((Row row) -> row.at().toInstant()).thenComparing(Row::id));
  }

  private static Map<Long, List<Map<String, Object>>> by(
      JdbcClient sql, String table, String which) {
    Map<Long, List<Map<String, Object>>> found = new HashMap<>();
    sql.sql("select * from " + table + " where " + which)
        .query()
        .listOfRows()
        .forEach(
            row ->
                found
                    .computeIfAbsent((Long) row.get("reading_id"), id -> new ArrayList<>())
                    .add(row));
    return found;
  }

  private static Object instant(Object value) {
    return value instanceof java.sql.Timestamp stamp
        ? stamp.toInstant().atOffset(ZoneOffset.UTC)
        : value;
  }

  private static String text(@Nullable Object value) {
    return value == null ? "" : (String) value;
  }

  private static String state(Set<String> causes, String result) {
    for (String cause : List.of("VOIDED", "REPLACED")) {
      if (causes.contains(cause)) {
        return cause;
      }
    }
    if (causes.contains("NO_VALUE")) {
      return "NOT_JUDGED";
    }
    return causes.contains("NOT_RUNNING")
        ? "NOT_RUNNING"
        : result.equals("NOT_JUDGED") ? "NOT_JUDGED" : "IN";
  }

  private static String shift(ZonedDateTime at) {
    int hour = at.getHour();
    return hour < 6 || hour >= 22 ? "night" : hour < 14 ? "early" : "late";
  }

  private static LocalDate day(ZonedDateTime at) {
    return at.getHour() < 6 ? at.toLocalDate().minusDays(1) : at.toLocalDate();
  }

  private static String bucket(Bucket bucket, ZonedDateTime at) {
    return switch (bucket) {
      case NONE -> "";
      case HOUR -> at.format(DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:'00'xxx"));
      case SHIFT -> day(at) + " " + shift(at);
      case DAY -> day(at).toString();
      case WEEK -> day(at).format(DateTimeFormatter.ofPattern("YYYY-'W'ww", Locale.GERMANY));
    };
  }

  /** What was counted of a group. */
  private static final class Count {
    private final Map<String, Long> numbers = new HashMap<>();
    private final Map<String, long[]> shifts = new TreeMap<>();

    void add(String name) {
      numbers.merge(name, 1L, Long::sum);
    }

    void add(String day, int place) {
      shifts.computeIfAbsent(day, none -> new long[3])[place]++;
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
    Set<String> reasons = new TreeSet<>();
    Map<String, Map<String, Count>> groups = new TreeMap<>();
    count(question, asked, part, row -> group(question, row), groups, reasons);
    Map<String, Map<String, Count>> total = new TreeMap<>();
    count(question, asked, whole, row -> "total", total, new TreeSet<>());
    boolean apart = by.contains(Dimension.REASON) || by.contains(Dimension.DIRECTION);
    Map<String, String> told = new LinkedHashMap<>();
    groups.forEach(
        (group, counts) -> {
          for (String reason : apart ? reasons : Set.of("")) {
            told.put(group + " " + reason, tell(question, counts, reason));
          }
        });
    told.put("total", tell(question, total.getOrDefault("total", Map.of()), ""));
    return told;
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
        count.add("READINGS");
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
            of(groups, toGroup.apply(again), "").add("REMEASURED");
          }
        }
      }
      if (in.isEmpty() || !wanted(question, in.get(0))) {
        continue;
      }
      String group = toGroup.apply(in.get(0));
      String occurrence = day(in.get(0).at()) + " " + shift(in.get(0).at());
      Count count = of(groups, group, "");
      count.add("JUDGED");
      count.add(occurrence, 0);
      if (conditional && last.isEmpty()) {
        count.add("CONDITIONAL");
      }
      if (hasty) {
        count.add("HASTY");
      }
      if (suspect) {
        count.add("JUDGED_SUSPECT");
      }
      first.forEach((r, weak) -> fail(of(groups, group, r), "FIRST", weak, occurrence, 2));
      last.forEach((r, weak) -> fail(of(groups, group, r), "LAST", weak, occurrence, 1));
      reasons.addAll(first.keySet());
      reasons.addAll(last.keySet());
    }
    reasons.remove("");
  }

  private static void fail(
      Count count, String name, boolean suspect, String occurrence, int place) {
    count.add(name);
    if (suspect) {
      count.add(name + "_SUSPECT");
    }
    count.add(occurrence, place);
  }

  private static Set<String> failure(RateQuestion question, Row row) {
    if (!row.result().equals("FAIL")) {
      return Set.of();
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
            "JUDGED_SUSPECT")) {
      told.add(all.numbers.getOrDefault(name, 0L));
    }
    for (String name : List.of("LAST", "FIRST", "LAST_SUSPECT", "FIRST_SUSPECT")) {
      told.add(failed.numbers.getOrDefault(name, 0L));
    }
    for (int place = 1; place <= 2; place++) {
      List<Proportion.Count> shifts = new ArrayList<>();
      for (Map.Entry<String, long[]> shift : all.shifts.entrySet()) {
        long[] fails = failed.shifts.getOrDefault(shift.getKey(), new long[3]);
        shifts.add(new Proportion.Count(fails[place], shift.getValue()[0]));
      }
      told.add(figures(shifts, question.confidence()));
    }
    return told.toString();
  }

  private static List<Object> figures(List<Proportion.Count> shifts, double confidence) {
    if (shifts.isEmpty()) {
      return List.of("nothing");
    }
    long x = shifts.stream().mapToLong(Proportion.Count::counted).sum();
    long n = shifts.stream().mapToLong(Proportion.Count::total).sum();
    List<Object> told =
        new ArrayList<>(
            Arrays.asList(
                (double) x / n, Proportion.wilson(new Proportion.Count(x, n), confidence)));
    if (shifts.size() > 1) {
      Overdispersion spread = Overdispersion.of(shifts).orElseThrow();
      told.addAll(List.of(spread.dispersion(), shifts.size(), spread.interval(confidence)));
    }
    return told;
  }
}
