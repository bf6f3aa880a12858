package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import tools.jackson.databind.JsonNode;

/** What later uncertainties, withdrawals and races do to readings judged with a guard band. */
@OnBothDatabases
class GuardedAgainHttpTests {

  private static final String AT = "2026-03-02T06:00:00Z";
  private static final String LATER = "2026-03-02T06:00:01Z";

  private final RunningTarebook tarebook;
  private final ShopFloor floor;
  private final Client quality;

  GuardedAgainHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.floor = new ShopFloor(tarebook, "kg");
    this.quality = tarebook.quality();
  }

  @Test
  void withoutAnUncertaintyNothingIsJudgedUntilOneIsRecorded() {
    guarded(floor.mass(), "5", "6", "kg", "1");
    Answer waiting = floor.post(floor.posting(new BigDecimal("5.5"), "kg", AT)).expect(201);
    Answer near = floor.post(floor.posting(new BigDecimal("5.95"), "kg", LATER)).expect(201);
    assertThat(waiting.at("/notJudged").asString()).isEqualTo("NO_UNCERTAINTY");
    assertThat(waiting.at("/words").asString())
        .startsWith("NOT JUDGED: the specification keeps a guard band")
        .contains("record one");
    assertThat(waiting.at("/specification/revision").asInt()).isEqualTo(1);
    assertThat(waiting.json().has("margin")).isFalse();
    assertThat(waiting.at("/standing").asString()).isEqualTo("COUNTED");

    Answer begins = uncertainty(floor.mass(), "0.1", "kg", LATER).expect(201);
    assertThat(changed(begins)).isEqualTo(1);
    assertThat(read(waiting).at("/notJudged").asString()).isEqualTo("NO_UNCERTAINTY");
    Answer judged = read(near);
    assertResult(judged, "CONDITIONAL", "ABOVE");
    assertThat(judged.at("/successors").asInt()).isEqualTo(1);
    assertThat(judged.at("/guard/uncertainty").asString()).isEqualTo(begins.at("/id").asString());
    assertThat(
            tarebook
                .sql()
                .sql("select uncertainty_id from successor_result where reading_id = ?")
                .param(Long.valueOf(near.at("/id").asString()))
                .query(String.class)
                .single())
        .isEqualTo(begins.at("/id").asString());
  }

  @Test
  void anotherUncertaintyLeavesEarlierResultsAsTheyAre() {
    tarebook.clock().set("2026-03-02T07:00:00Z");
    guarded(floor.mass(), "5", "6", "kg", "1");
    uncertainty(floor.mass(), "0.1", "kg", "2026-01-01T00:00:00Z").expect(201);
    Answer before = post(floor.mass(), "5.85", "kg", AT);
    assertResult(before, "PASS", "");

    Answer refused = uncertainty(floor.mass(), "0.2", "kg", "2026-03-01T00:00:00Z");
    assertThat(refused.expect(422).problem()).isEqualTo("rule-broken");
    assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("/validFrom");
    assertThat(refused.at("/errors/0/detail").asString())
        .contains(
            "may not be earlier than 2026-03-02T07:01:00Z", "judged with another uncertainty");
    uncertainty(floor.mass(), "0.2", "kg", "2026-03-02T07:01:00Z").expect(201);

    assertThat(read(before).json()).isEqualTo(before.json());
    assertResult(post(floor.mass(), "5.85", "kg", "2026-03-02T07:00:59Z"), "PASS", "");
    Answer after = post(floor.mass(), "5.85", "kg", "2026-03-02T07:01:00Z");
    assertResult(after, "CONDITIONAL", "ABOVE");
    assertThat(after.at("/guard/revision").asInt()).isEqualTo(2);
  }

  @Test
  void aDeviceClockAheadIsJudgedAgainAtOnceByWhatBeginsMeanwhile() {
    tarebook.clock().set("2026-03-02T07:00:00Z");
    guarded(floor.mass(), "5", "6", "kg", "1");
    uncertainty(floor.mass(), "0.1", "kg", "2026-01-01T00:00:00Z").expect(201);
    Answer ahead = post(floor.mass(), "5.85", "kg", "2026-03-02T08:00:00Z");
    assertResult(ahead, "PASS", "");
    uncertainty(floor.mass(), "0.2", "kg", "2026-03-02T07:30:00Z").expect(201);
    tarebook.caughtUp();
    Answer now = read(ahead);
    assertResult(now, "CONDITIONAL", "ABOVE");
    assertThat(now.at("/successors").asInt()).isEqualTo(1);
  }

  /**
   * The plan is compared again under the locks: no reading slips by with the former uncertainty.
   */
  @Test
  void readingsPostedWhileAnUncertaintyIsRecordedAreJudgedByItInTheEnd() throws Exception {
    tarebook.clock().set("2026-03-02T07:00:00Z");
    guarded(floor.mass(), "5", "6", "kg", "1");
    uncertainty(floor.mass(), "0.1", "kg", "2026-01-01T00:00:00Z").expect(201);
    List<String> postings = new ArrayList<>();
    for (int i = 0; i < 40; i++) {
      postings.add(floor.posting(new BigDecimal("5.85"), "kg", "2026-03-02T08:00:00Z"));
    }
    ExecutorService threads = Executors.newFixedThreadPool(5);
    try {
      List<Callable<Answer>> work = new ArrayList<>();
      postings.forEach(posting -> work.add(() -> floor.post(posting).expect(201)));
      work.add(
          20, () -> uncertainty(floor.mass(), "0.2", "kg", "2026-03-02T07:30:00Z").expect(201));
      for (Future<Answer> done : threads.invokeAll(work)) {
        done.get();
      }
    } finally {
      threads.shutdownNow();
    }
    tarebook.caughtUp();
    JsonNode items =
        tarebook
            .reader()
            .get("/api/v1/readings?station=" + floor.station())
            .expect(200)
            .at("/items");
    assertThat(items).hasSize(40);
    assertThat(items)
        .allSatisfy(
            item -> {
              assertThat(item.at("/guard/revision").asInt()).isEqualTo(2);
              assertThat(item.at("/result").asString()).isEqualTo("CONDITIONAL");
            });
  }

  @Test
  void aWithdrawnUncertaintyGivesItsReadingsSuccessors() {
    guarded(floor.mass(), "5", "6", "kg", "1");
    Answer wrong = uncertainty(floor.mass(), "0.2", "kg", "2026-01-01T00:00:00Z").expect(201);
    Answer made = post(floor.mass(), "5.85", "kg", AT);
    assertResult(made, "CONDITIONAL", "ABOVE");
    String withdrawal =
        "/api/v1/measuring-uncertainties/" + wrong.at("/id").asString() + "/withdrawal";
    Answer done = quality.post(withdrawal, json("reason", "Half-width taken for the width"));
    assertThat(done.expect(200).at("/withdrawnReason").asString()).contains("Half-width");
    assertThat(changed(done)).isEqualTo(1);
    assertThat(read(made).at("/notJudged").asString()).isEqualTo("NO_UNCERTAINTY");
    assertThat(quality.post(withdrawal, json("reason", "again")).expect(409).problem())
        .isEqualTo("conflict");

    uncertainty(floor.mass(), "0.1", "kg", "2026-01-01T00:00:00Z").expect(201);
    tarebook.caughtUp();
    Answer now = read(made);
    assertResult(now, "PASS", "");
    assertThat(now.at("/successors").asInt()).isEqualTo(2);
    assertThat(now.at("/guard/revision").asInt()).isEqualTo(2);
    assertThat(
            tarebook
                .sql()
                .sql("select result from reading where id = ?")
                .param(Long.valueOf(made.at("/id").asString()))
                .query(String.class)
                .single())
        .isEqualTo("CONDITIONAL");
  }

  @Test
  void theWithdrawalOfOneUncertaintyLeavesWhatTheNextJudged() {
    guarded(floor.mass(), "5", "6", "kg", "1");
    Answer first = uncertainty(floor.mass(), "0.2", "kg", "2026-01-01T00:00:00Z").expect(201);
    uncertainty(floor.mass(), "0.1", "kg", LATER).expect(201);
    Answer early = post(floor.mass(), "5.85", "kg", AT);
    Answer late = post(floor.mass(), "5.85", "kg", LATER);
    Answer done =
        quality.post(
            "/api/v1/measuring-uncertainties/" + first.at("/id").asString() + "/withdrawal",
            json("reason", "Of another scale"));
    assertThat(changed(done.expect(200))).isEqualTo(1);
    assertThat(read(early).at("/notJudged").asString()).isEqualTo("NO_UNCERTAINTY");
    assertThat(read(late).json()).isEqualTo(late.json());
  }

  @Test
  void aWithdrawnSpecificationTakesItsGuardBandWithIt() {
    floor.specification(floor.mass(), "5", "6", "kg");
    guarded(floor.mass(), "2026-02-01T00:00:00Z", "5", "6", "kg", "1");
    uncertainty(floor.mass(), "0.1", "kg", "2026-01-01T00:00:00Z").expect(201);
    Answer simple = post(floor.mass(), "5.95", "kg", "2026-01-31T23:59:59Z");
    assertResult(simple, "PASS", "");
    assertThat(simple.json().has("guard")).isFalse();
    Answer made = post(floor.mass(), "5.95", "kg", AT);
    assertResult(made, "CONDITIONAL", "ABOVE");
    String path = "/api/v1/characteristics/" + floor.mass() + "/specifications";
    quality.post(path + "/2/withdrawal", json("reason", "No guard band was agreed")).expect(200);
    tarebook.caughtUp();
    Answer now = read(made);
    assertResult(now, "PASS", "");
    assertThat(now.json().has("guard")).isFalse();
    assertThat(now.at("/specification/revision").asInt()).isEqualTo(1);
  }

  @Test
  void whereAWithdrawalLeavesGuardBandsThatMeetAllInsideIsConditional() {
    guarded(floor.mass(), "5", "6", "kg", "2");
    guarded(floor.mass(), "2026-02-01T00:00:00Z", "0", "10", "kg", "2");
    uncertainty(floor.mass(), "0.3", "kg", "2026-02-01T00:00:00Z").expect(201);
    Answer made = post(floor.mass(), "5.5", "kg", AT);
    assertResult(made, "PASS", "");
    quality
        .post(
            "/api/v1/characteristics/" + floor.mass() + "/specifications/2/withdrawal",
            json("reason", "Typed wrongly"))
        .expect(200);
    tarebook.caughtUp();
    assertResult(read(made), "CONDITIONAL", "BELOW");
  }

  private void guarded(String code, String lower, String upper, String unit, String factor) {
    guarded(code, "2000-01-01T00:00:00Z", lower, upper, unit, factor);
  }

  private void guarded(
      String code, String from, String lower, String upper, String unit, String factor) {
    floor
        .specification(
            code,
            json(
                "validFrom",
                from,
                "lower",
                new BigDecimal(lower),
                "upper",
                new BigDecimal(upper),
                "unit",
                unit,
                "comparison",
                "ABSOLUTE",
                "guardFactor",
                new BigDecimal(factor),
                "reason",
                "drawing"))
        .expect(201);
  }

  private Answer uncertainty(String code, String expanded, String unit, String from) {
    return quality.post(
        "/api/v1/measuring-uncertainties", request(floor.station(), code, expanded, unit, from));
  }

  private static String request(
      String station, String code, String expanded, String unit, String from) {
    return json(
        "key",
        Codes.fresh("U"),
        "station",
        station,
        "characteristic",
        code,
        "expandedUncertainty",
        new BigDecimal(expanded),
        "unit",
        unit,
        "validFrom",
        from,
        "basis",
        "study of the week");
  }

  /** How many readings got another result because an uncertainty was recorded or withdrawn. */
  private int changed(Answer uncertainty) {
    tarebook.caughtUp();
    Answer after =
        tarebook
            .reader()
            .get("/api/v1/measuring-uncertainties/" + uncertainty.at("/id").asString())
            .expect(200);
    assertThat(after.at("/judgingAgain/state").asString()).isEqualTo("FINISHED");
    return after.at("/judgingAgain/changed").asInt();
  }

  private Answer post(String code, String value, String unit, String at) {
    return floor
        .post(floor.posting(new BigDecimal(value), unit, at, "characteristic", code))
        .expect(201);
  }

  private Answer read(Answer posted) {
    return tarebook.reader().get("/api/v1/readings/" + posted.at("/id").asString()).expect(200);
  }

  private static void assertResult(Answer answer, String result, String direction) {
    assertThat(answer.at("/result").asString()).as(answer.text()).isEqualTo(result);
    assertThat(answer.at("/direction").asString("")).as(answer.text()).isEqualTo(direction);
  }
}
