package org.tarebook.cure;

import java.io.IOException;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.function.DoublePredicate;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.PressLoad;
import org.tarebook.fixtures.ScheduleFloor;
import tools.jackson.databind.JsonNode;

/**
 * A load and what is to be judged of it, read from a file that a curing engineer can read. It
 * starts from a healthy load ({@link SyntheticLoad}); each line changes something or expects
 * something.
 */
final class CureScenario {
  private final SyntheticLoad healthy = new SyntheticLoad();
  private final List<String> pressures = new ArrayList<>();
  private final List<String> about = new ArrayList<>();
  private final Map<String, Map<String, Object>> channels = new LinkedHashMap<>();
  private final Map<String, List<Change>> changes = new HashMap<>();
  private final List<Drop> drops = new ArrayList<>();
  private final Map<String, Double> marks = new LinkedHashMap<>();
  private final List<List<String>> expected = new ArrayList<>();
  private final List<String> extra = new ArrayList<>();
  private final Map<Integer, String> green = new HashMap<>();
  private final Map<Integer, String> built = new HashMap<>();
  private final PlannedCure planned = new PlannedCure();
  private final Map<String, Double> alive = new HashMap<>();
  private final Map<String, Double> reported = new HashMap<>();
  private int[] loaded = {1, 2, 3, 4};
  private double step = 5;
  private double end = SyntheticLoad.END;
  private double piece = 1e9;
  private String order = "in-turn";
  private double backAt = Double.NaN;
  private double backBy;
  private String since = "2026-01-01T00:00:00Z";
  private boolean barometer = true;
  private boolean doubtful;

  private record Change(DoublePredicate when, Altering altering) {}

  private interface Altering {
    double of(double value, double at);
  }

  private record Drop(String channel, double from, double until) {}

  static CureScenario read(Path file, CureFloor floor) throws IOException {
    CureScenario scenario = new CureScenario();
    floor.channels().forEach(one -> scenario.channels.put((String) one.get("code"), one));
    scenario.marks.put("SHAPE", 0.0);
    scenario.marks.put("WATER", SyntheticLoad.SHAPE);
    scenario.marks.put("FLUSH", SyntheticLoad.FLUSH);
    scenario.marks.put("DRAIN", SyntheticLoad.DRAIN);
    scenario.marks.put("OPEN", SyntheticLoad.OPEN);
    for (String line : Files.readAllLines(file)) {
      if (line.startsWith("#")) {
        scenario.about.add(line.substring(1).strip());
      } else if (!line.isBlank()) {
        scenario.take(Arrays.asList(line.strip().split("\\s+")));
      }
    }
    return scenario;
  }

  private void take(List<String> words) {
    String channel = words.size() > 1 ? words.get(1) : "";
    switch (words.get(0)) {
      case "load" -> loaded = words.stream().skip(1).mapToInt(Integer::parseInt).toArray();
      case "every" -> step = number(words, 1);
      case "close" -> end = number(words, 1);
      case "add" -> change(words, channel, (value, at) -> value + number(words, 2));
      case "set" -> change(words, channel, (value, at) -> number(words, 2));
      case "ramp" -> {
        double from = number(words, words.indexOf("from") + 1);
        change(words, channel, (value, at) -> value + number(words, 2) * (at - from) / 60);
      }
      case "scale" -> change(words, channel, (value, at) -> value * number(words, 2));
      case "fahrenheit" -> change(words, channel, (value, at) -> value * 1.8 + 32);
      case "hold" -> {
        double from = number(words, words.indexOf("from") + 1);
        change(words, channel, (value, at) -> original(channel, from));
      }
      case "spike" -> {
        double when = number(words, 2);
        changes
            .computeIfAbsent(channel, code -> new ArrayList<>())
            .add(new Change(at -> at == when, (value, at) -> value + number(words, 3)));
      }
      case "swap" -> {
        String other = words.get(2);
        change(words, channel, (value, at) -> original(other, at));
        change(words, other, (value, at) -> original(channel, at));
      }
      case "drop" -> drops.add(new Drop(channel, from(words), until(words)));
      case "without" -> channels.remove(channel);
      case "twin" ->
          channels.put(
              channel, PressLoad.channel(channel, words.get(2), null, "Cel", List.of(1, 2, 3, 4)));
      case "twin-pressure" -> {
        channels.put(
            channel,
            PressLoad.channel(
                channel,
                "INTERNAL_PRESSURE",
                "SUPPLY",
                "bar",
                List.of(Integer.parseInt(words.get(2)))));
        pressures.add(channel);
      }
      case "channel" -> declare(words);
      case "mark" -> marks.put(channel, number(words, 2));
      case "no-marks" -> marks.clear();
      case "unmarked" -> marks.remove(channel);
      case "pieces" -> {
        piece = number(words, 1);
        order = words.size() > 2 ? words.get(2) : "in-turn";
      }
      case "clock-back" -> {
        backAt = number(words, 1);
        backBy = number(words, 2);
      }
      case "green" -> green.put(Integer.parseInt(channel), words.get(2));
      case "built" -> built.put(Integer.parseInt(channel), words.get(2));
      case "also" -> extra.add(String.join(" ", words.subList(1, words.size())));
      case "schedule-from" -> since = channel;
      case "alive" -> alive.put(channel, number(words, 2));
      case "schedule", "set-point", "kinetics" -> planned.change(words);
      case "doubtful" -> doubtful = true;
      case "no-barometer" -> barometer = false;
      case "expect", "reason", "without-reason", "says" -> expected.add(words);
      default -> throw new IllegalStateException("Not understood: " + words);
    }
  }

  private void declare(List<String> words) {
    Map<String, Object> declared = channels.get(words.get(1));
    for (int i = 2; i < words.size(); i += 2) {
      String value = words.get(i + 1);
      declared.put(
          words.get(i), value.matches("-?[0-9.]+") ? (Object) new BigDecimal(value) : value);
    }
    if (declared.get("accuracy") != null) {
      declared.remove("sensorClass");
    }
  }

  private void change(List<String> words, String channel, Altering altering) {
    double from = from(words);
    double until = until(words);
    List<String> codes =
        channel.equals("IT-*") ? List.of("IT-1", "IT-2", "IT-3", "IT-4") : List.of(channel);
    for (String code : codes) {
      changes
          .computeIfAbsent(code, one -> new ArrayList<>())
          .add(new Change(at -> at >= from && at < until, altering));
    }
  }

  private static double from(List<String> words) {
    return words.contains("from") ? number(words, words.indexOf("from") + 1) : -1e9;
  }

  private static double until(List<String> words) {
    return words.contains("until") ? number(words, words.indexOf("until") + 1) : 1e9;
  }

  private static double number(List<String> words, int at) {
    return Double.parseDouble(words.get(at));
  }

  private double original(String channel, double at) {
    return healthy.at(pressures.contains(channel) ? "IP" : channel, at);
  }

  private double value(String channel, double at) {
    double value = original(channel, at);
    for (Change change : changes.getOrDefault(channel, List.of())) {
      if (change.when().test(at)) {
        value = change.altering().of(value, at);
      }
    }
    return value;
  }

  private boolean dropped(String channel, double at) {
    return drops.stream()
        .anyMatch(
            drop ->
                (drop.channel().equals("*") || drop.channel().equals(channel))
                    && at >= drop.from()
                    && at < drop.until());
  }

  /** Runs the load through the service and gives the verdict. */
  Answer run(CureFloor floor, String key) {
    Map<String, Object> definition = planned.definition(floor);
    (doubtful
            ? floor.planned().doubtful(key, since, definition)
            : floor.planned().revision(key, since, definition))
        .expect(201);
    List<Map<String, Object>> cavities = floor.cavities(loaded);
    green.forEach(
        (cavity, celsius) ->
            cavities.stream()
                .filter(one -> one.get("cavity").equals(cavity))
                .forEach(
                    one -> {
                      one.remove("greenTemperature");
                      if (!celsius.equals("unknown")) {
                        one.put("greenTemperature", ScheduleFloor.quantity(celsius, "Cel"));
                      }
                    }));
    for (Map<String, Object> cavity : cavities) {
      String moment = built.get((Integer) cavity.get("cavity"));
      if ("unknown".equals(moment)) {
        cavity.remove("builtAt");
      } else if (moment != null) {
        cavity.put("builtAt", moment);
      }
    }
    String id =
        floor.start(
            floor.cure(
                "cavities",
                cavities,
                "channels",
                List.copyOf(channels.values()),
                "barometer",
                barometer ? ScheduleFloor.quantity("1013.25", "mbar") : null));
    post(floor, id);
    return floor.close(id, at(end).toString()).expect(201);
  }

  private void post(CureFloor floor, String id) {
    List<String> pieces = pieces();
    if (order.equals("backwards")) {
      Collections.reverse(pieces);
    }
    for (int i = 0; i < pieces.size(); i++) {
      boolean numbered = order.equals("numbered") || order.equals("shuffled");
      String query = "key=p" + i + (numbered ? "&sequence=" + i : "");
      floor.samples(id, query, "text/csv", pieces.get(i)).expect(201);
      if (order.equals("twice")) {
        floor.samples(id, query, "text/csv", pieces.get(i)).expect(200);
        floor.samples(id, "key=again" + i, "text/csv", pieces.get(i)).expect(201);
      }
    }
    for (int i = 0; i < extra.size(); i++) {
      String[] fields = extra.get(i).split(" ");
      floor
          .samples(
              id,
              "key=extra" + i,
              "text/csv",
              "at," + fields[0] + "\n" + at(Double.parseDouble(fields[1])) + "," + fields[2] + "\n")
          .expect(201);
    }
  }

  private List<String> pieces() {
    List<String> pieces = new ArrayList<>();
    StringBuilder lines = new StringBuilder();
    String header = "at,step," + String.join(",", channels.keySet()) + "\n";
    Map<String, String> last = new HashMap<>();
    double begun = 0;
    for (double at = 0; at <= SyntheticLoad.END; at += step) {
      if (at - begun >= piece) {
        pieces.add(header + ordered(lines.toString()));
        lines.setLength(0);
        begun = at;
      }
      lines.append(line(at, last));
    }
    pieces.add(header + ordered(lines.toString()));
    return pieces;
  }

  private String ordered(String lines) {
    if (!order.equals("shuffled")) {
      return lines;
    }
    List<String> rows = new ArrayList<>(lines.lines().toList());
    Collections.shuffle(rows, new Random(7));
    return String.join("\n", rows) + "\n";
  }

  private String line(double at, Map<String, String> last) {
    String mark =
        marks.entrySet().stream()
            .filter(one -> one.getValue() > at - step && one.getValue() <= at)
            .map(Map.Entry::getKey)
            .findFirst()
            .orElse("");
    StringBuilder line =
        new StringBuilder(at(at >= backAt ? at - backBy : at).toString()).append(',').append(mark);
    boolean any = !mark.isEmpty();
    for (Map.Entry<String, Map<String, Object>> channel : channels.entrySet()) {
      String shown = shown(channel.getKey(), at);
      boolean onChange = "ON_CHANGE".equals(channel.getValue().get("recording"));
      boolean silent =
          dropped(channel.getKey(), at)
              || (onChange
                  && shown.equals(last.get(channel.getKey()))
                  && at - reported.getOrDefault(channel.getKey(), -1e9)
                      < alive.getOrDefault(channel.getKey(), 1e9));
      line.append(',').append(silent ? "" : shown);
      any |= !silent;
      last.put(channel.getKey(), shown);
      if (!silent) {
        reported.put(channel.getKey(), at);
      }
    }
    return any ? line.append('\n').toString() : "";
  }

  private String shown(String channel, double at) {
    boolean pressure = channel.endsWith("P") || pressures.contains(channel);
    return new BigDecimal(value(channel, at))
        .setScale(pressure ? 2 : 1, RoundingMode.HALF_EVEN)
        .toPlainString();
  }

  private static Instant at(double seconds) {
    return Instant.parse(CureFloor.START).plusMillis(Math.round(seconds * 1000));
  }

  /** What the verdict has to be, and is not; empty where all is as expected. */
  List<String> failures(JsonNode verdict) {
    return new ExpectedVerdict(expected).failures(verdict);
  }

  @Override
  public String toString() {
    return String.join(" ", about);
  }
}
