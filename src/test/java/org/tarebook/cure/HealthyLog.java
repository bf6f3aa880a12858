package org.tarebook.cure;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.DoubleStream;
import java.util.stream.Stream;

/** A part of the log of a healthy load, as recorders of different makes would write it. */
final class HealthyLog {

  static final List<String> CODES = List.of("IT-1", "IT-2", "IT-3", "IT-4", "IP", "RP", "DT", "DP");

  private static final double EVERY = 5;

  private final SyntheticLoad load = new SyntheticLoad();
  private final double from;
  private final double until;

  /** From one second of the load up to, and without, another. */
  HealthyLog(double from, double until) {
    this.from = from;
    this.until = until;
  }

  static HealthyLog whole() {
    return new HealthyLog(0, SyntheticLoad.END + 1);
  }

  String csv() {
    return csv(Stream.concat(Stream.of("at", "step"), CODES.stream()).toList());
  }

  /** With its columns in some order. */
  String csv(List<String> columns) {
    List<String> lines = new ArrayList<>(List.of(String.join(",", columns)));
    for (double at : moments()) {
      lines.add(columns.stream().map(column -> field(column, at)).collect(Collectors.joining(",")));
    }
    return String.join("\n", lines) + "\n";
  }

  String ndjson() {
    StringBuilder lines = new StringBuilder();
    for (double at : moments()) {
      String step = step(at);
      lines.append("{\"at\":\"").append(instant(at)).append("\",\"values\":").append(values(at));
      lines.append(step.isEmpty() ? "}\n" : ",\"step\":\"" + step + "\"}\n");
    }
    return lines.toString();
  }

  String json() {
    List<String> samples = new ArrayList<>();
    List<String> steps = new ArrayList<>();
    for (double at : moments()) {
      samples.add("{\"at\":\"" + instant(at) + "\",\"values\":" + values(at) + "}");
      if (!step(at).isEmpty()) {
        steps.add("{\"at\":\"" + instant(at) + "\",\"step\":\"" + step(at) + "\"}");
      }
    }
    return "{\"steps\":["
        + String.join(",", steps)
        + "],\"samples\":["
        + String.join(",", samples)
        + "]}";
  }

  /** How many samples it holds. */
  int samples() {
    return moments().length * CODES.size();
  }

  private double[] moments() {
    return DoubleStream.iterate(from, at -> at < until, at -> at + EVERY).toArray();
  }

  private String field(String column, double at) {
    return switch (column) {
      case "at" -> instant(at).toString();
      case "step" -> step(at);
      default -> value(column, at);
    };
  }

  private String values(double at) {
    return CODES.stream()
        .map(code -> "\"" + code + "\":" + value(code, at))
        .collect(Collectors.joining(",", "{", "}"));
  }

  String value(String code, double at) {
    return new BigDecimal(load.at(code, at))
        .setScale(code.endsWith("P") ? 2 : 1, RoundingMode.HALF_EVEN)
        .toPlainString();
  }

  static String step(double at) {
    if (at == 0) {
      return "SHAPE";
    } else if (at == SyntheticLoad.SHAPE) {
      return "WATER";
    } else if (at == SyntheticLoad.FLUSH) {
      return "FLUSH";
    } else if (at == SyntheticLoad.DRAIN) {
      return "DRAIN";
    }
    return at == SyntheticLoad.OPEN ? "OPEN" : "";
  }

  static Instant instant(double at) {
    return Instant.parse(CureFloor.START).plusMillis(Math.round(at * 1000));
  }
}
