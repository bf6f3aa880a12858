package org.tarebook.spec;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

@OnBothDatabases
class SpecificationHttpTests {

  private final RunningTarebook tarebook;
  private final ShopFloor floor;
  private final Client quality;
  private final String path;

  SpecificationHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.floor = new ShopFloor(tarebook, "kg");
    this.quality = tarebook.quality();
    this.path = "/api/v1/characteristics/" + floor.mass() + "/specifications";
  }

  @Test
  void theRevisionInForceWhenItWasMeasuredJudges() {
    record("2026-01-01T00:00:00Z", null, "lower", 5.0, "upper", 6.0).expect(201);
    Answer second = record("2026-02-01T00:00:00Z", null, "lower", 5.4, "upper", 5.5);
    assertThat(second.expect(201).at("/revision").asInt()).isEqualTo(2);
    assertThat(judged("2026-01-31T23:59:59.999999Z").at("/result").asString()).isEqualTo("PASS");
    assertThat(judged("2026-02-01T00:00:00Z").at("/result").asString()).isEqualTo("FAIL");
    assertThat(judged("2025-12-31T00:00:00Z").at("/notJudged").asString())
        .isEqualTo("NO_SPECIFICATION");
    assertThat(quality.get(path).at("/items")).hasSize(2);
  }

  @Test
  void whatCannotHoldIsRefusedWithTheReason() {
    String from = "2026-01-01T00:00:00Z";
    assertRefused(record(from, null, "lower", 6, "upper", 5), "/lower", "above the upper limit");
    assertRefused(record(from, null, "lower", 5, "upper", 6, "target", 4.9), "/target", "below");
    assertRefused(record(from, null, "lower", 5, "upper", 6, "target", 6.1), "/target", "above");
    assertRefused(record(from, null, "target", 6), "/lower", "give a lower limit");
    assertRefused(record(from, from, "lower", 5), "/validBefore", "behind validFrom");
    assertThat(record(from, null, "lower", 5, "unit", "mm").expect(422).problem())
        .isEqualTo("unit-mismatch");
    record(from, "2026-03-01T00:00:00Z", "lower", 5, "target", 5).expect(201);
    assertRefused(record(from, null, "lower", 5.1), "/validFrom", "overlaps revision 1");
    assertRefused(
        record("2026-02-01T00:00:00Z", null, "lower", 5.1), "/validFrom", "stated to hold until");
  }

  @Test
  void aRevisionIsTheSameWhenItIsSentAgain() {
    Answer first = record("2026-01-01T00:00:00Z", null, "lower", 5).expect(201);
    Answer again = record("2026-01-01T00:00:00Z", null, "lower", 5).expect(200);
    assertThat(again.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(again.json()).isEqualTo(first.json());
  }

  @Test
  void whereReadingsAreOnRecordItBeginsNoEarlierThanTheLead() {
    record("2026-01-01T00:00:00Z", null, "lower", 5).expect(201);
    judged("2026-02-01T00:00:00Z");
    assertRefused(
        record("2026-01-15T00:00:00Z", null, "lower", 5.1), "/validFrom", "not be earlier than");
    String soon = tarebook.clock().instant().plus(Duration.ofMinutes(2)).toString();
    record(soon, null, "lower", 5.1).expect(201);
  }

  @Test
  void aWithdrawnRevisionGivesItsReadingsSuccessors() {
    record("2026-01-01T00:00:00Z", null, "lower", 5, "upper", 6).expect(201);
    record("2026-02-01T00:00:00Z", null, "lower", 5.6, "upper", 6).expect(201);
    Answer before = judged("2026-01-15T00:00:00Z");
    Answer wrong = judged("2026-02-15T00:00:00Z");
    assertThat(wrong.at("/result").asString()).isEqualTo("FAIL");
    String withdrawal = path + "/2/withdrawal";
    assertThat(quality.get(withdrawal).expect(200).at("/readings").asInt()).isEqualTo(1);

    Answer done = quality.post(withdrawal, json("reason", "Typed from the wrong drawing"));
    assertThat(done.expect(200).at("/withdrawnReason").asString()).contains("wrong drawing");
    assertThat(done.at("/judgingAgain/state").asString())
        .as("it may have begun by the time of the answer")
        .isIn("WAITING", "RUNNING", "FINISHED");
    tarebook.caughtUp();
    Answer after = quality.get(path + "/2").expect(200);
    assertThat(after.at("/judgingAgain/state").asString()).isEqualTo("FINISHED");
    assertThat(after.at("/judgingAgain/done").asInt()).isEqualTo(1);
    assertThat(after.at("/judgingAgain/total").asInt()).isEqualTo(1);
    assertThat(after.at("/judgingAgain/changed").asInt()).isEqualTo(1);
    assertThat(quality.get(path + "/1").expect(200).json().has("judgingAgain")).isFalse();
    Answer now = read(wrong);
    assertThat(now.at("/result").asString()).isEqualTo("PASS");
    assertThat(now.at("/specification/revision").asInt()).isEqualTo(1);
    assertThat(now.at("/successors").asInt()).isEqualTo(1);
    assertThat(read(before).at("/successors").asInt()).isZero();
    assertThat(
            tarebook
                .reader()
                .get("/api/v1/readings?result=FAIL&station=" + floor.station())
                .at("/items"))
        .isEmpty();
    assertThat(quality.post(withdrawal, json("reason", "again")).expect(409).problem())
        .isEqualTo("conflict");
    assertThat(quality.get(path).at("/items")).hasSize(2);
  }

  /** The only revision is wrong: withdrawn, then written again from its start, or before it. */
  @Test
  void aRevisionMayTakeThePlaceOfAWithdrawnOneOnly() {
    tarebook.clock().set("2026-05-04T06:00:00Z");
    record("2026-01-01T00:00:00Z", null, "lower", 5.6, "upper", 6).expect(201);
    Answer first = judged("2026-01-15T00:00:00Z");
    Answer later = judged("2026-03-15T00:00:00Z");
    assertThat(first.at("/result").asString()).isEqualTo("FAIL");
    withdraw(1);
    Answer meanwhile = judged("2026-04-15T00:00:00Z");
    assertThat(read(first).at("/notJudged").asString()).isEqualTo("NO_SPECIFICATION");
    assertThat(meanwhile.at("/notJudged").asString()).isEqualTo("NO_SPECIFICATION");
    tarebook.clock().forward(Duration.ofMinutes(5));
    String wrong = rates("");
    String moment = tarebook.clock().instant().toString();
    tarebook.clock().forward(Duration.ofMinutes(5));

    Answer second =
        record("2026-01-01T00:00:00Z", "2026-03-01T00:00:00Z", "lower", 5, "upper", 6).expect(201);
    tarebook.caughtUp();
    assertThat(quality.get(path + "/2").at("/judgingAgain/changed").asInt()).isEqualTo(1);
    assertThat(read(first).at("/result").asString()).isEqualTo("PASS");
    assertThat(read(first).at("/specification/revision")).isEqualTo(second.at("/revision"));
    assertThat(read(later).at("/notJudged").asString()).isEqualTo("NO_SPECIFICATION");
    record("2026-03-01T00:00:00Z", null, "lower", 5.6, "upper", 6).expect(201);
    tarebook.caughtUp();
    assertThat(read(later).at("/result").asString()).isEqualTo("FAIL");
    assertThat(read(meanwhile).at("/result").asString()).isEqualTo("FAIL");
    assertThat(wrong).isEqualTo("0 0 3");
    assertThat(rates("")).isEqualTo("3 2 0");
    assertThat(rates("&asOf=" + moment)).isEqualTo(wrong);

    // between two that stand
    withdraw(2);
    assertRefused(
        record("2026-01-01T00:00:00Z", "2026-03-02T00:00:00Z", "lower", 5, "upper", 6),
        "/validFrom",
        "overlaps revision 3");
    record("2025-12-01T00:00:00Z", "2026-01-02T00:00:00Z", "lower", 5).expect(422);
    record("2026-01-01T00:00:00Z", null, "lower", 5.5, "upper", 6).expect(201);
    tarebook.caughtUp();
    assertThat(read(first).at("/specification/revision").asInt()).isEqualTo(4);
    assertThat(read(later).at("/specification/revision").asInt()).isEqualTo(3);
    assertRefused(
        record("2026-01-10T00:00:00Z", "2026-02-01T00:00:00Z", "lower", 5),
        "/validFrom",
        "overlaps revision 3");
  }

  private void withdraw(int revision) {
    quality
        .post(path + "/" + revision + "/withdrawal", json("reason", "Wrong drawing"))
        .expect(200);
    tarebook.caughtUp();
  }

  private String rates(String more) {
    Answer answer =
        quality.get(
            "/api/v1/reject-rates?measuredFrom=2026-01-01T00:00:00Z&measuredBefore=2026-05-01T00:00:00Z&line="
                + floor.line()
                + more);
    return answer.expect(200).at("/total/judged").asLong()
        + " "
        + answer.at("/total/rejected").asLong()
        + " "
        + answer.at("/total/notJudged").asLong();
  }

  @Test
  void whereAStandingRevisionOrNoneJudgedReadingsItIsStillRefused() {
    record("2026-02-01T00:00:00Z", "2026-03-01T00:00:00Z", "lower", 5).expect(201);
    judged("2026-02-15T00:00:00Z");
    withdraw(1);
    record("2026-01-01T00:00:00Z", null, "lower", 5).expect(201);
    tarebook.caughtUp();
    assertRefused(
        record("2026-02-01T00:00:00Z", null, "lower", 5.1), "/validFrom", "not be earlier than");
    withdraw(2);
    judged("2025-12-15T00:00:00Z");
    assertRefused(
        record("2025-12-01T00:00:00Z", null, "lower", 5.1), "/validFrom", "not be earlier than");
  }

  @Test
  void aRevisionThatHoldsLongerThanTheWithdrawnOneIsToldWhereToEnd() {
    record("2026-01-01T00:00:00Z", "2026-02-01T00:00:00Z", "lower", 5).expect(201);
    judged("2026-01-15T00:00:00Z");
    judged("2026-02-15T00:00:00Z");
    withdraw(1);
    assertRefused(
        record("2026-01-01T00:00:00Z", null, "lower", 5.1),
        "/validFrom",
        "since 2026-02-01T00:00:00Z are on record and were judged already; or end the revision there");
    record("2026-01-01T00:00:00Z", "2026-02-01T00:00:00Z", "lower", 5.1).expect(201);
  }

  @Test
  void theDecisionRuleIsSimpleUnlessAGuardFactorIsGiven() {
    Answer simple = record("2026-01-01T00:00:00Z", null, "lower", 5).expect(201);
    assertThat(simple.at("/decisionRule").asString()).isEqualTo("SIMPLE");
    assertThat(simple.json().has("guardFactor")).isFalse();
    Answer guarded =
        record("2026-02-01T00:00:00Z", null, "lower", 5, "guardFactor", 1.5).expect(201);
    assertThat(guarded.at("/decisionRule").asString()).isEqualTo("GUARDED");
    assertThat(guarded.at("/guardFactor").asString()).isEqualTo("1.5");
    assertThat(quality.get(path + "/2").json()).isEqualTo(guarded.json());
    assertThat(
            record("2026-02-01T00:00:00Z", null, "lower", 5, "guardFactor", 1.50)
                .expect(200)
                .json())
        .isEqualTo(guarded.json());
    assertRefused(
        record("2026-02-01T00:00:00Z", null, "lower", 5), "/validFrom", "overlaps revision 2");
    for (Object wrong : new Object[] {0, -1, 2.1}) {
      Answer refused = record("2026-03-01T00:00:00Z", null, "lower", 5, "guardFactor", wrong);
      assertThat(refused.expect(400).at("/errors/0/pointer").asString()).isEqualTo("/guardFactor");
    }
    String csv =
        "characteristic,validFrom,lower,upper,unit,comparison,guardFactor,reason\n"
            + floor.mass()
            + ",2026-03-01T00:00:00Z,5,6,kg,ABSOLUTE,0.5,r\n"
            + floor.mass()
            + ",2026-04-01T00:00:00Z,5,6,kg,ABSOLUTE,,r\n";
    quality.send("POST", "/api/v1/specifications/bulk", "text/csv", csv).expect(201);
    assertThat(quality.get(path + "/3").at("/guardFactor").asString()).isEqualTo("0.5");
    assertThat(quality.get(path + "/4").at("/decisionRule").asString()).isEqualTo("SIMPLE");
  }

  @Test
  void aCsvOfRevisionsIsAllOrNothingAndTellsEveryBadLine() {
    String csv =
        "characteristic,validFrom,lower,upper,unit,comparison,reason\n"
            + floor.mass()
            + ",2026-01-01T00:00:00Z,5,6,kg,ABSOLUTE,r\n"
            + "NO-SUCH,2026-01-01T00:00:00Z,5,6,kg,ABSOLUTE,r\n"
            + floor.mass()
            + ",2026-02-01T00:00:00Z,7,6,kg,ABSOLUTE,r\n"
            + floor.mass()
            + ",2026-03-01,5,6,kg,SOMEHOW,r\n";
    Answer refused =
        quality.send("POST", "/api/v1/specifications/bulk", "text/csv", csv).expect(400);
    assertThat(refused.at("/errors").valueStream().map(e -> e.get("line").asInt()).distinct())
        .containsExactly(3, 4, 5);
    assertThat(quality.get(path).at("/items")).isEmpty();
    String good = csv.lines().limit(2).reduce("", (a, b) -> a + b + "\n");
    assertThat(
            quality
                .send("POST", "/api/v1/specifications/bulk", "text/csv", good)
                .expect(201)
                .at("/recorded")
                .asInt())
        .isEqualTo(1);
  }

  private Answer record(String from, String before, Object... more) {
    Object[] pairs = new Object[10 + more.length];
    Object[] always = {
      "validFrom",
      from,
      "validBefore",
      before,
      "unit",
      "kg",
      "comparison",
      "ABSOLUTE",
      "reason",
      "r"
    };
    System.arraycopy(always, 0, pairs, 0, 10);
    System.arraycopy(more, 0, pairs, 10, more.length);
    return quality.post(path, json(pairs));
  }

  private Answer judged(String at) {
    return floor.post(floor.posting(5.55, "kg", at)).expect(201);
  }

  private Answer read(Answer posted) {
    return tarebook.reader().get("/api/v1/readings/" + posted.at("/id").asString()).expect(200);
  }

  private static void assertRefused(Answer answer, String pointer, String words) {
    assertThat(answer.expect(422).problem()).isEqualTo("rule-broken");
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words);
  }
}
