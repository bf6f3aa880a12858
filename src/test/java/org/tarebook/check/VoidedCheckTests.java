package org.tarebook.check;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** A check that was recorded wrongly is voided: everything stands as if it had never been made. */
@OnBothDatabases
class VoidedCheckTests {

  private static final String GOOD = "'asFound':[10.000]";
  private static final String BAD = "'asFound':[10.100]";
  private static final String DAY = "2026-03-02T";

  private final RunningTarebook tarebook;
  private Client person;
  private CheckBench bench;

  VoidedCheckTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set(DAY + "20:00:00Z");
    person = tarebook.quality();
    bench =
        CheckBench.withPlannedScale(
            tarebook, "'permissibleError':0.010,'permissibleErrorUnit':'kg'");
    tarebook
        .quality()
        .post(
            bench.fill("/api/v1/characteristics/X-P-#/specifications"),
            bench.fill(
                "{'validFrom':'2026-01-01T00:00:00Z','lower':4,'upper':6,'unit':'kg',"
                    + "'comparison':'ABSOLUTE','reason':'first'}"))
        .expect(201);
  }

  private String checked(String key, String time, String phases) {
    Answer check = bench.check(key, DAY + time + ":00Z", phases).expect(201);
    tarebook.clock().forward(Duration.ofMinutes(10));
    return "/api/v1/instrument-checks/" + check.at("/id").asString();
  }

  private Answer voided(String check, String key, String reason) {
    Answer answer =
        person.post(
            check + "/voidings", bench.fill("{'key':'%s','reason':'%s'}".formatted(key, reason)));
    tarebook.clock().forward(Duration.ofMinutes(10));
    return answer;
  }

  private void readings(String... times) {
    for (String time : times) {
      bench.reading(time, DAY + time + ":00Z");
    }
    tarebook.clock().forward(Duration.ofMinutes(10));
  }

  /** Of all readings of the bench in the order of time: result and standing. */
  private List<String> stand() {
    List<String> found = new ArrayList<>();
    for (JsonNode each : bench.read("/api/v1/readings?station=S-#").expect(200).at("/items")) {
      found.add(each.at("/result").asString() + " " + each.at("/standing").asString());
    }
    return found;
  }

  private long counted(String more) {
    return bench
        .read(
            "/api/v1/capability?chart=P-#&measuredFrom=2026-03-02T00:00:00Z"
                + "&measuredBefore=2026-03-03T00:00:00Z"
                + more)
        .expect(200)
        .at("/studies/0/counts/readings")
        .asLong();
  }

  @Test
  void aFailedCheckThatWasMistypedIsTakenBackWithItsDoubts() {
    checked("1", "06:00", GOOD);
    readings("07:00", "08:00");
    assertThat(counted("")).isEqualTo(2);
    String failed = checked("2", "10:00", BAD);
    readings("11:00");
    assertThat(stand())
        .containsExactly(
            "PASS INSTRUMENT_SUSPECT", "PASS INSTRUMENT_SUSPECT", "NOT_JUDGED INSTRUMENT_FAILED");
    assertThat(counted("")).isZero();
    Instant doubted = tarebook.clock().instant();
    tarebook.clock().forward(Duration.ofMinutes(10));

    Answer voided = voided(failed, "v1", "10.1 typed for 10.0").expect(201);
    assertThat(voided.header("Location")).isEqualTo(failed);
    assertThat(voided.at("/standing").asString()).isEqualTo("VOIDED");
    assertThat(voided.at("/asFoundResult").asString()).isEqualTo("FAIL");
    assertThat(voided.at("/voiding/reason").asString()).isEqualTo("10.1 typed for 10.0");
    assertThat(voided.at("/voiding/suspectReadings").asLong()).isZero();
    assertThat(voided.at("/suspectReadings").asLong()).isEqualTo(2);
    assertThat(voided.at("/doubt").asString())
        .isEqualTo(
            "It was voided and says nothing of the instrument. The doubt of 2026-03-02T10:00:00Z"
                + " that rested on it is lifted.");
    assertThat(stand()).containsOnly("PASS COUNTED").hasSize(3);
    assertThat(counted("")).isEqualTo(3);
    assertThat(counted("&asOf=" + doubted)).isZero();
    assertThat(bench.read("/api/v1/instruments/I-#/standing").at("/standing").asString())
        .isEqualTo("IN_ORDER");
    JsonNode listed = bench.read("/api/v1/instrument-checks?instrument=I-#").at("/items");
    assertThat(listed.at("/0/standing").asString()).isEqualTo("VOIDED");
    assertThat(listed.at("/0/doubt")).isEqualTo(voided.at("/doubt"));
    assertThat(listed.at("/1/standing").asString()).isEqualTo("COUNTED");
    String id = voided.at("/id").asString();
    JsonNode audit =
        bench.read("/api/v1/audit?subject=instrument%20check&code=" + id).expect(200).at("/items");
    assertThat(audit).hasSize(2);
    assertThat(audit.at("/0/action").asString()).isEqualTo("voided");
    assertThat(audit.at("/1/action").asString()).isEqualTo("recorded");
    assertThat(audit.at("/1/detail").asString()).contains("10.100");
  }

  @Test
  void aCheckThatClosedADoubtOpensItAgain() {
    checked("1", "06:00", GOOD);
    readings("07:00");
    checked("2", "10:00", BAD);
    readings("11:00", "13:00");
    String right = checked("3", "12:00", GOOD);
    readings("14:00");
    assertThat(stand())
        .containsExactly(
            "PASS INSTRUMENT_SUSPECT",
            "NOT_JUDGED INSTRUMENT_FAILED",
            "PASS COUNTED",
            "PASS COUNTED");
    Answer voided = voided(right, "v1", "never made").expect(201);
    assertThat(voided.at("/doubt").asString())
        .contains("The doubt of 2026-03-02T10:00:00Z stands without it");
    String failed = "NOT_JUDGED INSTRUMENT_FAILED";
    assertThat(stand()).containsExactly("PASS INSTRUMENT_SUSPECT", failed, failed, failed);
    assertThat(counted("")).isZero();
    checked("4", "13:30", GOOD);
    assertThat(stand()).containsExactly("PASS INSTRUMENT_SUSPECT", failed, failed, "PASS COUNTED");
  }

  /** They were judged before any check said that the scale had failed. */
  @Test
  void whatWasRecordedBeforeTheFailedCheckKeepsItsResult() {
    checked("1", "06:00", GOOD);
    readings("10:30", "13:00");
    checked("2", "10:00", BAD);
    String good = checked("3", "12:00", GOOD);
    readings("14:00");
    assertThat(stand()).containsExactly("PASS INSTRUMENT_FAILED", "PASS COUNTED", "PASS COUNTED");
    voided(good, "v1", "of another scale").expect(201);
    assertThat(stand())
        .containsExactly(
            "PASS INSTRUMENT_FAILED", "PASS INSTRUMENT_FAILED", "NOT_JUDGED INSTRUMENT_FAILED");
  }

  @Test
  void theLastGoodCheckMovesBackAndTheDoubtWithIt() {
    readings("05:00");
    String good = checked("1", "06:00", GOOD);
    readings("07:00");
    checked("2", "10:00", BAD);
    assertThat(stand()).containsExactly("PASS COUNTED", "PASS INSTRUMENT_SUSPECT");
    Answer voided = voided(good, "v1", "of another scale").expect(201);
    assertThat(voided.at("/voiding/suspectReadings").asLong()).isEqualTo(1);
    assertThat(stand()).containsOnly("PASS INSTRUMENT_SUSPECT").hasSize(2);
    assertThat(bench.read("/api/v1/instruments/I-#/standing").at("/lastGoodCheck").isMissingNode())
        .isTrue();
  }

  @Test
  void aRetryIsAnsweredAlikeAndWhatElseIsWrongIsRefused() {
    String failed = checked("1", "10:00", BAD);
    String other = checked("2", "11:00", BAD);
    String key = Codes.fresh("v");
    Answer first = voided(failed, key, "typed wrongly").expect(201);
    Answer again = voided(failed, key, "typed wrongly").expect(200);
    assertThat(again.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(again.json()).isEqualTo(first.json());
    Answer differs = voided(failed, key, "for another reason");
    assertThat(differs.problem()).isEqualTo("key-reused");
    assertThat(voided(other, key, "typed wrongly").problem()).isEqualTo("key-reused");
    Answer twice = voided(failed, Codes.fresh("v"), "again");
    assertThat(twice.expect(409).problem()).isEqualTo("conflict");
    assertThat(twice.at("/detail").asString()).contains("was voided already", "typed wrongly");
    assertThat(voided("/api/v1/instrument-checks/999999999999", key, "x").status()).isEqualTo(404);
    voided(other, Codes.fresh("v"), " ").expect(400);
    Answer ofStation =
        bench.station().post(other + "/voidings", bench.fill("{'key':'k','reason':'r'}"));
    assertThat(ofStation.expect(403).problem()).isEqualTo("not-allowed");
  }

  @Test
  void theChartOfItsErrorsLeavesItOut() {
    String failed = checked("1", "10:00", BAD);
    checked("2", "11:00", GOOD);
    String chart =
        "/api/v1/instrument-checks/chart?instrument=I-#&standard=weight%20A"
            + "&checkedFrom=2026-03-02T00:00:00Z&checkedBefore=2026-03-03T00:00:00Z";
    assertThat(bench.read(chart).expect(200).at("/points")).hasSize(2);
    voided(failed, "v1", "typed wrongly").expect(201);
    assertThat(bench.read(chart).expect(200).at("/points")).hasSize(1);
  }
}
