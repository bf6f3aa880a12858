package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** What instruments can show, in revisions, and the readings that follow them. */
@OnBothDatabases
class InstrumentRevisionHttpTests {

  private static final Instant FROM = Instant.parse("2026-03-02T06:00:00Z");
  private static final Instant BEFORE = Instant.parse("2026-03-02T18:00:00Z");
  private static final String FIRST = "1970-01-01T00:00:00Z";

  private final RunningTarebook tarebook;
  private ChartBench bench;

  InstrumentRevisionHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-03T06:00:00Z");
    bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.specification("4.0", "7.0", "kg");
  }

  private String path() {
    return "/api/v1/instruments/" + bench.floor().scale() + "/revisions";
  }

  private Answer revise(Client by, String key, String validFrom, Object... data) {
    List<Object> pairs = new ArrayList<>(List.of("key", key, "validFrom", validFrom));
    pairs.addAll(List.of(data));
    pairs.addAll(List.of("reason", "typed wrongly"));
    return by.post(path(), json(pairs.toArray()));
  }

  private Answer revise(String validFrom, Object... data) {
    return revise(tarebook.quality(), Codes.fresh("k"), validFrom, data).expect(201);
  }

  private Instant at(int minutes) {
    return FROM.plus(Duration.ofMinutes(minutes));
  }

  private String result(Answer reading) {
    JsonNode now = tarebook.reader().get("/api/v1/readings/" + reading.at("/id").asString()).json();
    return now.at("/result").asString() + " " + now.at("/standing").asString();
  }

  private List<String> results(List<Answer> readings) {
    return readings.stream().map(this::result).toList();
  }

  private long counted(String more) {
    return bench.study(FROM, BEFORE, more).at("/counts/readings").asLong();
  }

  private static List<String> list(JsonNode items, String member) {
    List<String> found = new ArrayList<>();
    items.forEach(item -> found.add(item.at(member).asString()));
    return found;
  }

  @Test
  void aCapacityTypedWronglyIsMendedAndReadingsFollow() {
    List<Answer> readings = new ArrayList<>();
    readings.add(bench.post("4.5", at(0)));
    readings.add(bench.post("6.0", at(5)));
    readings.add(bench.post("6.0", at(6), "gross", 9.0, "tare", 3.0));
    readings.add(
        bench.floor().post(bench.posting("11.5", "[lb_av]", at(7))).expect(201)); // 5.216 kg
    readings.add(bench.floor().post(bench.posting("8", "kg", at(8))).expect(201));
    assertThat(counted("")).isEqualTo(5);
    tarebook.clock().forward(Duration.ofMinutes(10));
    Instant then = tarebook.clock().instant();
    tarebook.clock().forward(Duration.ofMinutes(10));

    assertThat(revise(FIRST, "capacity", 5).at("/judgedAgain").asLong()).isEqualTo(4);
    String above = "NOT_JUDGED ABOVE_CAPACITY";
    assertThat(results(readings)).containsExactly("PASS COUNTED", above, above, above, above);
    assertThat(counted("")).isEqualTo(1);
    assertThat(counted("&asOf=" + then)).isEqualTo(5);
    tarebook.clock().forward(Duration.ofMinutes(10));
    Instant wrong = tarebook.clock().instant();
    tarebook.clock().forward(Duration.ofMinutes(10));

    Answer right = revise(FIRST, "capacity", 8.5);
    assertThat(right.at("/revision").asInt()).isEqualTo(3);
    assertThat(right.at("/judgedAgain").asLong()).isEqualTo(3);
    assertThat(results(readings))
        .containsExactly("PASS COUNTED", "PASS COUNTED", above, "PASS COUNTED", "FAIL COUNTED");
    assertThat(counted("")).isEqualTo(4);
    assertThat(counted("&asOf=" + wrong)).isEqualTo(1);
    assertThat(counted("&asOf=" + then)).isEqualTo(5);

    assertThat(revise(FIRST, "unknown", List.of("capacity")).at("/judgedAgain").asLong())
        .isEqualTo(1);
    assertThat(counted("")).isEqualTo(5);
    Answer audit = tarebook.quality().get("/api/v1/audit?code=" + bench.floor().scale());
    assertThat(list(audit.at("/items"), "/action"))
        .containsExactly("revised", "revised", "revised", "created");
  }

  /** More than are judged again at once: refused, and done in steps from the latest. */
  @Test
  void aCapacityThatConcernsVeryManyReadingsIsMendedInSteps() {
    int half = AboveCapacity.MOST / 2 + 1;
    bench.postAll(Collections.nCopies(half, "6.0"), "kg", at(0), Duration.ofMillis(10));
    bench.postAll(Collections.nCopies(half, "6.0"), "kg", at(60), Duration.ofMillis(10));
    Answer refused = revise(tarebook.quality(), Codes.fresh("k"), FIRST, "capacity", 5).expect(422);
    assertThat(refused.text())
        .contains("/validFrom")
        .contains("more than 20,000 readings judged again at once")
        .contains("for a later validFrom first");
    assertThat(counted("")).isEqualTo(2L * half);
    assertThat(revise(at(60).toString(), "capacity", 5).at("/judgedAgain").asLong())
        .isEqualTo(half);
    assertThat(revise(FIRST, "capacity", 5).at("/judgedAgain").asLong()).isEqualTo(half);
    assertThat(counted("")).isZero();
  }

  @Test
  void aRevisionHoldsFromItsMomentUntilTheNextBegins() {
    revise(at(10).toString(), "capacity", 5);
    revise(at(20).toString(), "capacity", 6.5);
    List<Answer> readings =
        List.of(
            bench.post("6.0", at(9)),
            bench.post("6.0", at(10)),
            bench.post("6.0", at(19)),
            bench.post("6.0", at(20)),
            bench.post("6.6", at(21)));
    String above = "NOT_JUDGED ABOVE_CAPACITY";
    assertThat(results(readings))
        .containsExactly("PASS COUNTED", above, above, "PASS COUNTED", above);

    assertThat(revise(at(15).toString(), "capacity", 7).at("/judgedAgain").asLong()).isEqualTo(1);
    assertThat(results(readings))
        .containsExactly("PASS COUNTED", above, "PASS COUNTED", "PASS COUNTED", above);
    JsonNode all = tarebook.reader().get(path()).expect(200).at("/items");
    assertThat(list(all, "/revision")).containsExactly("1", "2", "3", "4");
    assertThat(list(all, "/validFrom"))
        .containsExactly(FIRST, at(10).toString(), at(20).toString(), at(15).toString());
    assertThat(all.at("/0/key").isMissingNode()).isTrue();
    assertThat(all.at("/3/capacity").decimalValue()).isEqualByComparingTo("7");
    assertThat(tarebook.reader().get(path() + "/4").expect(200).json()).isEqualTo(all.get(3));
    tarebook.reader().get(path() + "/5").expect(404);
    tarebook.reader().get(path() + "/0").expect(404);
    assertThat(
            tarebook
                .reader()
                .get("/api/v1/instruments/" + bench.floor().scale())
                .at("/capacity")
                .decimalValue())
        .isEqualByComparingTo("6.5");
  }

  @Test
  void aRepeatIsAnsweredAsStoredAndAnotherContentIsRefused() {
    Client quality = tarebook.quality();
    Answer first = revise(quality, "K1", FIRST, "capacity", 5, "interval", 0.002).expect(201);
    assertThat(first.header("Location")).isEqualTo(path() + "/2");
    Answer again = revise(quality, "K1", FIRST, "capacity", 5.0, "interval", 0.002).expect(200);
    assertThat(again.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(again.json()).isEqualTo(first.json());
    assertThat(again.at("/judgedAgain").asLong()).isZero();
    Answer other = revise(quality, "K1", FIRST, "capacity", 6, "interval", 0.002);
    assertThat(other.status()).isEqualTo(422);
    assertThat(other.problem()).isEqualTo("key-reused");
    assertThat(other.at("/detail").asString()).contains("K1", "revision 2", "capacity");
    assertThat(tarebook.reader().get(path()).at("/items").size()).isEqualTo(2);
    Answer noClass = revise(quality, "K2", FIRST, "accuracyClass", "III");
    assertThat(noClass.status()).isEqualTo(422);
    assertThat(noClass.at("/errors/0/pointer").asString()).isEqualTo("/accuracyClass");
  }

  @Test
  void whatIsLeftOutStaysAndARevisionThatChangesNothingIsRefused() {
    Client quality = tarebook.quality();
    Answer first = revise(quality, "K1", FIRST, "capacity", 5, "interval", 0.002).expect(201);
    Answer second = revise(quality, "K2", at(10).toString(), "capacity", 6).expect(201);
    assertThat(second.at("/interval").decimalValue()).isEqualByComparingTo("0.002");
    assertThat(revise(quality, "K1", FIRST, "capacity", 5, "interval", 0.002).expect(200).json())
        .isEqualTo(first.json());
    Answer nothing = revise(quality, "K3", at(20).toString(), "capacity", 6.0);
    assertThat(nothing.expect(422).problem()).isEqualTo("rule-broken");
    assertThat(nothing.at("/detail").asString())
        .isEqualTo(
            "The revision changes nothing: from "
                + at(20)
                + " on instrument "
                + bench.floor().scale()
                + " has capacity 6 kg, interval 0.002 kg. Send what differs.");
    revise(quality, "K4", at(20).toString()).expect(422);
    Answer third =
        revise(quality, "K5", at(20).toString(), "unknown", List.of("interval")).expect(201);
    assertThat(third.at("/interval").isMissingNode()).isTrue();
    assertThat(third.at("/capacity").decimalValue()).isEqualByComparingTo("6");
    Answer both =
        revise(quality, "K6", FIRST, "capacity", 7, "unknown", List.of("capacity")).expect(422);
    assertThat(both.at("/errors/0/pointer").asString()).isEqualTo("/capacity");
    revise(quality, "K7", FIRST, "unknown", List.of("weight")).expect(400);
  }

  @Test
  void aReadingOfAFailedScaleThatLayAboveItsCapacityIsJudgedWhenBothAreMended() {
    revise(FIRST, "capacity", 5, "verificationInterval", 0.005, "accuracyClass", "III");
    check(at(0), 4.9).expect(201);
    Answer reading = bench.post("6.0", at(10));
    assertThat(result(reading)).isEqualTo("NOT_JUDGED INSTRUMENT_FAILED");
    assertThat(reading.at("/notJudged").asString()).isEqualTo("ABOVE_CAPACITY");
    revise(FIRST, "capacity", 15, "verificationInterval", 0.005, "accuracyClass", "III");
    assertThat(
            tarebook
                .reader()
                .get("/api/v1/readings/" + reading.at("/id").asString())
                .at("/notJudged")
                .asString())
        .isEqualTo("INSTRUMENT_FAILED");
    check(at(5), 5.0).expect(201);
    assertThat(result(reading)).isEqualTo("PASS COUNTED");
  }

  @Test
  void theClassInForceWhenAnInstrumentWasCheckedSetsTheLimit() {
    revise(FIRST, "capacity", 15, "verificationInterval", 0.005, "accuracyClass", "III");
    revise(at(30).toString(), "capacity", 15, "verificationInterval", 0.01, "accuracyClass", "III");
    assertThat(check(at(29), 5.0).expect(201).at("/limit").decimalValue())
        .isEqualByComparingTo("0.01");
    assertThat(check(at(30), 5.0).expect(201).at("/limit").decimalValue())
        .isEqualByComparingTo("0.01");
  }

  @Test
  void theCoarsestIntervalOfAWindowIsTheStepOfItsReadings() {
    for (int i = 0; i < 12; i++) {
      bench.post("4.5" + i % 4, at(i));
    }
    assertThat(bench.study(FROM, BEFORE, "").at("/flags").toString()).doesNotContain("TOO_COARSE");
    revise(BEFORE.toString(), "interval", 0.1);
    assertThat(bench.study(FROM, BEFORE, "").at("/flags").toString()).doesNotContain("TOO_COARSE");
    tarebook.clock().forward(Duration.ofMinutes(10));
    Instant then = tarebook.clock().instant();
    tarebook.clock().forward(Duration.ofMinutes(10));
    revise(at(6).toString(), "interval", 0.1);
    assertThat(bench.study(FROM, BEFORE, "").at("/flags").toString())
        .contains("TOO_COARSE", "\"step\":0.1");
    assertThat(bench.study(FROM, BEFORE, "&asOf=" + then).at("/flags").toString())
        .doesNotContain("TOO_COARSE");
  }

  private Answer check(Instant at, double found) {
    return tarebook
        .station(bench.floor().station())
        .post(
            "/api/v1/instrument-checks",
            json(
                "key",
                Codes.fresh("c"),
                "instrument",
                bench.floor().scale(),
                "checkedAt",
                at.toString(),
                "standard",
                "weight A",
                "certificate",
                "C-1",
                "standardValue",
                5,
                "unit",
                "kg",
                "asFound",
                List.of(found)));
  }
}
