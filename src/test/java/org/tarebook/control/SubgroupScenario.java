package org.tarebook.control;

import java.io.IOException;
import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tarebook.chart.Chart;
import org.tarebook.plant.Calendars;
import org.tarebook.plant.Shifts;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow.Row;

/** Readings and the points they make, read from a file that a quality engineer can read. */
final class SubgroupScenario {

  Shifts shifts = Calendars.shifts(ZoneId.of("UTC"), List.of("day", "00:00"));
  Chart.Kind kind = Chart.Kind.INDIVIDUALS;
  int size = 1;
  Unit unit = Unit.ONE;
  final Set<Chart.Stratum> strata = EnumSet.noneOf(Chart.Stratum.class);
  final List<Row> readings = new ArrayList<>();
  final List<String> expected = new ArrayList<>();
  int leftOver = -1;

  static SubgroupScenario read(Path file) throws IOException {
    SubgroupScenario scenario = new SubgroupScenario();
    for (String line : Files.readAllLines(file)) {
      if (!line.isBlank() && !line.startsWith("#")) {
        scenario.take(Arrays.asList(line.strip().split("\\s+")));
      }
    }
    return scenario;
  }

  private void take(List<String> words) {
    switch (words.get(0)) {
      case "chart" -> {
        kind = Chart.Kind.valueOf(words.get(1));
        size = Integer.parseInt(words.get(3));
        unit = Unit.of(words.get(5));
      }
      case "strata" -> words.stream().skip(1).map(Chart.Stratum::valueOf).forEach(strata::add);
      case "shifts" ->
          shifts = Calendars.shifts(ZoneId.of(words.get(1)), words.subList(2, words.size()));
      case "reading" -> readings.add(reading(words));
      case "point" -> expected.add(String.join(" ", words));
      case "left" -> leftOver = Integer.parseInt(words.get(2));
      default -> throw new IllegalStateException("Not understood: " + words);
    }
  }

  private static Row reading(List<String> words) {
    Map<String, String> more = new HashMap<>();
    words.stream().skip(5).forEach(word -> more.put(word.split("=")[0], word.split("=")[1]));
    BigDecimal value = new BigDecimal(words.get(3));
    return new Row(
        Long.parseLong(words.get(1)),
        Instant.parse(words.get(2)),
        more.containsKey("counter") ? Long.valueOf(more.get("counter")) : null,
        Long.parseLong(more.getOrDefault("station", "1")),
        more.containsKey("instrument") ? Long.valueOf(more.get("instrument")) : null,
        more.get("die"),
        more.get("lot"),
        more.get("sample"),
        more.get("operator"),
        Decimals.toNanos(value),
        Decimals.decimals(value),
        Unit.of(words.get(4)));
  }

  Chart.Cut cut() {
    return new Chart.Cut(kind, size, strata, List.of());
  }

  List<Point> points(List<Row> rows) {
    return new Subgrouping(
            shifts, cut(), unit, new StratumNames(strata, id -> "S" + id, id -> "I" + id))
        .points(rows);
  }

  /** A point as the file writes it. */
  String written(Point point) {
    return "point at "
        + point.at()
        + " readings "
        + point.firstReading()
        + ".."
        + point.lastReading()
        + " mean "
        + shown(point.value())
        + point.spread(kind).map(spread -> " spread " + shown(spread)).orElse("")
        + (point.sample() == null ? "" : " sample " + point.sample())
        + (point.stratum().isEmpty() ? "" : " of " + point.stratum());
  }

  private static String shown(double figure) {
    return new BigDecimal(figure)
        .setScale(9, java.math.RoundingMode.HALF_EVEN)
        .stripTrailingZeros()
        .toPlainString();
  }
}
