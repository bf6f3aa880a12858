package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.reading.Reading;
import org.tarebook.rejects.Works.Draft;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** Items that were judged with an instrument which a check finds doubtful afterwards. */
@OnBothDatabases
class SuspectRatesTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(5);
  private static final Instant START = Instant.parse("2027-01-06T10:00:00Z");
  private static final Map<Vendor, Works> STARTED = new EnumMap<>(Vendor.class);

  private final RunningTarebook tarebook;
  private final Vendor vendor;

  SuspectRatesTests(RunningTarebook tarebook, Vendor vendor) {
    this.tarebook = tarebook;
    this.vendor = vendor;
  }

  @AfterAll
  static void stop() {
    STARTED.values().forEach(Works::close);
  }

  private static void counts(JsonNode row, Object... namesAndCounts) {
    for (int i = 0; i < namesAndCounts.length; i += 2) {
      String name = (String) namesAndCounts[i];
      assertThat(row.at("/" + name).asInt(-1)).as(name).isEqualTo(namesAndCounts[i + 1]);
    }
  }

  private static Draft at(long seconds) {
    return new Draft(Codes.fresh("K"), START.plusSeconds(seconds));
  }

  private static Draft at(long seconds, String mass) {
    return at(seconds).value("A-MASS", mass);
  }

  @Test
  void whatASuspectInstrumentRejectedWasRejected() {
    Works works = STARTED.computeIfAbsent(vendor, Works::start);
    works.record(at(0, "15"));
    works.keepOut(works.record(at(1, "25")), "INSTRUMENT_SUSPECT");
    works.keepOut(works.record(at(2, "15")), "INSTRUMENT_FAILED");
    Reading mass = works.record(at(3).value("A-MASS", "25").value("A-LEN", "25"));
    works.keepOut(mass, "INSTRUMENT_SUSPECT");
    works.keepOut(works.record(at(4, "25").item("S")), "INSTRUMENT_SUSPECT");
    works.record(at(600, "15").item("S"));
    Reading voided = works.record(at(5, "25"));
    works.keepOut(voided, "INSTRUMENT_SUSPECT");
    works.voided(voided);

    JsonNode all = ask(works, "", "&groupBy=REASON").json();
    counts(all.at("/total"), "judged", 5, "rejected", 2, "firstPassRejected", 3, "voided", 1);
    // the length of the fourth is sound: it is a reject without its mass too
    counts(all.at("/total"), "judgedSuspect", 4, "rejectedSuspect", 1);
    counts(all.at("/total"), "firstPassRejectedSuspect", 2, "instrumentSuspect", 0);
    assertThat(all.at("/rows/0/reason").asString()).isEqualTo("A-LEN above");
    counts(all.at("/rows/0"), "rejected", 1, "rejectedSuspect", 0);
    counts(all.at("/rows/1"), "rejected", 2, "rejectedSuspect", 2, "firstPassRejectedSuspect", 3);
    assertThat(all.at("/includeSuspect").asBoolean()).isTrue();

    JsonNode sound = ask(works, "", "&includeSuspect=false").json();
    counts(sound.at("/total"), "judged", 3, "rejected", 1, "firstPassRejected", 1, "voided", 1);
    counts(sound.at("/total"), "instrumentSuspect", 4, "judgedSuspect", 0, "rejectedSuspect", 0);
    assertThat(sound.at("/includeSuspect").asBoolean()).isFalse();

    JsonNode chart = ask(works, "/chart", "").json();
    counts(chart, "judged", 5, "judgedSuspect", 4, "firstPassRejectedSuspect", 2);
    counts(chart.at("/points/0"), "judged", 5, "judgedSuspect", 4, "firstPassRejectedSuspect", 2);
    JsonNode soundChart = ask(works, "/chart", "&includeSuspect=false").json();
    counts(soundChart, "judged", 3, "firstPassRejected", 1, "judgedSuspect", 0);

    JsonNode side =
        ask(works, "/comparison", "&by=STATION&first=T1-W1&second=T1-W2").json().at("/first");
    counts(side, "judged", 5, "judgedSuspect", 4, "rejectedSuspect", 1);
    counts(side, "firstPassRejected", 3, "firstPassRejectedSuspect", 2);
    assertThat(
            works
                .tarebook()
                .reader()
                .get(address("", "&includeSuspect=maybe"))
                .expect(400)
                .at("/errors/0/pointer")
                .asString())
        .isEqualTo("includeSuspect");
  }

  private static String address(String what, String more) {
    return "/api/v1/reject-rates%s?measuredFrom=%s&measuredBefore=%s%s"
        .formatted(what, START.minusSeconds(7200), START.plusSeconds(7200), more);
  }

  private static Answer ask(Works works, String what, String more) {
    return works.tarebook().reader().get(address(what, more)).expect(200);
  }

  @Test
  void theNightKeepsItsRateWhenItsScaleFailsLater() {
    tarebook.clock().set("2026-03-02T06:00:00Z");
    ChartBench bench =
        new ChartBench(
            tarebook,
            "kg",
            "NOT",
            "INDIVIDUALS",
            1,
            Map.of("permissibleError", 20, "permissibleErrorUnit", "g"));
    bench.specification("4.35", "4.45", "kg");
    bench.postAll(
        List.of("4.40", "4.46", "4.41", "4.34", "4.40", "4.42", "4.47", "4.39"), "kg", FROM, STEP);
    check(bench, FROM.plus(STEP), "10.000").expect(201); // good: the first reading stays sound
    tarebook.clock().forward(Duration.ofMinutes(10));
    JsonNode before = rates(bench, "");
    counts(before, "judged", 8, "rejected", 3, "judgedSuspect", 0, "rejectedSuspect", 0);
    Instant moment = tarebook.clock().instant();
    tarebook.clock().forward(Duration.ofMinutes(10));

    check(bench, FROM.plus(STEP.multipliedBy(6)), "10.050").expect(201);
    JsonNode after = rates(bench, "");
    counts(after, "judged", 8, "rejected", 3, "firstPassRejected", 3, "readings", 8);
    // the second to the sixth are suspect; the last two lie after the failed check
    counts(after, "judgedSuspect", 7, "rejectedSuspect", 3, "instrumentSuspect", 0);
    assertThat(after.get("finalRate")).isEqualTo(before.get("finalRate"));
    JsonNode sound = rates(bench, "&includeSuspect=false");
    counts(sound, "judged", 1, "rejected", 0, "instrumentSuspect", 7, "readings", 8);
    JsonNode then = rates(bench, "&asOf=" + moment);
    counts(then, "judged", 8, "rejected", 3, "judgedSuspect", 0, "rejectedSuspect", 0);
    JsonNode soundThen = rates(bench, "&includeSuspect=false&asOf=" + moment);
    counts(soundThen, "judged", 8, "instrumentSuspect", 0);

    String line = "/api/v1/first-pass-yield?line=" + bench.floor().line();
    String window = "&measuredFrom=%s&measuredBefore=%s".formatted(FROM, BEFORE);
    JsonNode step = tarebook.reader().get(line + window).expect(200).at("/steps/0");
    counts(step, "judged", 8, "passed", 5, "judgedSuspect", 7, "firstPassRejectedSuspect", 3);
    JsonNode soundStep =
        tarebook.reader().get(line + window + "&includeSuspect=false").expect(200).at("/steps/0");
    counts(soundStep, "judged", 1, "passed", 1, "judgedSuspect", 0);
    // nothing asks for checks at intervals, so every reading counts as verified
    counts(step, "unverified", 0, "notJudged", 0);

    // what was judged before its instrument became suspect is not said to be without a judgement
    JsonNode claim =
        tarebook
            .reader()
            .get("/api/v1/claims?chart=" + bench.chart() + window + "&outsideBelow=0.3")
            .expect(200)
            .json();
    counts(claim.at("/ifLeftOutWereOutside"), "notJudged", 0);
    counts(claim.at("/ifLeftOutWereOutside"), "instrumentFailed", 2, "instrumentSuspect", 5);
    assertThat(claim.at("/words").asString())
        .contains(
            "2 readings after a check that the instrument failed are left out.",
            "5 readings between the last good check of the instrument and one that it failed are left"
                + " out.",
            "If all readings left out lay outside, it would be 99")
        .doesNotContain("could not be judged");

    // the values stay out of capability
    assertThat(
            tarebook
                .reader()
                .get("/api/v1/capability?chart=" + bench.chart() + window)
                .expect(200)
                .text())
        .contains("INSTRUMENT_SUSPECT");
  }

  private JsonNode rates(ChartBench bench, String more) {
    return tarebook
        .reader()
        .get(
            "/api/v1/reject-rates?characteristic=%s&measuredFrom=%s&measuredBefore=%s%s"
                .formatted(bench.characteristic(), FROM, BEFORE, more))
        .expect(200)
        .at("/total");
  }

  private Answer check(ChartBench bench, Instant at, String shown) {
    return tarebook
        .quality()
        .post(
            "/api/v1/instrument-checks",
            json(
                "key",
                Codes.fresh("k"),
                "instrument",
                bench.floor().scale(),
                "checkedAt",
                at.toString(),
                "standard",
                "weight A",
                "certificate",
                "C-1",
                "standardValue",
                new BigDecimal("10.000"),
                "unit",
                "kg",
                "asFound",
                List.of(new BigDecimal(shown))));
  }
}
