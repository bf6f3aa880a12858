package org.tarebook.segment;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Charts;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.reading.Outcome;
import org.tarebook.reading.Phase;
import org.tarebook.reading.Posting;
import org.tarebook.storage.SqlTime;

/** Figures are the same whether any segment is built, all are, or some have gone stale. */
@OnBothDatabases
class SegmentTests {

  private static final Instant FROM = Instant.parse("2025-01-20T00:00:00Z");
  private static final int DAYS = 50;
  private static final Instant END = FROM.plus(Duration.ofDays(DAYS));

  private final RunningTarebook tarebook;
  private final SegmentBuilder builder;
  private final SegmentCheck check;

  SegmentTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.builder = tarebook.bean(SegmentBuilder.class);
    this.check = tarebook.bean(SegmentCheck.class);
  }

  private Chart chart(ChartBench bench) {
    return tarebook.bean(Charts.class).get(bench.chart());
  }

  /**
   * A chart with some months of readings: late, voided, measured again, in two units, from two
   * dies.
   */
  private final class Story {

    private final Random random;
    private final ChartBench bench;
    private final List<Long> ids = new ArrayList<>();
    private final List<String> keys = new ArrayList<>();

    Story(long seed, String kind, int subgroupSize) {
      random = new Random(seed);
      bench = new ChartBench(tarebook, "kg", "NOT", kind, subgroupSize, "DIE");
      bench.specification("4.35", "4.42", "kg");
    }

    void post(int readings) {
      List<Posting> postings = new ArrayList<>();
      for (int i = 0; i < readings; i++) {
        postings.add(posting());
      }
      for (Outcome outcome : bench.record(postings)) {
        outcome.readings().forEach(reading -> ids.add(reading.id()));
      }
    }

    private Posting posting() {
      boolean grams = random.nextInt(6) == 0;
      long value = 4385 + Math.round(random.nextGaussian() * 15);
      String key = Codes.fresh("K");
      String again = keys.isEmpty() || random.nextInt(8) > 0 ? null : any(keys);
      keys.add(key);
      return new Posting(
          key,
          bench.floor().station(),
          bench.characteristic(),
          grams ? BigDecimal.valueOf(value) : BigDecimal.valueOf(value, 3),
          null,
          grams ? "g" : "kg",
          FROM.plusSeconds(random.nextInt(DAYS * 86_400 / 60) * 60L),
          null,
          null,
          null,
          null,
          random.nextInt(10) == 0 ? Phase.START_UP : null,
          random.nextBoolean() ? "D1" : "D2",
          null,
          random.nextBoolean() ? null : "S-" + random.nextInt(4),
          null,
          random.nextInt(3) == 0 ? (Long) (long) random.nextInt(100) : null,
          null,
          null,
          null,
          again,
          null);
    }

    private <T> T any(List<T> all) {
      return all.get(random.nextInt(all.size()));
    }

    void voidOne() {
      bench
          .engineer()
          .post(
              "/api/v1/readings/" + any(ids) + "/amendments",
              json("key", Codes.fresh("V"), "kind", "VOID", "reason", "A hand on the scale"));
    }

    Instant moment() {
      return FROM.plusNanos(1000L * (long) (random.nextDouble() * DAYS * 86_400e6));
    }
  }

  private void sameFromReadings(Story story) {
    Chart chart = chart(story.bench);
    assertThat(check.check(chart).differences()).isEmpty();
    String whole = "measuredFrom=" + FROM + "&measuredBefore=" + END;
    List<String> windows = new ArrayList<>(List.of(whole, whole + "&stratum=DIE%3DD2"));
    for (int i = 0; i < 3; i++) {
      Instant one = story.moment();
      Instant other = story.moment();
      windows.add(
          "measuredFrom="
              + (one.isBefore(other) ? one : other)
              + "&measuredBefore="
              + (one.isBefore(other) ? other : one));
    }
    List<String> questions =
        new ArrayList<>(List.of(capability(story, whole + "&method=LOGNORMAL&confidence=0.9")));
    for (String window : windows) {
      questions.add(capability(story, window));
      questions.add("charts/" + chart.code() + "/points?" + window);
    }
    questions.add("charts/" + chart.code() + "/preview?" + windows.get(windows.size() - 1));
    List<String> kept = questions.stream().map(each -> answer(story, each)).toList();
    builder.forget(chart);
    List<String> read = questions.stream().map(each -> answer(story, each)).toList();
    assertThat(kept).isEqualTo(read);
  }

  private static String capability(Story story, String question) {
    return "capability?evenIfNotInControl=true&chart=" + story.bench.chart() + "&" + question;
  }

  private static String answer(Story story, String question) {
    return story.bench.engineer().get("/api/v1/" + question).expect(200).text();
  }

  @Test
  void figuresAreThoseOfTheReadingsWhateverCameInWhatOrder() {
    String[] kinds = {"XBAR_R", "XBAR_S", "INDIVIDUALS", "BETWEEN_WITHIN"};
    for (int seed = 0; seed < kinds.length; seed++) {
      Story story = new Story(seed, kinds[seed], kinds[seed].equals("INDIVIDUALS") ? 1 : 3);
      Chart chart = chart(story.bench);
      story.post(300);
      story
          .bench
          .freeze(
              Codes.fresh("L"),
              FROM,
              END,
              "inForceFrom",
              FROM.plus(Duration.ofDays(17)).plusSeconds(12_345).toString())
          .expect(201);
      for (int round = 0; round < 6; round++) {
        if (story.random.nextInt(3) > 0) {
          builder.build(chart);
        }
        story.post(1 + story.random.nextInt(20));
        story.voidOne();
      }
      sameFromReadings(story);
      builder.build(chart);
      SegmentCheck.Found found = check.check(chart);
      assertThat(found.differences()).isEmpty();
      assertThat(found.stale()).isZero();
      assertThat(found.segments()).isGreaterThan(DAYS / 2);
      sameFromReadings(story);
    }
  }

  @Test
  void aFigureAsOfAnEarlierMomentIsThatOfThenWhateverIsBuilt() {
    tarebook.clock().set("2026-03-02T06:00:00Z");
    Story story = new Story(11, "XBAR_R", 2);
    Chart chart = chart(story.bench);
    story.post(200);
    builder.build(chart);
    tarebook.clock().forward(Duration.ofMinutes(10));
    String window = "measuredFrom=" + FROM + "&measuredBefore=" + END;
    String question = capability(story, window + "&asOf=" + tarebook.clock().instant());
    String then = answer(story, question);
    tarebook.clock().forward(Duration.ofMinutes(10));
    story.post(5);
    story.voidOne();
    String stale = answer(story, question);
    builder.build(chart);
    String built = answer(story, question);
    builder.forget(chart);
    String read = answer(story, question);
    assertThat(built).isEqualTo(read).isEqualTo(stale);
    assertThat(then.replaceAll("\"changedSince\":\\d+", ""))
        .isEqualTo(read.replaceAll("\"changedSince\":\\d+", ""));
    assertThat(answer(story, capability(story, window))).isNotEqualTo(answer(story, question));
  }

  @Test
  void segmentsCutByOtherCalendarsAreNotUsed() {
    Story story = new Story(12, "INDIVIDUALS", 1);
    Chart chart = chart(story.bench);
    story.post(100);
    builder.build(chart);
    tarebook
        .bean(JdbcClient.class)
        .sql("update write_lock set summed_by = 'other calendars' where id = ?")
        .param(chart.id())
        .update();
    sameFromReadings(story);
    builder.build(chart);
    assertThat(check.check(chart).segments()).isGreaterThan(20);
    sameFromReadings(story);
  }

  @Test
  void segmentsOfACalendarThatComesBackKnowWhatCameMeanwhile() {
    Story story = new Story(17, "XBAR_R", 2);
    Chart chart = chart(story.bench);
    story.post(100);
    builder.build(chart);
    String code = Codes.fresh("CALENDAR");
    Client quality = story.bench.engineer();
    Answer recorded =
        quality.post(
            "/api/v1/shift-calendars",
            """
            {"code":"%s","name":"Two","validFrom":"2025-01-01","zone":"Europe/Berlin",
            "reason":"Agreed since","shifts":[
            {"name":"early","startsAt":"06:00:00"},{"name":"late","startsAt":"18:00:00"}]}"""
                .formatted(code));
    recorded.expect(201);
    tarebook.caughtUp();
    story.post(10);
    quality
        .put(
            "/api/v1/shift-calendars/" + code,
            json("name", "Two", "retired", true, "reason", "Not agreed"),
            "If-Match",
            quality.get("/api/v1/shift-calendars/" + code).expect(200).header("ETag"))
        .expect(200);
    tarebook.caughtUp();
    sameFromReadings(story);
    builder.build(chart);
    sameFromReadings(story);
  }

  @Test
  void aDoubtedInstrumentBringsInWhatWasMeasuredAgainByAnotherInAnotherShift() {
    Story story = new Story(14, "INDIVIDUALS", 1);
    Chart chart = chart(story.bench);
    story.post(100);
    ShopFloor floor = story.bench.floor();
    String scale = Codes.fresh("SCALE");
    story
        .bench
        .engineer()
        .post(
            "/api/v1/instruments",
            """
            {"code":"%s","name":"Scale","station":"%s","kind":"SCALE","unit":"kg","capacity":15,
            "verificationInterval":0.005,"accuracyClass":"III"}"""
                .formatted(scale, floor.station()))
        .expect(201);
    floor.post(strip(story, "key", "A", "instrument", scale)).expect(201);
    floor.post(strip(story, "measuredAt", "2025-02-05T09:00:00Z", "remeasures", "A")).expect(201);
    String later = "measuredFrom=2025-02-05T06:00:00Z&measuredBefore=2025-02-05T12:00:00Z";
    builder.build(chart);
    assertThat(answer(story, capability(story, later))).contains("REMEASUREMENT");
    story
        .bench
        .engineer()
        .post(
            "/api/v1/instrument-checks",
            """
            {"key":"C","instrument":"%s","checkedAt":"2025-02-04T06:00:00Z","standard":"5 kg",
            "certificate":"N-1","standardValue":5,"unit":"kg","asFound":[5.1],"asLeft":[5]}"""
                .formatted(scale))
        .expect(201);
    assertThat(answer(story, capability(story, later))).doesNotContain("REMEASUREMENT");
    sameFromReadings(story);
  }

  private static String strip(Story story, Object... more) {
    List<Object> members = new ArrayList<>(List.of("characteristic", story.bench.characteristic()));
    members.addAll(List.of(more));
    return story
        .bench
        .floor()
        .posting(new BigDecimal("4.385"), "kg", "2025-02-03T09:00:00Z", members.toArray());
  }

  @Test
  void aMonthWaitsForItsShifts() {
    Story story = new Story(18, "INDIVIDUALS", 1);
    Chart chart = chart(story.bench);
    story.post(200);
    builder.build(chart);
    story.post(30);
    long stale = check.check(chart).stale();
    assertThat(stale).isGreaterThan(10);
    assertThat(builder.build(chart, each -> each.span() == Segment.Span.MONTH)).isZero();
    assertThat(builder.build(chart, each -> false)).isZero();
    assertThat(check.check(chart).stale()).isEqualTo(stale);
    assertThat(builder.build(chart, each -> each.span() == Segment.Span.SHIFT)).isGreaterThan(8);
    assertThat(builder.build(chart, each -> each.span() == Segment.Span.MONTH)).isEqualTo(2);
    assertThat(check.check(chart).stale()).isZero();
    sameFromReadings(story);
  }

  @Test
  void readingsThatAreNotKeptAreReadFromTheRecord() {
    Story story = new Story(15, "XBAR_S", 2);
    Chart chart = chart(story.bench);
    story.post(300);
    builder.build(chart);
    int without =
        tarebook
            .sql()
            .sql(
                "update segment set readings = null where chart_id = ?"
                    + " and mod(extract(day from starts), 3) > 0")
            .param(chart.id())
            .update();
    assertThat(without).isGreaterThan(20);
    sameFromReadings(story);
  }

  @Test
  void theCheckNamesAWrongSegmentAndAMissingOne() {
    Story story = new Story(13, "XBAR_R", 2);
    Chart chart = chart(story.bench);
    story.post(100);
    builder.build(chart);
    assertThat(check.check(chart).differences()).isEmpty();
    List<Instant> starts =
        tarebook.bean(SegmentStore.class).starts(chart.id(), Segment.Span.SHIFT, FROM, END);
    tarebook.bean(SegmentStore.class).remove(chart.id(), Segment.Span.SHIFT, starts.get(3));
    copy("content", chart, starts.get(0), starts.get(1));
    copy("readings", chart, starts.get(0), starts.get(5));
    List<String> differences = check.check(chart).differences();
    assertThat(differences)
        .anyMatch(each -> each.contains(starts.get(5) + " keeps other readings"))
        .anyMatch(each -> each.contains("the shift from " + starts.get(1)))
        .anyMatch(each -> each.contains("has readings and no segment"));
    assertThat(Set.copyOf(differences)).hasSize(differences.size());
    builder.forget(chart);
    builder.build(chart);
    assertThat(check.check(chart).differences()).isEmpty();
  }

  /** Puts what the segment of one shift holds into that of another. */
  private void copy(String column, Chart chart, Instant from, Instant to) {
    tarebook
        .sql()
        .sql(
            "update segment set %1$s = (select s.%1$s from segment s where s.chart_id = ?"
                    .formatted(column)
                + " and s.span = 'SHIFT' and s.starts = ?) where chart_id = ? and span = 'SHIFT'"
                + " and starts = ?")
        .params(chart.id(), SqlTime.of(from), chart.id(), SqlTime.of(to))
        .update();
  }
}
