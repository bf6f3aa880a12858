package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.chart.Chart;
import org.tarebook.plant.Calendars;
import org.tarebook.plant.Shifts;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow.Row;

class SubgroupingTests {

  private static final Path SCENARIOS = Path.of("src/test/resources/scenarios/subgroups");

  private static final Shifts SHIFTS =
      Calendars.shifts(
          ZoneId.of("Europe/Paris"), List.of("early", "06:00", "late", "14:00", "night", "22:00"));

  static Stream<Path> scenarios() throws IOException {
    try (Stream<Path> files = Files.list(SCENARIOS)) {
      return files.sorted().toList().stream();
    }
  }

  @ParameterizedTest
  @MethodSource("scenarios")
  void readingsMakeThePointsOfTheScenario(Path file) throws IOException {
    SubgroupScenario scenario = SubgroupScenario.read(file);
    List<Row> shuffled = new ArrayList<>(scenario.readings);
    for (int i = 0; i < 5; i++) {
      List<Point> points = scenario.points(shuffled);
      assertThat(points.stream().map(scenario::written))
          .containsExactlyElementsOf(scenario.expected);
      long used = points.stream().mapToLong(point -> point.subgroup().count()).sum();
      assertThat(shuffled.size() - used).isEqualTo(scenario.leftOver);
      Collections.shuffle(shuffled, new Random(i));
    }
  }

  @Test
  void scenariosAreThere() throws IOException {
    assertThat(scenarios()).hasSizeGreaterThan(6);
  }

  @Test
  void everyReadingIsInOnePointOrLeftOverAndPointsNeverMix() {
    Random random = new Random(20260302);
    for (int round = 0; round < 60; round++) {
      int n = 2 + random.nextInt(4);
      List<Row> rows = randomRows(random, 400);
      List<Point> points = cutting(n).points(rows);
      Set<Long> last = points.stream().map(Point::lastReading).collect(Collectors.toSet());
      assertThat(last).hasSize(points.size());
      assertThat(points).isSortedAccordingTo(Comparator.comparing(Point::at));
      for (Point point : points) {
        assertThat(point.subgroup().count()).isEqualTo(n);
        assertThat(point.segment().shift().holds(point.at())).isTrue();
        assertThat(point.segment().shift().holds(point.span().earliest())).isTrue();
        assertThat(point.segment().shift().holds(point.span().latest())).isTrue();
      }
      assertThat(leftOver(rows, points, n)).isTrue();
    }
  }

  /** What is left over of every segment is less than a subgroup. */
  private static boolean leftOver(List<Row> rows, List<Point> points, int n) {
    return rows.stream()
        .collect(Collectors.groupingBy(SubgroupingTests::segment, Collectors.counting()))
        .entrySet()
        .stream()
        .allMatch(
            each ->
                points.stream().filter(point -> point.segment().equals(each.getKey())).count()
                    == each.getValue() / n);
  }

  @Test
  void aLateOrVoidedReadingOfASampleTouchesItsOwnPointOnly() {
    Random random = new Random(9);
    for (int round = 0; round < 100; round++) {
      List<Row> rows = new ArrayList<>();
      for (Row row : randomRows(random, 200)) {
        rows.add(named(row, random.nextInt(4) == 0 ? null : "S-" + random.nextInt(9)));
      }
      List<Point> all = cutting(3).points(rows);
      assertThat(all).isSortedAccordingTo(Comparator.comparing(Point::at));
      Row late =
          rows.stream()
              .filter(row -> row.sample() != null)
              .skip(random.nextInt(50))
              .findFirst()
              .get();
      rows.remove(late);
      List<Point> without = cutting(3).points(rows);
      assertThat(notOf(without, late)).isEqualTo(notOf(all, late));
      Set<Long> own =
          all.stream()
              .filter(point -> of(point, late))
              .flatMap(point -> point.readings().stream())
              .map(Row::id)
              .collect(Collectors.toSet());
      own.remove(late.id());
      Set<Long> left =
          without.stream()
              .filter(point -> of(point, late))
              .flatMap(point -> point.readings().stream())
              .map(Row::id)
              .collect(Collectors.toSet());
      assertThat(left).isEqualTo(own);
    }
  }

  private static List<Point> notOf(List<Point> points, Row row) {
    return points.stream().filter(point -> !of(point, row)).toList();
  }

  private static boolean of(Point point, Row row) {
    return point.segment().equals(segment(row)) && row.sample().equals(point.sample());
  }

  private static Row named(Row row, @Nullable String sample) {
    return new Row(
        row.id(),
        row.measuredAt(),
        null,
        row.stationId(),
        null,
        row.die(),
        null,
        sample,
        null,
        row.nanos(),
        row.decimals(),
        row.unit());
  }

  @Test
  void aLateReadingChangesNoPointOfAnotherSegment() {
    Random random = new Random(7);
    for (int round = 0; round < 60; round++) {
      List<Row> rows = randomRows(random, 300);
      Row late = rows.remove(random.nextInt(rows.size()));
      List<Point> before = cutting(3).points(rows);
      rows.add(late);
      List<Point> after = cutting(3).points(rows);
      Point.Segment segment = segment(late);
      assertThat(others(after, segment)).isEqualTo(others(before, segment));
    }
  }

  private static List<Point> others(List<Point> points, Point.Segment segment) {
    // a late reading may move the time of its station's later ones, never what they are cut into
    return points.stream()
        .filter(point -> !point.segment().equals(segment))
        .filter(point -> !point.segment().shift().equals(segment.shift()))
        .toList();
  }

  @Test
  void theOrderInWhichReadingsComeChangesNothing() {
    Random random = new Random(99);
    for (int round = 0; round < 40; round++) {
      List<Row> rows = randomRows(random, 200);
      List<Point> points = cutting(4).points(rows);
      Collections.shuffle(rows, random);
      assertThat(cutting(4).points(rows)).isEqualTo(points);
    }
  }

  @Test
  void stationsCountersDecideTheOrderOfTheirReadings() {
    Random random = new Random(5);
    for (int round = 0; round < 40; round++) {
      List<Row> rows = randomRows(random, 200);
      Chart.Cut cut = new Chart.Cut(Chart.Kind.INDIVIDUALS, 1, Set.of(), List.of());
      List<Point> points = new Subgrouping(SHIFTS, cut, Unit.KILOGRAM, row -> "").points(rows);
      for (long station = 1; station <= 2; station++) {
        long own = station;
        Set<Long> ids =
            rows.stream()
                .filter(row -> row.stationId() == own && row.counter() != null)
                .map(Row::id)
                .collect(Collectors.toSet());
        Set<Shifts.Occurrence> seen = new HashSet<>();
        long counter = -1;
        for (Point point : points) {
          if (ids.contains(point.lastReading())) {
            long next =
                rows.stream()
                    .filter(row -> row.id() == point.lastReading())
                    .findFirst()
                    .orElseThrow()
                    .counter();
            if (seen.add(point.segment().shift())) {
              counter = -1;
            }
            assertThat(next).isGreaterThanOrEqualTo(counter);
            counter = next;
          }
        }
      }
    }
  }

  @Test
  void strataWithOddValuesNeverShareAName() {
    StratumNames names =
        new StratumNames(
            Set.of(Chart.Stratum.DIE, Chart.Stratum.LOT), id -> "S" + id, id -> "I" + id);
    assertThat(names.apply(row(1, null, null))).isEqualTo("DIE= LOT=");
    assertThat(names.apply(row(2, "D7", "A"))).isEqualTo("DIE=D7 LOT=A");
    assertThat(names.apply(row(3, "D7 LOT=A", null))).isEqualTo("DIE=\"D7 LOT=A\" LOT=");
    assertThat(names.apply(row(4, "a\"b", "x"))).isEqualTo("DIE=\"a\"\"b\" LOT=x");
  }

  private static Subgrouping cutting(int n) {
    Chart.Cut cut = new Chart.Cut(Chart.Kind.XBAR_R, n, Set.of(Chart.Stratum.DIE), List.of());
    return new Subgrouping(
        SHIFTS, cut, Unit.KILOGRAM, new StratumNames(cut.strata(), id -> "S" + id, id -> "I" + id));
  }

  private static Point.Segment segment(Row row) {
    return new Point.Segment("DIE=" + row.die(), row.unit(), SHIFTS.at(row.measuredAt()));
  }

  private static Row row(long id, String die, String lot) {
    return new Row(
        id, Instant.EPOCH, null, 1, null, die, lot, null, null, 4_000_000_000L, 3, Unit.KILOGRAM);
  }

  private static List<Row> randomRows(Random random, int count) {
    Instant start = Instant.parse("2026-03-28T18:00:00Z"); // the clocks change in this night
    List<Row> rows = new ArrayList<>();
    long[] counters = new long[3];
    for (int i = 0; i < count; i++) {
      int station = 1 + random.nextInt(2);
      Instant at = start.plusSeconds(random.nextInt(40) * 3600L / 2 + random.nextInt(5));
      rows.add(
          new Row(
              i + 1,
              at,
              random.nextInt(4) == 0 ? null : (Long) (counters[station]++ / 2),
              station,
              null,
              random.nextBoolean() ? "D1" : "D2",
              null,
              null,
              null,
              4_000_000_000L + random.nextInt(1000) * 1_000_000L,
              3,
              random.nextInt(5) == 0 ? Unit.GRAM : Unit.KILOGRAM));
    }
    return rows;
  }
}
