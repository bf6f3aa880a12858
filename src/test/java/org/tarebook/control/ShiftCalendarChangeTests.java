package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.tarebook.chart.Plans;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.CatchUpByHand;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** Shift calendars that cut readings on record into other shifts. */
@OnBothDatabases
class ShiftCalendarChangeTests {

  private static final Instant FROM = MovedShifts.FROM;
  private static final Duration LATER = Duration.ofMinutes(2);
  private static final String CALENDARS = MovedShifts.CALENDARS;

  private final RunningTarebook tarebook;

  ShiftCalendarChangeTests(Vendor vendor) {
    tarebook =
        RunningTarebook.start(
            TestDatabase.create(vendor), CatchUpByHand.SETTING, "--tarebook.segments-every=PT0.2S");
    tarebook.clock().set("2026-03-05T06:00:00Z");
    MovedShifts.calendar(tarebook, "C1", "2024-01-01", "A 06:00", "B 14:00", "C 22:00").expect(201);
  }

  @AfterEach
  void close() {
    tarebook.close();
  }

  private Answer retire(String code, boolean retired, String reason) {
    Client quality = tarebook.quality();
    return quality.put(
        CALENDARS + "/" + code,
        json("name", "Shifts", "retired", retired, "reason", reason),
        "If-Match",
        quality.get(CALENDARS + "/" + code).expect(200).header("ETag"));
  }

  private JsonNode view(String code) {
    return tarebook.reader().get(CALENDARS + "/" + code).expect(200).json();
  }

  @Test
  void readingsAreCutAgainOnlyWithAReasonAndTheRefusalSaysWhatThatChanges() {
    ChartBench bench = MovedShifts.bench(tarebook);
    String limits = Codes.fresh("L");
    bench.freeze(limits, FROM, FROM.plus(Duration.ofDays(10))).expect(201);
    bench.keep("KEPT-1", FROM, FROM.plus(Duration.ofDays(9))).expect(201);
    bench.keep("KEPT-2", FROM, FROM.plus(Duration.ofDays(5))).expect(201);
    Client quality = tarebook.quality();
    String[] hourLater = {"A 06:00", "B 15:00", "C 22:00"};
    String body = MovedShifts.body("C2", "2024-05-13", null, hourLater);
    JsonNode preview = quality.post(CALENDARS + "/preview", body).expect(200).json();
    assertThat(preview.at("/takesReason").asBoolean()).isTrue();
    assertThat(preview.at("/measuredFrom").asString()).isEqualTo("2024-05-13T14:00:00Z");
    assertThat(preview.has("measuredBefore")).isFalse();
    assertThat(preview.at("/readings").asLong()).isEqualTo(6 * 24 + 10);
    assertThat(preview.at("/charts").asLong()).isEqualTo(1);
    assertThat(preview.at("/judgedShifts").asLong()).isEqualTo(20);
    assertThat(preview.at("/signals").asLong())
        .isEqualTo(bench.signals("&limit=1000&completedFrom=2024-05-13T14:00:00Z").size())
        .isPositive();
    assertThat(preview.at("/limitSets").asLong()).isEqualTo(1);
    assertThat(preview.at("/keptStudies").asLong()).isEqualTo(1);
    Answer refused = quality.post(CALENDARS, body).expect(422);
    assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("/reason");
    assertThat(refused.at("/errors/0/detail").asString())
        .contains(
            "154 readings of 1 charts, measured from 2024-05-13T14:00:00Z on, with 20 judged",
            " signals, 1 limit sets and 1 kept studies",
            "/api/v1/shift-calendars/preview");
    quality.post(CALENDARS, MovedShifts.body("C2", "2024-05-13", " ", hourLater)).expect(422);
    assertThat(quality.get(CALENDARS).expect(200).at("/items")).hasSize(1);

    Answer retiring = retire("C1", true, null).expect(422);
    assertThat(retiring.at("/errors/0/detail").asString())
        .contains(
            "336 readings", "from 2024-01-01T00:00:00Z on,", "/api/v1/shift-calendars/C1/preview");
    assertThat(view("C1").has("retiredAt")).isFalse();
    JsonNode all =
        quality
            .post(CALENDARS + "/C1/preview", json("name", "Shifts", "retired", true))
            .expect(200)
            .json();
    assertThat(all.at("/readings").asLong()).isEqualTo(336);
    assertThat(all.at("/keptStudies").asLong()).isEqualTo(2);
    assertThat(
            quality
                .post(CALENDARS + "/C1/preview", json("name", "Other", "retired", false))
                .expect(200)
                .at("/takesReason")
                .asBoolean())
        .isFalse();
    quality.post(CALENDARS + "/NONE/preview", json("name", "None", "retired", true)).expect(404);
    assertThat(tarebook.sql().sql("select count(*) from catch_up").query(Long.class).single())
        .isZero();
  }

  @Test
  void whatCutsNoReadingOnRecordComesIntoUseAtOnceWithoutAReason() {
    MovedShifts.bench(tarebook);
    MovedShifts.calendar(tarebook, "C2", "2024-05-20", "A 06:00", "B 18:00").expect(201);
    assertThat(view("C2").at("/inUse").asBoolean()).isTrue();
    assertThat(view("C2").at("/changes")).isEmpty();
    JsonNode between =
        tarebook
            .quality()
            .post(CALENDARS + "/preview", MovedShifts.body("C0", "2024-05-13", null, "A 05:00"))
            .expect(200)
            .json();
    assertThat(between.at("/measuredFrom").asString()).isEqualTo("2024-05-13T05:00:00Z");
    assertThat(between.at("/measuredBefore").asString()).isEqualTo("2024-05-20T06:00:00Z");
    assertThat(view("C2").at("/zoneRules").asString()).isNotEmpty();
    retire("C2", true, null).expect(200);
    assertThat(view("C2").at("/inUse").asBoolean()).isFalse();
    retire("C2", false, null).expect(200);
    assertThat(view("C2").at("/inUse").asBoolean()).isTrue();
  }

  @Test
  void untilAllIsCutAgainEveryAnswerIsTheEarlierOneAndThenEveryAnswerIsTheNewOne()
      throws InterruptedException {
    ChartBench bench = MovedShifts.bench(tarebook);
    String limits = Codes.fresh("L");
    bench.freeze(limits, FROM, FROM.plus(Duration.ofDays(10))).expect(201);
    bench.keep("KEPT", FROM, FROM.plus(Duration.ofDays(9))).expect(201);
    tarebook.clock().forward(LATER);
    summarised();
    List<String> before = answers(bench, "");
    String asOf = "&asOf=" + tarebook.clock().instant();
    assertThat(answers(bench, asOf)).isEqualTo(before);
    assertThat(changed(bench, limits, asOf)).containsExactly(0L, 0L, 0L, 0L);

    tarebook.clock().forward(LATER);
    Client quality = tarebook.person("Ada", "QUALITY");
    String body = MovedShifts.body("C2", "2024-05-13", "Moved", "A 06:00", "B 15:00", "C 22:00");
    Answer recorded = quality.post(CALENDARS, body).expect(201);
    assertThat(recorded.at("/inUse").asBoolean()).isFalse();
    JsonNode change = recorded.at("/changes/0");
    assertThat(change.at("/action").asString()).isEqualTo("RECORDED");
    assertThat(change.at("/reason").asString()).isEqualTo("Moved");
    assertThat(change.at("/person").asString()).isEqualTo("Ada");
    assertThat(change.at("/measuredFrom").asString()).isEqualTo("2024-05-13T14:00:00Z");
    assertThat(change.at("/cuttingAgain/state").asString()).isEqualTo("WAITING");
    assertThat(answers(bench, "")).isEqualTo(before);
    assertThat(changed(bench, limits, asOf)).containsExactly(0L, 0L, 0L, 0L);
    assertThat(rates("").at("/unsettled/cuttingAgain/0").asString()).isEqualTo("C2");
    MovedShifts.calendar(tarebook, "C3", "2030-01-01", "A 05:00").expect(409);
    retire("C1", true, "Another").expect(409);
    quality
        .post(CALENDARS + "/preview", MovedShifts.body("C3", "2024-05-01", null, "A 05:00"))
        .expect(409);

    tarebook.clock().forward(LATER);
    CatchUpByHand.run(tarebook);
    Instant switched = tarebook.clock().instant();
    JsonNode view = view("C2");
    assertThat(view.at("/inUse").asBoolean()).isTrue();
    assertThat(view.at("/changes/0/inUseAt").asString()).isEqualTo(switched.toString());
    assertThat(view.at("/changes/0/cuttingAgain/state").asString()).isEqualTo("FINISHED");
    assertThat(view.at("/changes/0/cuttingAgain/done").asLong())
        .isEqualTo(view.at("/changes/0/cuttingAgain/total").asLong())
        .isEqualTo(6 * 24 + 18); // from the beginning of the shift in which the change begins
    List<String> after = answers(bench, "");
    summarised();
    assertThat(answers(bench, "")).isEqualTo(after);
    for (int i = 0; i < after.size(); i++) {
      assertThat(after.get(i)).as("answer %d", i).isNotEqualTo(before.get(i));
    }
    assertThat(rates("").has("unsettled")).isFalse();

    tarebook.clock().forward(LATER);
    assertThat(answers(bench, asOf)).isEqualTo(before);
    assertThat(answers(bench, "&asOf=" + tarebook.clock().instant())).isEqualTo(after);
    assertThat(changed(bench, limits, asOf)).containsExactly(154L, 58L, 34L, 154L);
    assertThat(changed(bench, limits, "&asOf=" + tarebook.clock().instant()))
        .containsExactly(0L, 58L, 34L, 0L);
    assertThat(again("KEPT").at("/same").asBoolean()).isTrue();

    String standing = tarebook.clock().instant().toString();
    retire("C2", true, "Not agreed").expect(200);
    assertThat(view("C2").at("/inUse").asBoolean()).isTrue();
    assertThat(view("C2").has("retiredAt")).isTrue();
    assertThat(answers(bench, "")).isEqualTo(after);
    tarebook.clock().forward(LATER);
    CatchUpByHand.run(tarebook);
    tarebook.clock().forward(LATER);
    assertThat(view("C2").at("/inUse").asBoolean()).isFalse();
    assertThat(view("C2").at("/changes")).hasSize(2);
    assertThat(answers(bench, "")).isEqualTo(before);
    summarised();
    assertThat(answers(bench, "")).isEqualTo(before);
    assertThat(answers(bench, "&asOf=" + standing)).isEqualTo(after);
    assertThat(answers(bench, asOf)).isEqualTo(before);
    assertThat(changed(bench, limits, asOf)).containsExactly(154L, 58L, 34L, 154L);
  }

  /** Waits until summaries are cut by the calendars in use. */
  private void summarised() throws InterruptedException {
    String digest = tarebook.bean(Plans.class).current().shifts().digest();
    for (int i = 0; i < 600; i++) {
      long built =
          tarebook
              .sql()
              .sql("select count(*) from write_lock where summed_by = ? and summed_before > ?")
              .params(digest, SqlTime.of(FROM.plus(Duration.ofDays(13))))
              .query(Long.class)
              .single();
      if (built == 1) {
        return;
      }
      Thread.sleep(100);
    }
    throw new AssertionError("Summaries are not built");
  }

  private JsonNode again(String code) {
    return tarebook.reader().get("/api/v1/kept-studies/" + code + "/again").expect(200).json();
  }

  private JsonNode rates(String asOf) {
    return tarebook
        .reader()
        .get(
            "/api/v1/reject-rates?groupBy=SHIFT&bucket=SHIFT&measuredFrom="
                + FROM
                + "&measuredBefore="
                + FROM.plus(Duration.ofDays(14))
                + asOf)
        .expect(200)
        .json();
  }

  /** What four answers say has changed: study, limits, kept study, rates. */
  private List<Long> changed(ChartBench bench, String limits, String asOf) {
    JsonNode study = bench.study(FROM, FROM.plus(Duration.ofDays(14)), asOf);
    return List.of(
        study.at("/state/changedSince").asLong(),
        tarebook
            .reader()
            .get("/api/v1/limit-sets/" + limits)
            .expect(200)
            .at("/baselineChanged")
            .asLong(),
        again("KEPT").at("/changedSince").asLong(),
        rates(asOf).at("/changedSince").asLong());
  }

  /** What depends on how readings are cut into shifts. */
  private List<String> answers(ChartBench bench, String asOf) {
    Instant before = FROM.plus(Duration.ofDays(14));
    JsonNode study = bench.study(FROM, before, asOf);
    String window = "?measuredFrom=" + FROM + "&measuredBefore=" + before + asOf;
    String chart = "/api/v1/charts/" + bench.chart();
    Client reader = tarebook.reader();
    StringBuilder shifts = new StringBuilder();
    for (JsonNode row : rates(asOf).at("/rows")) {
      shifts.append(row.at("/bucket")).append(row.at("/judged"));
    }
    return List.of(
        "sigma " + study.at("/sigmaWithin"),
        "incomplete " + study.at("/counts/incomplete") + " " + study.at("/control/signalledPoints"),
        "points " + hash(reader.get(chart + "/points" + window).expect(200).at("/points")),
        "preview " + hash(reader.get(chart + "/preview" + window).expect(200).at("/points")),
        "shifts " + hash(shifts));
  }

  private static String hash(Object answer) {
    return Integer.toHexString(answer.toString().replaceAll("\"id\":\"\\d+\"", "").hashCode());
  }
}
