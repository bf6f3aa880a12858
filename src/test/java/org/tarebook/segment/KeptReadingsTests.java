package org.tarebook.segment;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Charts;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.ChartedWindows;
import org.tarebook.control.KeptReadings;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.CopiedRows;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.storage.Transactions;

/** What is kept of shifts is what the record holds, wherever a window begins and ends. */
@OnBothDatabases
class KeptReadingsTests {

  private static final Instant FROM = Instant.parse("2025-03-01T12:00:00Z");

  private final RunningTarebook tarebook;
  private final SegmentBuilder builder;
  private final ChartedWindows windows;
  private final KeptReadings kept;
  private final Transactions transactions;

  KeptReadingsTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.builder = tarebook.bean(SegmentBuilder.class);
    this.windows = tarebook.bean(ChartedWindows.class);
    this.kept = tarebook.bean(KeptReadings.class);
    this.transactions = tarebook.bean(Transactions.class);
  }

  /** A chart with one reading a day, at noon, and the ids of its readings. */
  private record Daily(ChartBench bench, Chart chart, List<Long> ids) {}

  private Daily daily(int days) {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    List<String> values =
        IntStream.range(0, days).mapToObj(day -> "4." + (300 + day % 100)).toList();
    bench.postAll(values, "kg", FROM, Duration.ofDays(1));
    Chart chart = tarebook.bean(Charts.class).get(bench.chart());
    List<Long> ids =
        tarebook
            .sql()
            .sql("select id from reading where chart_id = ? order by measured_at")
            .param(chart.id())
            .query(Long.class)
            .list();
    builder.build(chart);
    return new Daily(bench, chart, ids);
  }

  private void voided(Daily daily, int day) {
    daily
        .bench()
        .engineer()
        .post(
            "/api/v1/readings/" + daily.ids().get(day) + "/amendments",
            json("key", Codes.fresh("V"), "kind", "VOID", "reason", "A hand on the scale"))
        .expect(201);
  }

  /** Compares a window read from what is kept with one from the record; tells stretches unkept. */
  private List<KeptReadings.Stretch> sameAsTheRecord(Chart chart, Instant from, Instant before) {
    Plan plan = tarebook.bean(Plans.class).current();
    ReadingWindow.Asked asked = new ReadingWindow.Asked(chart, from, before);
    return transactions.snapshot(
        () -> {
          ChartedWindow record = windows.readRecord(plan, asked);
          assertThat(windows.read(plan, asked, null)).isEqualTo(record);
          assertThat(windows.pointsWithin(plan, asked, null)).isEqualTo(record.points());
          List<KeptReadings.Stretch> unkept = new ArrayList<>();
          kept.read(
              plan,
              asked.over(
                  plan.shifts().at(from).from(),
                  plan.shifts().at(before.minusNanos(1000)).before()),
              stretch -> {
                if (stretch.readings() == null) {
                  unkept.add(stretch);
                }
              });
          return unkept;
        });
  }

  @Test
  void shiftsAreReadPageByPage() {
    for (int days : List.of(1, SegmentStore.PAGE, SegmentStore.PAGE + 1, 2 * SegmentStore.PAGE)) {
      Daily daily = daily(days);
      Instant end = FROM.plus(Duration.ofDays(days));
      assertThat(sameAsTheRecord(daily.chart(), FROM, end.minusSeconds(86_399))).isEmpty();
      assertThat(sameAsTheRecord(daily.chart(), FROM.minusSeconds(1), end)).hasSizeLessThan(2);
    }
  }

  @Test
  void staleShiftsAtTheEndsOfAPageAreReadFromTheRecord() {
    Daily daily = daily(SegmentStore.PAGE + 6);
    Instant end = FROM.plus(Duration.ofDays(SegmentStore.PAGE + 6L));
    for (int day : List.of(0, SegmentStore.PAGE - 1, SegmentStore.PAGE, SegmentStore.PAGE + 5)) {
      voided(daily, day);
    }
    assertThat(sameAsTheRecord(daily.chart(), FROM, end)).hasSize(3);
    builder.build(daily.chart());
    assertThat(sameAsTheRecord(daily.chart(), FROM, end)).hasSizeLessThan(2);
  }

  @Test
  void windowsMayBeginAndEndAnywhere() {
    Daily daily = daily(40);
    Random random = new Random(64);
    for (int i = 0; i < 40; i++) {
      Instant from = FROM.plus(Duration.ofDays(random.nextInt(30)));
      Instant before = from.plus(Duration.ofHours(12L * (1 + random.nextInt(20))));
      long micros = random.nextInt(3) - 1L;
      assertThat(sameAsTheRecord(daily.chart(), from.plusNanos(1000 * micros), before))
          .hasSizeLessThan(2);
    }
  }

  /** Summaries prove nothing of the record: a kept study is computed again from readings. */
  @Test
  void aKeptStudyIsComputedAgainFromReadingsNotFromSummaries() {
    Daily daily = daily(60);
    String code = Codes.fresh("CAP");
    daily
        .bench()
        .engineer()
        .post(
            "/api/v1/kept-studies",
            json(
                "key",
                code,
                "code",
                code,
                "reason",
                "r",
                "chart",
                daily.chart().code(),
                "measuredFrom",
                FROM.minus(Duration.ofDays(1)).toString(),
                "measuredBefore",
                FROM.plus(Duration.ofDays(70)).toString()))
        .expect(201);
    String path = "/api/v1/kept-studies/" + code + "/again";
    Answer quiet = daily.bench().engineer().get(path).expect(200);
    assertThat(quiet.at("/same").asBoolean()).isTrue();
    assertThat(quiet.at("/fromReadings").asBoolean()).isTrue();

    tarebook
        .sql()
        .sql("update reading set net_value = net_value + 0.5 where id = ?")
        .param(daily.ids().get(7))
        .update();
    Answer altered = daily.bench().engineer().get(path).expect(200);
    assertThat(altered.at("/same").asBoolean()).isFalse();
    assertThat(altered.at("/differences").toString()).contains("\"/mean\"", "RECORD");
  }

  @Test
  void theReadingsOfAShiftThatHasTooManyAreNotKept() {
    Daily daily = daily(2);
    builder.forget(daily.chart());
    CopiedRows.repeatReading(tarebook, daily.ids().get(0), 40_000);
    builder.build(daily.chart());
    List<KeptReadings.Stretch> unkept =
        sameAsTheRecord(daily.chart(), FROM, FROM.plus(Duration.ofDays(1)).plusSeconds(1));
    assertThat(unkept).hasSize(1);
    assertThat(unkept.get(0).before()).isBefore(FROM.plus(Duration.ofDays(1)));
    SegmentCheck.Found found = tarebook.bean(SegmentCheck.class).check(daily.chart());
    assertThat(found.segments()).isEqualTo(2);
    assertThat(found.differences()).isEmpty();
  }

  @Test
  void whatAnOlderCopyLeavesBesideAStaleSegmentIsNotUsed() {
    Daily daily = daily(5);
    tarebook
        .sql()
        .sql(
            "update segment set stale = true, changed_version = null, content = null"
                + " where chart_id = ?")
        .param(daily.chart().id())
        .update();
    Instant end = FROM.plus(Duration.ofDays(5));
    assertThat(sameAsTheRecord(daily.chart(), FROM, end)).hasSize(1);
  }

  @Test
  void whatIsLookedUpForManyChartsIsWhatEachOfThemHas() {
    List<Chart> charts = List.of(daily(100).chart(), daily(70).chart(), daily(3).chart());
    SegmentStore store = tarebook.bean(SegmentStore.class);
    Plan plan = tarebook.bean(Plans.class).current();
    Random random = new Random(65);
    for (int i = 0; i < 60; i++) {
      Instant from = FROM.plus(Duration.ofHours(12L * random.nextInt(150)));
      Instant before = from.plus(Duration.ofHours(12L * (1 + random.nextInt(150))));
      BuiltSegments built =
          new BuiltSegments(
              store, plan.shifts(), charts.stream().map(Chart::id).toList(), from, before);
      for (Chart chart : charts) {
        assertThat(built.edge(chart.id())).isEqualTo(store.edge(chart.id()));
        assertThat(starts(built.shifts(new ReadingWindow.Asked(chart, from, before))))
            .isEqualTo(store.starts(chart.id(), Segment.Span.SHIFT, from, before));
        assertThat(starts(built.months(chart.id())))
            .isEqualTo(
                starts(
                    store.find(chart.id(), Segment.Span.MONTH, from, before).stream()
                        .filter(month -> month.within(from, before))
                        .toList()));
      }
    }
  }

  private static List<Instant> starts(List<Segment> segments) {
    return segments.stream().map(Segment::starts).toList();
  }
}
