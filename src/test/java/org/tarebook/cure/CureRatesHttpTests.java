package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ScheduleFloor.quantity;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.PressLoad;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Cures in reject rates and first-pass yields, by verdicts that the service itself reached. */
@OnBothDatabases
class CureRatesHttpTests {

  private static final String END = "2026-03-02T06:30:00Z";
  private static final String WINDOW =
      "&measuredFrom=2026-03-02T06:10:00Z&measuredBefore=2026-03-02T18:00:00Z";

  private final RunningTarebook tarebook;
  private CureFloor floor;

  CureRatesHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    floor = new CureFloor(tarebook);
    Map<String, Object> definition = floor.planned().definition();
    floor.planned().revision("r1", "2026-01-01T00:00:00Z", definition).expect(201);
  }

  /** A margin that no load of the usual kind keeps. */
  private void strict() {
    Map<String, Object> definition = floor.planned().definition();
    definition.put("leastWaterMargin", quantity("60", "K{difference}"));
    floor.planned().doubtful("r2", "2026-02-01T00:00:00Z", definition).expect(201);
  }

  private String run(Object... more) {
    String id = floor.start(floor.cure(more));
    floor.samples(id, "key=1", "text/csv", HealthyLog.whole().csv()).expect(201);
    return id;
  }

  private Answer ask(String what) {
    return tarebook.reader().get("/api/v1/" + what);
  }

  private JsonNode rates(String more) {
    return ask("reject-rates?line=" + floor.line() + WINDOW + more).expect(200).json();
  }

  private static void counts(JsonNode row, Object... namesAndCounts) {
    for (int i = 0; i < namesAndCounts.length; i += 2) {
      String name = (String) namesAndCounts[i];
      assertThat(row.at("/" + name).asInt(-1)).as(name).isEqualTo(namesAndCounts[i + 1]);
    }
  }

  @Test
  void successorVerdictIsTheSamePassAndAnEarlierMomentHasTheEarlierOne() {
    Instant empty = tarebook.clock().instant();
    tarebook.clock().forward(Duration.ofMinutes(5));
    strict();
    String id = run();
    counts(rates("").at("/total"), "cavities", 0); // it began before the window and runs
    floor.close(id, END).expect(201);
    tarebook.clock().forward(Duration.ofMinutes(5));
    JsonNode bad = rates("&groupBy=REASON").at("/total");
    counts(bad, "judged", 4, "rejected", 4, "firstPassRejected", 4, "cavities", 4, "readings", 0);
    Instant moment = tarebook.clock().instant();
    tarebook.clock().forward(Duration.ofMinutes(5));
    floor
        .quality()
        .post(
            "/api/v1/cure-schedules/" + floor.planned().schedule() + "/revisions/2/withdrawal",
            json("reason", "margin misread"))
        .expect(200);
    tarebook.bean(JudgingAgain.class).run();
    JsonNode good = rates("").at("/total");
    counts(good, "judged", 4, "rejected", 0, "firstPassRejected", 0, "curedAgain", 0);

    JsonNode then = rates("&groupBy=REASON&asOf=" + moment);
    counts(then.at("/total"), "judged", 4, "rejected", 4, "firstPassRejected", 4, "cavities", 4);
    assertThat(then.at("/total/finalRate")).isEqualTo(bad.get("finalRate"));
    assertThat(then.at("/changedSince").asInt()).isEqualTo(4);
    assertThat(then.at("/rows/0/reason").asString()).startsWith("cure ");
    JsonNode nothing = rates("&asOf=" + empty);
    counts(nothing.at("/total"), "judged", 0, "cavities", 0);
    assertThat(nothing.at("/changedSince").asInt()).isEqualTo(4);
  }

  @Test
  void secondCureOfATyreIsASecondPassAndTheYieldCountsTheFirst() {
    List<Map<String, Object>> tyres = floor.cavities(1, 2, 3, 4);
    strict();
    String first = run("cavities", tyres);
    floor.close(first, END).expect(201);
    floor
        .planned()
        .revision("r3", "2026-03-02T07:00:00Z", floor.planned().definition())
        .expect(201);
    String second = floor.start(floor.cure("cavities", tyres, "startedAt", "2026-03-02T08:00:00Z"));
    floor.samples(second, "key=1", "text/csv", later(HealthyLog.whole().csv())).expect(201);
    floor.close(second, "2026-03-02T08:30:00Z").expect(201);
    JsonNode total = rates("").at("/total");
    counts(total, "judged", 4, "firstPassRejected", 4, "rejected", 0, "curedAgain", 4);
    counts(total, "cavities", 8, "remeasured", 0);
    JsonNode step = ask("first-pass-yield?line=" + floor.line() + WINDOW).expect(200).json();
    counts(step.at("/steps/0"), "judged", 4, "passed", 0, "curesNotJudged", 0);
    assertThat(step.at("/steps/0").has("interval")).isFalse(); // one load
    assertThat(step.at("/notComputed/0/reason").asString()).isEqualTo("ONE_LOAD");
    assertThat(step.at("/notComputed/0/words").asString()).contains(floor.line(), "one press load");
    assertThat(total.at("/finalRate/notComputed").asString()).isEqualTo("ONE_LOAD");
  }

  /** The healthy log two hours later. */
  private static String later(String csv) {
    return csv.replace("T06:", "T08:");
  }

  @Test
  void loadsWithoutALogAndCavitiesWithoutANumberStandBesideEachOther() {
    List<Map<String, Object>> unnamed =
        List.of(
            PressLoad.cavity(1, 1, null, "2026-03-01T22:00:00Z"),
            PressLoad.cavity(2, 1, null, "2026-03-01T22:00:00Z"));
    String closed = run("cavities", unnamed);
    floor.close(closed, END).expect(201);
    String empty = floor.start(floor.cure("startedAt", "2026-03-02T06:20:00Z"));
    floor.close(empty, "2026-03-02T06:50:00Z").expect(201);
    floor.start(floor.cure("startedAt", "2026-03-02T07:00:00Z"));
    JsonNode answer = rates("&groupBy=DIE");
    counts(answer.at("/total"), "judged", 2, "rejected", 0, "cavities", 10);
    counts(answer.at("/total"), "curesWithoutLog", 8, "curesNotJudged", 0);
    assertThat(answer.at("/rows/0/die").asString()).isEqualTo("1");
    counts(answer.at("/rows/0"), "judged", 1, "cavities", 3, "curesWithoutLog", 2);
    counts(answer.at("/rows/3"), "judged", 0, "cavities", 2, "curesWithoutLog", 2);
    JsonNode step =
        ask("first-pass-yield?line=" + floor.line() + WINDOW).expect(200).at("/steps/0");
    counts(step, "judged", 2, "passed", 2, "curesWithoutLog", 8);
    // a component or characteristic looks at readings only
    String other = Codes.fresh("OTHER");
    floor
        .quality()
        .post("/api/v1/components", json("code", other, "name", "Other", "kind", "TREAD_STRIP"))
        .expect(201);
    counts(rates("&component=" + other).at("/total"), "judged", 0, "cavities", 0);
  }

  @Test
  void aMomentBeforeAnythingIsKnownOfCuresIsRefused() {
    floor.close(run(), END).expect(201);
    Instant moment = tarebook.clock().instant().minus(Duration.ofDays(1));
    assertThat(rates("&asOf=" + moment).at("/total/cavities").asInt()).isZero();
    String shift =
        "update lock_moment set version = version %s 1000000"
            + " where lock_id = (select id from press where code = ?)";
    tarebook.sql().sql(shift.formatted("+")).param(floor.press()).update();
    try {
      Answer refused =
          ask("reject-rates?line=" + floor.line() + WINDOW + "&asOf=" + moment).expect(422);
      assertThat(refused.problem()).isEqualTo("rule-broken");
      assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("asOf");
      assertThat(refused.at("/errors/0/detail").asString())
          .contains("how all cures stood", "a later moment", "without cures");
      ask("first-pass-yield?line=" + floor.line() + WINDOW + "&asOf=" + moment).expect(422);
      // a component without cures is answered
      ask("reject-rates?component=" + floor.planned().compound() + WINDOW + "&asOf=" + moment)
          .expect(200);
    } finally {
      tarebook.sql().sql(shift.formatted("-")).param(floor.press()).update();
    }
  }
}
