package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.apache.commons.statistics.distribution.TDistribution;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.rejects.Works.Draft;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** Cures in reject rates, and the rows of a question that can and cannot be. */
@OnBothDatabases
class CureRatesTests {

  private static final Instant START = Instant.parse("2027-01-06T10:00:00Z");
  private static final Map<Vendor, Works> STARTED = new EnumMap<>(Vendor.class);
  private static final Map<Vendor, PressLoads> LOADS = new EnumMap<>(Vendor.class);
  private static long months = 0;

  private final Works works;
  private final PressLoads loads;

  /** A month of its own for each test. */
  private final Instant start = START.plusSeconds(months++ * 28 * 86_400);

  CureRatesTests(Vendor vendor) {
    works = STARTED.computeIfAbsent(vendor, Works::start);
    loads = LOADS.computeIfAbsent(vendor, none -> new PressLoads(works));
  }

  @AfterAll
  static void stop() {
    STARTED.values().forEach(Works::close);
  }

  private JsonNode ask(String what, String more) {
    return works
        .tarebook()
        .reader()
        .get(
            "/api/v1/%s?measuredFrom=%s&measuredBefore=%s%s"
                .formatted(what, start.minusSeconds(7200), start.plusSeconds(14_400), more))
        .expect(200)
        .json();
  }

  private static void counts(JsonNode row, Object... namesAndCounts) {
    for (int i = 0; i < namesAndCounts.length; i += 2) {
      String name = (String) namesAndCounts[i];
      assertThat(row.at("/" + name).asInt(-1)).as(name).isEqualTo(namesAndCounts[i + 1]);
    }
  }

  /** A load that ends a number of seconds after the start, with one breach in some cavities. */
  private long load(String press, long ended, List<String> tyres, int... bad) {
    Instant closed = start.plusSeconds(ended);
    long load = loads.load(press, "CS1", closed.minusSeconds(1800), closed, tyres);
    long verdict = loads.verdict(load, 1, 1000);
    for (int i = 0; i < bad.length; i++) {
      loads.reason(verdict, 2 * i, bad[i], "LEAK", "BREACH");
      loads.reason(verdict, 2 * i + 1, bad[i], "SET_POINT", "BREACH");
    }
    return load;
  }

  @Test
  void tyreWithSeveralFailuresCountsOnceAndUnderEachReason() {
    String numbered = "T" + start;
    load("P1", 0, Arrays.asList(numbered, null, null, null), 1, 3);
    works.record(
        new Draft("R" + start, start.minusSeconds(3600)).value("A-MASS", "25").item(numbered));
    JsonNode all = ask("reject-rates", "&groupBy=LINE,REASON");
    // the numbered tyre is one item of both lines: a strip too heavy, then a bad cure
    counts(all.at("/total"), "judged", 4, "rejected", 2, "cavities", 4, "readings", 1);
    Set<String> told = new TreeSet<>();
    all.at("/rows")
        .forEach(
            row ->
                told.add(
                    row.at("/line").asString()
                        + " "
                        + row.at("/reason").asString()
                        + " "
                        + row.at("/rejected").asInt()
                        + "/"
                        + row.at("/judged").asInt()));
    assertThat(told)
        .containsExactly("C1 cure LEAK 2/4", "C1 cure SET_POINT 2/4", "T1 A-MASS heavy 1/1");
    JsonNode products = ask("reject-rates", "&groupBy=PRODUCT&product=P1");
    counts(products.at("/total"), "judged", 4, "rejected", 2);
    assertThat(products.at("/rows/0/product").asString()).isEqualTo("P1");
    counts(ask("reject-rates", "&characteristic=A-MASS").at("/total"), "judged", 1, "cavities", 0);
    JsonNode sides = ask("reject-rates", "&groupBy=DIRECTION&line=C1");
    assertThat(sides.at("/rows").size()).isEqualTo(1);
    assertThat(sides.at("/rows/0").has("direction")).isFalse();
    counts(sides.at("/rows/0"), "rejected", 2);
  }

  @Test
  void lineWithoutAPossibleReasonHasARowWithoutOne() {
    works.record(new Draft("R" + start, start).value("A-MASS", "25"));
    works.record(new Draft("S" + start, start).station("T2-W1").value("A-LEN", "15"));
    JsonNode rows = ask("reject-rates", "&groupBy=LINE,REASON").at("/rows");
    assertThat(rows.size()).isEqualTo(2);
    assertThat(rows.at("/0/reason").asString()).isEqualTo("A-MASS heavy");
    assertThat(rows.at("/1/line").asString()).isEqualTo("T2");
    assertThat(rows.at("/1").has("reason")).isFalse();
    counts(rows.get(1), "judged", 1, "rejected", 0);
  }

  @Test
  void intervalGroupsByLoad() {
    for (int i = 0; i < 12; i++) {
      List<String> tyres = Arrays.asList(null, null, null, null);
      if (i < 3) {
        load("P1", i * 60L, tyres, 1, 2, 3, 4);
      } else {
        load("P2", i * 60L, tyres);
      }
    }
    JsonNode total = ask("reject-rates", "").at("/total");
    counts(total, "judged", 48, "rejected", 12);
    // A quarter of 12 loads, each of one fate: design effect 4 x 12/11; t of 4 degrees.
    double z = 1.959963984540054;
    double t = 2.7764451051977934;
    double effective = 11 * (z / t) * (z / t);
    JsonNode rate = total.get("finalRate");
    assertThat(rate.get("effectiveItems").asDouble()).isCloseTo(effective, within(1e-9));
    double n = 11 / (t * t);
    double reach = Math.sqrt(0.25 * 0.75 / n + 1 / (4 * n * n));
    assertThat(rate.at("/interval/lower").asDouble())
        .isCloseTo((0.25 + 1 / (2 * n) - reach) / (1 + 1 / n), within(1e-9));
    assertThat(rate.at("/interval/upper").asDouble())
        .isCloseTo((0.25 + 1 / (2 * n) + reach) / (1 + 1 / n), within(1e-9));
    for (String method : List.of("CLOPPER_PEARSON", "JEFFREYS")) {
      JsonNode other = ask("reject-rates", "&method=" + method).at("/total/finalRate");
      assertThat(other.at("/interval/lower").asDouble()).isBetween(0.01, 0.09);
      assertThat(other.at("/interval/upper").asDouble()).isBetween(0.5, 0.75);
    }
    JsonNode step = ask("first-pass-yield", "&line=C1").at("/steps/0");
    counts(step, "judged", 48, "passed", 36);
    assertThat(step.get("effectiveItems").asDouble()).isCloseTo(effective, within(1e-9));
    assertThat(step.at("/interval/upper").asDouble())
        .isCloseTo(1 - rate.at("/interval/lower").asDouble(), within(1e-9));

    JsonNode chart = ask("reject-rates/chart", "&bucket=HOUR");
    assertThat(chart.get("shareInterval")).isEqualTo(rate.get("interval"));
    assertThat(chart.at("/points/0").has("fewest")).isFalse();
    assertThat(chart.at("/points/0").has("upper")).isFalse();
    assertThat(chart.at("/notComputed/0/reason").asString()).isEqualTo("NOT_INDEPENDENT");
    assertThat(chart.at("/notComputed/0/words").asString()).contains("not independent");

    JsonNode compared =
        ask("reject-rates/comparison", "&by=STATION&first=C1-P1&second=C1-P2").get("finalRate");
    assertThat(compared.has("exactP")).isFalse();
    assertThat(compared.at("/notComputed").toString()).contains("NOT_INDEPENDENT", "exactP");
    assertThat(compared.at("/words").asString()).contains("press loads taken as wholes");
    // 12 of 12 against 0 of 36, as 3 loads against 9: F of the score test over 4, 2 + 8 degrees
    double f = 1 / (0.25 * 0.75 * (1 / 12.0 + 1 / 36.0)) / 4;
    assertThat(compared.at("/p").asDouble())
        .isCloseTo(2 * TDistribution.of(10).survivalProbability(Math.sqrt(f)), within(1e-12));
  }

  @Test
  void oneLoadOnEachSideIsNotCompared() {
    load("P1", 0, Arrays.asList(null, null, null), 1);
    load("P2", 0, Arrays.asList(null, null, null));
    JsonNode compared =
        ask("reject-rates/comparison", "&by=STATION&first=C1-P1&second=C1-P2").get("finalRate");
    assertThat(compared.has("difference")).isFalse();
    assertThat(compared.at("/notComputed/0/reason").asString()).isEqualTo("ONE_LOAD");
    JsonNode rate = ask("reject-rates", "&station=C1-P1").at("/total/finalRate");
    assertThat(rate.get("share").asDouble()).isCloseTo(1 / 3.0, within(1e-15));
    assertThat(rate.has("interval")).isFalse();
    assertThat(rate.get("notComputed").asString()).isEqualTo("ONE_LOAD");
  }

  @Test
  void cureBeforeTheWindowOfATyreInItIsTheFirstPass() {
    String tyre = "T" + start;
    load("P1", -86_400, List.of(tyre), 1);
    load("P2", 0, List.of(tyre));
    counts(ask("reject-rates", "").at("/total"), "judged", 0, "cavities", 1, "curedAgain", 1);
    JsonNode both =
        works
            .tarebook()
            .reader()
            .get(
                "/api/v1/reject-rates?measuredFrom=%s&measuredBefore=%s"
                    .formatted(start.minusSeconds(90_000), start.minusSeconds(80_000)))
            .expect(200)
            .at("/total");
    // the last cure decides for good, even after the window
    counts(both, "judged", 1, "firstPassRejected", 1, "rejected", 0);
  }

  @Test
  void emptyHoursAndShiftsOfAnAskedSeriesAreRows() {
    works.record(new Draft("R" + start, start).value("A-MASS", "25"));
    JsonNode hours = ask("reject-rates", "&bucket=HOUR").at("/rows");
    assertThat(hours.size()).isEqualTo(6);
    counts(hours.get(1), "judged", 0, "readings", 0);
    counts(hours.get(2), "judged", 1, "rejected", 1);
    assertThat(hours.at("/1/finalRate/notComputed").asString()).isEqualTo("NOTHING_JUDGED");
    JsonNode lines = ask("reject-rates", "&bucket=HOUR&groupBy=LINE,REASON").at("/rows");
    assertThat(lines.size()).isEqualTo(6);
    lines.forEach(row -> assertThat(row.at("/reason").asString()).isEqualTo("A-MASS heavy"));
    // a shift by its name stands only where it is: early until 13:00 UTC or 14:00 in summer
    JsonNode shifts = ask("reject-rates", "&bucket=HOUR&groupBy=SHIFT").at("/rows");
    shifts.forEach(
        row ->
            assertThat(Instant.parse(row.at("/bucket/from").asString()))
                .isBefore(start.plusSeconds(3 * 3600)));
    assertThat(shifts.size()).isBetween(4, 5);
    assertThat(ask("reject-rates", "&bucket=SHIFT&groupBy=LINE&station=C1-P1").at("/rows").size())
        .isZero();
    assertThat(ask("reject-rates/chart", "&bucket=HOUR").get("withoutJudged").asInt()).isZero();
  }

  @Test
  void tooManyEmptyRowsAreRefusedWithTheWayOut() {
    String refused =
        works
            .tarebook()
            .reader()
            .get(
                "/api/v1/reject-rates?bucket=HOUR&measuredFrom=2031-01-01T00:00:00Z"
                    + "&measuredBefore=2032-01-01T00:00:00Z")
            .expect(422)
            .text();
    assertThat(refused).contains("more than 5000 rows", "a longer bucket");
  }

  @Test
  void randomLoadsAreCountedAlikeInPartsAndWhole() {
    loads.fill(new Random(3), 40, start, 7200);
    RejectRates rates = works.tarebook().bean(RejectRates.class);
    RateQuestion whole =
        new RateQuestion(
            start.minusSeconds(86_400),
            start.plusSeconds(86_400),
            Set.of(),
            Bucket.NONE,
            RateQuestion.Narrowing.NONE,
            0.95,
            IntervalMethod.WILSON,
            true,
            null);
    RateAnswer.Row all = rates.of(whole).total();
    long judged = 0;
    long rejected = 0;
    long cavities = 0;
    for (int part = 0; part < 48; part++) {
      Instant from = start.minusSeconds(86_400 - part * 3600L);
      RateAnswer.Row one = rates.of(whole.over(from, from.plusSeconds(3600))).total();
      judged += one.judged();
      rejected += one.rejected();
      cavities += one.cavities();
    }
    assertThat(List.of(judged, rejected, cavities))
        .isEqualTo(List.of(all.judged(), all.rejected(), all.cavities()));
    assertThat(all.cavities()).isEqualTo(160);
  }
}
