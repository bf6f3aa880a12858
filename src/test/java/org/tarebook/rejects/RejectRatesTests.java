package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.reading.Flag;
import org.tarebook.reading.Phase;
import org.tarebook.reading.Reading;
import org.tarebook.rejects.Works.Draft;
import org.tarebook.stats.Interval;
import org.tarebook.stats.Overdispersion;
import org.tarebook.stats.Proportion;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class RejectRatesTests {

  private static final AtomicLong MONTHS = new AtomicLong();

  private static final Map<Vendor, Works> STARTED = new EnumMap<>(Vendor.class);

  private final Works works;

  RejectRatesTests(Vendor vendor) {
    works = STARTED.computeIfAbsent(vendor, Works::start);
  }

  @AfterAll
  static void stop() {
    STARTED.values().forEach(Works::close);
  }

  /** A month of its own for each test, beginning at 11 or 12 o'clock of a Wednesday. */
  private final Instant start =
      Instant.parse("2027-01-06T10:00:00Z").plusSeconds(MONTHS.getAndIncrement() * 28 * 86_400);

  private Draft at(long seconds) {
    return new Draft(Codes.fresh("K"), start.plusSeconds(seconds));
  }

  private Draft at(long seconds, String mass) {
    return at(seconds).value("A-MASS", mass);
  }

  private Answer ask(String more) {
    return works
        .tarebook()
        .reader()
        .get(
            "/api/v1/reject-rates?measuredFrom=%s&measuredBefore=%s%s"
                .formatted(start.minusSeconds(7200), start.plusSeconds(20 * 86_400), more));
  }

  private JsonNode total(String more) {
    return ask(more).expect(200).at("/total");
  }

  /** The rows in which anything was. */
  private List<JsonNode> used(String more) {
    List<JsonNode> rows = new ArrayList<>();
    for (JsonNode row : ask(more).expect(200).at("/rows")) {
      if (row.at("/readings").asInt() > 0) {
        rows.add(row);
      }
    }
    return rows;
  }

  private static void counts(JsonNode row, Object... namesAndCounts) {
    for (int i = 0; i < namesAndCounts.length; i += 2) {
      String name = (String) namesAndCounts[i];
      assertThat(row.at("/" + name).asInt(-1)).as(name).isEqualTo(namesAndCounts[i + 1]);
    }
  }

  @Test
  void itemIsRejectedWhenAnyOfItsCharacteristicsFails() {
    works.record(
        List.of(
            at(0).value("A-MASS", "15").value("A-LEN", "25"),
            at(1).value("A-MASS", "15").value("A-LEN", "15"),
            at(2).value("A-MASS", "5").value("A-LEN", "5"),
            at(3, "10")));
    JsonNode total = total("");
    counts(total, "judged", 4, "rejected", 2, "firstPassRejected", 2, "readings", 7);
    assertThat(total.at("/finalRate/share").asDouble()).isEqualTo(0.5);
    Interval wilson = Proportion.wilson(new Proportion.Count(2, 4), 0.95);
    assertThat(total.at("/finalRate/interval/lower").asDouble()).isEqualTo(wilson.lower());
    assertThat(total.at("/finalRate/interval/upper").asDouble()).isEqualTo(wilson.upper());
    assertThat(total.at("/finalRate/betweenShifts/notComputed").asString()).isEqualTo("ONE_SHIFT");
    assertThat(total.at("/finalRate/betweenShifts/interval").isMissingNode()).isTrue();
  }

  @Test
  void characteristicOfItsOwnHasItsOwnRate() {
    works.record(at(0).value("A-MASS", "15").value("A-LEN", "25").value("P-RUN", "25"));
    counts(total("&characteristic=A-MASS"), "judged", 1, "rejected", 0, "readings", 1);
    counts(total("&characteristic=A-LEN"), "judged", 1, "rejected", 1);
    counts(total("&component=TR-A"), "judged", 1, "rejected", 1, "readings", 2);
    counts(total("&product=P1"), "judged", 1, "rejected", 1, "readings", 1);
    counts(total("&product=P1&component=TR-A"), "judged", 0, "readings", 0);
  }

  @Test
  void remeasuredItemIsRejectedAtTheFirstPassAndAcceptedForGood() {
    Draft first = at(0, "25");
    works.record(first);
    works.record(at(60, "15").remeasures(first.key()));
    works.record(at(300, "15"));
    JsonNode total = total("");
    counts(
        total,
        "judged",
        2,
        "rejected",
        0,
        "firstPassRejected",
        1,
        "remeasured",
        1,
        "passAfterFail",
        1);
    assertThat(total.at("/finalRate/share").asDouble()).isZero();
    assertThat(total.at("/finalRate/interval/lower").asDouble()).isZero();
    assertThat(total.at("/firstPassRate/share").asDouble()).isEqualTo(0.5);
  }

  @Test
  void passMoreThanTwoMinutesAfterTheFailIsNoHaste() {
    works.record(at(0, "25").item("I" + start));
    works.record(at(120, "25").item("I" + start));
    works.record(at(241, "15").item("I" + start));
    counts(total(""), "judged", 1, "passAfterFail", 0, "remeasured", 2, "rejected", 0);
    works.record(at(500, "25").item("J" + start));
    works.record(at(620, "15").item("J" + start));
    counts(total(""), "judged", 2, "passAfterFail", 1, "firstPassRejected", 2);
  }

  @Test
  void numberedItemIsOneItemWhereverItIsMeasuredAndCountsOnEachLine() {
    String item = "N" + start;
    works.record(at(0, "15").item(item));
    works.record(at(86_400).station("T2-W1").value("B-MASS", "25").item(item));
    Answer answer = ask("&groupBy=LINE").expect(200);
    assertThat(answer.at("/rows").size()).isEqualTo(2);
    counts(answer.at("/rows/0"), "judged", 1, "rejected", 0);
    counts(answer.at("/rows/1"), "judged", 1, "rejected", 1);
    counts(answer.at("/total"), "judged", 1, "rejected", 1);
    counts(total("&line=T2"), "judged", 1, "rejected", 1, "firstPassRejected", 1);
    counts(total("&line=T1"), "judged", 1, "rejected", 0);
    List<JsonNode> days = used("&bucket=DAY");
    assertThat(days).hasSize(2);
    counts(days.get(0), "judged", 1, "rejected", 1, "readings", 1);
    counts(days.get(1), "judged", 0, "readings", 1);
    assertThat(days.get(1).at("/finalRate/notComputed").asString()).isEqualTo("NOTHING_JUDGED");
    assertThat(days.get(1).at("/finalRate/share").isMissingNode()).isTrue();
  }

  @Test
  void itemJudgedBeforeTheWindowIsNotCountedAgain() {
    Draft chained = at(0, "25");
    works.record(chained);
    works.record(at(7200, "25").remeasures(chained.key()));
    works.record(at(1, "15").truck("W" + start));
    works.record(at(7201, "25").truck("W" + start));
    works.record(at(7202, "15"));
    String late = "/api/v1/reject-rates?measuredFrom=%s&measuredBefore=%s";
    Answer answer =
        works
            .tarebook()
            .reader()
            .get(late.formatted(start.plusSeconds(3600), start.plusSeconds(9000)))
            .expect(200);
    counts(answer.at("/total"), "judged", 1, "rejected", 0, "remeasured", 2, "readings", 3);
  }

  @Test
  void finalResultLiesWhereItWasMeasuredEvenAfterTheWindow() {
    Draft first = at(0, "25");
    works.record(first);
    works.record(at(7200, "15").remeasures(first.key()));
    Answer answer =
        works
            .tarebook()
            .reader()
            .get(
                "/api/v1/reject-rates?measuredFrom=%s&measuredBefore=%s"
                    .formatted(start, start.plusSeconds(60)))
            .expect(200);
    counts(
        answer.at("/total"), "judged", 1, "rejected", 0, "firstPassRejected", 1, "remeasured", 0);
  }

  @Test
  void voidedFirstReadingLeavesThePlaceToTheNext() {
    Draft first = at(0, "25");
    Reading wrong = works.record(first);
    works.record(at(7200, "15").remeasures(first.key()));
    works.voided(wrong);
    counts(
        total(""),
        "judged",
        1,
        "firstPassRejected",
        0,
        "voided",
        1,
        "remeasured",
        0,
        "passAfterFail",
        0);
    List<JsonNode> hours = used("&bucket=HOUR");
    counts(hours.get(0), "judged", 0, "voided", 1);
    counts(hours.get(1), "judged", 1, "voided", 0);
  }

  @Test
  void replacedReadingGivesWayToItsReplacement() {
    Reading wrong = works.record(at(0, "25"));
    works.replace(wrong, "15");
    counts(total(""), "judged", 1, "rejected", 0, "replaced", 1, "readings", 2, "remeasured", 0);
    Reading named = works.record(at(60, "15").item("X" + start));
    works.record(at(90, "15").item("X" + start));
    works.replace(named, "25");
    counts(
        total(""),
        "judged",
        2,
        "firstPassRejected",
        1,
        "rejected",
        0,
        "replaced",
        2,
        "passAfterFail",
        1);
  }

  @Test
  void lastSuccessorResultIsInForceAndConditionalIsNoReject() {
    Reading first = works.record(at(0, "25"));
    works.judgeAgain(first, 1, "PASS", null);
    works.judgeAgain(first, 2, "CONDITIONAL", "ABOVE");
    Reading second = works.record(at(1, "15"));
    works.judgeAgain(second, 1, "FAIL", "BELOW");
    Reading third = works.record(at(2, "15"));
    works.judgeAgain(third, 1, "NOT_JUDGED", null);
    counts(total(""), "judged", 2, "rejected", 1, "conditional", 1, "notJudged", 1);
    JsonNode reasons = ask("&groupBy=REASON,DIRECTION").expect(200).at("/rows");
    assertThat(reasons.size()).isEqualTo(1);
    assertThat(reasons.at("/0/reason").asString()).isEqualTo("A-MASS light");
    assertThat(reasons.at("/0/direction").asString()).isEqualTo("BELOW");
  }

  @Test
  void whatTakesNoPartIsCountedApartUnderItsFirstCause() {
    works.record(at(0, "15"));
    works.record(at(1).value("A-MASS", "25", Flag.UNSTABLE));
    works.record(at(2).value("A-MASS", null, Flag.OVERLOAD));
    works.record(at(3, "25").phase(Phase.START_UP));
    Reading suspect = works.record(at(4, "25"));
    works.keepOut(suspect, "INSTRUMENT_SUSPECT");
    Reading failed = works.record(at(5, "25").phase(Phase.TRIAL));
    works.keepOut(failed, "INSTRUMENT_FAILED");
    Reading right = works.record(at(6, "25"));
    works.keepOut(right, "INSTRUMENT_SUSPECT");
    works.letIn(right, "INSTRUMENT_SUSPECT");
    Reading voided = works.record(at(7, "25").phase(Phase.TRIAL));
    works.voided(voided);
    counts(
        total(""),
        "judged",
        3,
        "rejected",
        2,
        "judgedSuspect",
        1,
        "rejectedSuspect",
        1,
        "readings",
        8,
        "notJudged",
        2,
        "notRunning",
        2,
        "instrumentSuspect",
        0,
        "voided",
        1,
        "replaced",
        0,
        "unverified",
        0);
  }

  @Test
  void resultsOfAnInstrumentWhoseCheckIsOverdueCountAndAreTold() {
    works.record(at(0).station("T2-W1").value("B-MASS", "25"));
    works.record(at(1).station("T1-W1").value("B-MASS", "15"));
    counts(total(""), "judged", 2, "rejected", 1, "unverified", 1);
  }

  @Test
  void reasonsKeepTheDenominatorAndStandWhereTheyCanOccur() {
    works.record(at(0).die("D1").value("A-MASS", "25").value("A-LEN", "5"));
    works.record(at(1).die("D1").value("A-MASS", "15").value("A-LEN", "15"));
    works.record(at(2, "15").die("D2"));
    JsonNode rows = ask("&groupBy=DIE,REASON").expect(200).at("/rows");
    List<String> told = new ArrayList<>();
    rows.forEach(
        row ->
            told.add(
                row.at("/die").asString()
                    + ", "
                    + row.at("/reason").asString()
                    + ": "
                    + row.at("/rejected").asInt()
                    + " of "
                    + row.at("/judged").asInt()));
    assertThat(told)
        .containsExactly(
            "D1, A-LEN below: 1 of 2", "D1, A-MASS heavy: 1 of 2", "D2, A-MASS heavy: 0 of 1");
    JsonNode directions = ask("&groupBy=DIRECTION").expect(200).at("/rows");
    assertThat(directions.size()).isEqualTo(2);
    counts(directions.get(0), "rejected", 1, "judged", 3);
    assertThat(directions.at("/0/direction").asString()).isEqualTo("BELOW");
    assertThat(directions.at("/0/reason").isMissingNode()).isTrue();
  }

  @Test
  void stationDieAndShiftAreThoseOfTheFirstJudgedReading() {
    String item = "S" + start;
    works.record(at(0).value("A-MASS", "15", Flag.UNSTABLE).die("D9").item(item));
    works.record(at(60, "25").station("T1-W2").die("D1").item(item));
    works.record(at(8 * 3600, "15").die("D2").item(item));
    JsonNode rows = ask("&groupBy=STATION,DIE,SHIFT").expect(200).at("/rows");
    assertThat(rows.size()).isEqualTo(3);
    counts(rows.get(0), "judged", 0, "remeasured", 1);
    counts(rows.get(1), "judged", 0, "notJudged", 1);
    counts(rows.get(2), "judged", 1, "firstPassRejected", 1, "rejected", 0, "remeasured", 0);
    assertThat(rows.at("/2/station").asString()).isEqualTo("T1-W2");
    assertThat(rows.at("/2/die").asString()).isEqualTo("D1");
    assertThat(rows.at("/2/shift").asString()).isEqualTo("early");
    counts(total("&station=T1-W2"), "judged", 1, "readings", 1);
    counts(total("&die=D2"), "judged", 0, "readings", 1, "remeasured", 1);
    counts(total("&shift=early"), "judged", 1, "notJudged", 1);
    counts(total("&shift=late"), "judged", 0, "readings", 1);
  }

  @Test
  void spreadBetweenShiftsWidensTheInterval() {
    List<Draft> drafts = new ArrayList<>();
    int[] failed = {1, 9, 0};
    for (int shift = 0; shift < 3; shift++) {
      for (int i = 0; i < 20; i++) {
        drafts.add(at(shift * 8 * 3600L + i, i < failed[shift] ? "25" : "15"));
      }
    }
    works.record(drafts);
    JsonNode rate = total("&confidence=0.9").at("/finalRate");
    Overdispersion expected =
        Overdispersion.of(
                List.of(
                    new Proportion.Count(1, 20),
                    new Proportion.Count(9, 20),
                    new Proportion.Count(0, 20)))
            .orElseThrow();
    JsonNode between = rate.at("/betweenShifts");
    assertThat(between.at("/groups").asInt()).isEqualTo(3);
    assertThat(between.at("/dispersion").asDouble()).isEqualTo(expected.dispersion());
    // Pearson's chi-square of 1, 9, 0 of 20 about 10 of 60: (49 + 289 + 100) / 9 / (20 / 6 * 5 / 6)
    assertThat(expected.dispersion()).isCloseTo(438 / 9.0 / (100 / 36.0) / 2, within(1e-12));
    assertThat(between.at("/interval/lower").asDouble()).isEqualTo(expected.interval(0.9).lower());
    assertThat(between.at("/interval/upper").asDouble()).isEqualTo(expected.interval(0.9).upper());
    assertThat(between.at("/interval/upper").asDouble())
        .isGreaterThan(rate.at("/interval/upper").asDouble());
    List<JsonNode> shifts = used("&bucket=SHIFT");
    assertThat(shifts).hasSize(3);
    assertThat(shifts.get(1).at("/finalRate/betweenShifts/notComputed").asString())
        .isEqualTo("ONE_SHIFT");
  }
}
