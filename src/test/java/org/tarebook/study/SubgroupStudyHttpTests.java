package org.tarebook.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.Reference;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Several cavities, unequal shifts and wild readings on the wire. */
@OnBothDatabases
class SubgroupStudyHttpTests {

  private final RunningTarebook tarebook;

  SubgroupStudyHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void setTheClock() {
    tarebook.clock().set("2026-03-28T06:00:00Z");
  }

  private Sheet measured(String kind, int size) {
    return Sheet.of(tarebook, "kg", "MEASURED", kind, size);
  }

  private static void close(JsonNode figure, double wanted) {
    assertThat(figure.asDouble()).isCloseTo(wanted, within(1e-12));
  }

  @Test
  void cavitiesOfALoadAreChartedByTheirMeans() {
    Sheet sheet =
        measured("XBAR_S", 2).post(List.of("1", "3", "2", "4", "6", "8", "9"), "kg", Sheet.START);
    JsonNode study = sheet.study("between-within");
    // By hand: means 2, 3, 7; moving ranges 1 and 4; variance inside 2 in each.
    double ofMeans = 2.5 * Math.sqrt(Math.PI) / 2;
    close(study.at("/means/centre"), 4);
    close(study.at("/means/upper"), 4 + 3 * ofMeans);
    close(study.at("/means/lower"), 4 - 3 * ofMeans);
    close(study.at("/movingRanges/centre"), 2.5);
    close(study.at("/movingRanges/upper"), 2.5 + 3 * Math.sqrt(2 - 4 / Math.PI) * ofMeans);
    close(study.at("/within/centre"), Math.sqrt(2) * Math.sqrt(2 / Math.PI));
    close(study.get("sigmaWithin"), Math.sqrt(2));
    close(study.get("sigmaBetween"), Math.sqrt(ofMeans * ofMeans - 1));
    close(study.get("sigmaTogether"), Math.sqrt(ofMeans * ofMeans + 1));
    assertThat(study.at("/window/incomplete").asInt()).isEqualTo(1);
    assertThat(study.get("points")).hasSize(3);
    assertThat(study.at("/points/0").has("movingRange")).isFalse();
    close(study.at("/points/2/movingRange"), 4);
    close(study.at("/points/2/sd"), Math.sqrt(2));
    assertThat(study.at("/points/2/meanBeyond").asBoolean()).isFalse();
    assertThat(study.at("/flags/0/code").asString()).isEqualTo("TOO_FEW");
    assertThat(study.at("/flags/0/words").asString()).contains("3 points", "at least 20");
    assertThat(study.get("words").asString()).contains("more than the spread inside");
  }

  @Test
  void singleReadingsAndMixedStrataHaveNoBetween() {
    Sheet single = measured("INDIVIDUALS", 1).post(List.of("1", "2"), "kg", Sheet.START);
    assertThat(single.ask("between-within").expect(422).text()).contains("takes single readings");
    Sheet one = measured("XBAR_R", 2).post(List.of("1", "3"), "kg", Sheet.START);
    assertThat(one.ask("between-within").expect(422).text()).contains("has 1 subgroups");
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 2, "DIE");
    for (int i = 0; i < 8; i++) {
      bench.post("1." + i, Sheet.START.plusSeconds(60L * i), "die", i % 2 == 0 ? "D1" : "D2");
    }
    Sheet mixed = new Sheet(tarebook, bench.floor(), bench.characteristic(), bench.chart());
    Answer refused = mixed.ask("between-within").expect(422);
    assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("stratum");
    assertThat(refused.text()).contains("DIE=D1, DIE=D2");
    JsonNode apart = mixed.study("between-within?stratum=DIE%3DD1");
    assertThat(apart.get("points")).hasSize(2);
    assertThat(apart.at("/window/stratum").asString()).isEqualTo("DIE=D1");
    JsonNode shifts = mixed.study("unequal-subgroups");
    assertThat(shifts.at("/points/0/stratum").asString()).isEqualTo("DIE=D1");
    assertThat(shifts.at("/points/1/stratum").asString()).isEqualTo("DIE=D2");
    assertThat(shifts.at("/points/0/readings").asInt()).isEqualTo(4);
  }

  @Test
  void unequalShiftsHaveTheirOwnLimits() {
    Sheet sheet = measured("XBAR_S", 5);
    Instant next = Sheet.START.plus(Duration.ofDays(1));
    sheet.post(List.of("1", "2", "3"), "kg", Sheet.START);
    sheet.post(List.of("4", "6"), "kg", next);
    sheet.post(List.of("5"), "kg", next.plus(Duration.ofDays(1)));
    JsonNode study = sheet.study("unequal-subgroups");
    // By hand: mean 21/6, pooled variance (2 + 2) / (2 + 1).
    double sigma = Math.sqrt(4.0 / 3);
    close(study.get("centre"), 3.5);
    close(study.get("sigma"), sigma);
    close(study.get("degreesOfFreedom"), 3);
    assertThat(study.get("estimator").asString()).isEqualTo("POOLED");
    close(study.at("/points/0/upper"), 5.5);
    close(study.at("/points/0/lower"), 1.5);
    close(study.at("/points/1/upper"), 3.5 + 3 * sigma / Math.sqrt(2));
    close(study.at("/points/2/upper"), 3.5 + 3 * sigma);
    close(study.at("/points/0/sd"), 1);
    close(study.at("/points/0/sdCentre"), sigma * Math.sqrt(Math.PI) / 2);
    assertThat(study.at("/points/2").has("sd")).isFalse();
    assertThat(study.at("/points/2/readings").asInt()).isEqualTo(1);
    assertThat(study.at("/points/1/meanBeyond").asBoolean()).isFalse();
    assertThat(study.at("/notComputed/0/figure").asString()).isEqualTo("sd");
    assertThat(study.at("/notComputed/0/reason").asString()).isEqualTo("TOO_FEW");
    assertThat(study.at("/window/incomplete").asInt()).isZero();
    assertThat(study.at("/flags/0/code").asString()).isEqualTo("TOO_FEW");
    Sheet single = measured("XBAR_S", 5).post(List.of("5"), "kg", Sheet.START);
    assertThat(single.ask("unequal-subgroups").expect(422).text())
        .contains("shifts with two readings and more");
    Sheet flat = measured("XBAR_S", 5).post(List.of("5", "5"), "kg", Sheet.START);
    flat.post(List.of("5", "5"), "kg", next);
    assertThat(flat.ask("unequal-subgroups").expect(422).text()).contains("that vary");
  }

  @Test
  void medianMovingRangeStandsBesideTheMean() {
    // NIST/SEMATECH e-Handbook 6.3.2.2, flow rates; exact figures from the reference file.
    JsonNode flow = Reference.json("statistics/imr_flowrate.json");
    JsonNode exact = flow.get("recomputed_exact_d2");
    Sheet sheet =
        measured("INDIVIDUALS", 1).post(Reference.decimals(flow.get("data")), "kg", Sheet.START);
    JsonNode study = sheet.study("median-moving-range");
    close(study.get("centre"), exact.get("mean").asDouble());
    close(study.at("/byMean/movingRange"), exact.get("mr_bar").asDouble());
    close(study.at("/byMean/sigma"), exact.get("sigma_hat_mr").asDouble());
    close(study.at("/byMean/upper"), exact.get("ucl_x").asDouble());
    close(study.at("/byMean/lower"), exact.get("lcl_x").asDouble());
    close(study.at("/byMean/movingRangeUpper"), exact.get("ucl_mr").asDouble());
    close(study.at("/byMedian/movingRange"), exact.get("mr_median").asDouble());
    assertThat(study.at("/byMedian/sigma").asDouble())
        .isCloseTo(exact.get("sigma_hat_median_mr").asDouble(), within(1e-9));
    assertThat(study.get("words").asString()).contains("about the same limits");
    assertThat(study.at("/points/0").has("movingRange")).isFalse();
    close(study.at("/points/1/movingRange"), 2);
    assertThat(study.at("/flags/0/words").asString()).contains("at least 100 readings");
  }

  @Test
  void wildReadingsWidenTheMeanAndNotTheMedian() {
    List<String> values =
        List.of("5.0", "5.1", "4.9", "5.0", "9.0", "5.1", "5.0", "9.0", "5.1", "5.0");
    JsonNode study =
        measured("INDIVIDUALS", 1).post(values, "kg", Sheet.START).study("median-moving-range");
    assertThat(study.get("ratio").asDouble()).isGreaterThan(3);
    assertThat(study.get("words").asString()).contains("Judge by the median");
    close(study.at("/byMedian/centre"), 5.05);
    assertThat(study.at("/points/4/beyondByMedian").asBoolean()).isTrue();
    assertThat(study.at("/points/2/beyondByMedian").asBoolean()).isFalse();
    assertThat(study.at("/points/4/beyondByMean").asBoolean()).isFalse();
    JsonNode flat =
        measured("INDIVIDUALS", 1)
            .post(List.of("5", "5", "5", "5", "6"), "kg", Sheet.START)
            .study("median-moving-range");
    assertThat(flat.has("byMedian")).isFalse();
    assertThat(flat.at("/notComputed/0/figure").asString()).isEqualTo("byMedian");
    assertThat(flat.at("/notComputed/0/reason").asString()).isEqualTo("ZERO_SPREAD");
    Sheet one = measured("INDIVIDUALS", 1).post(List.of("5"), "kg", Sheet.START);
    assertThat(one.ask("median-moving-range").expect(422).text()).contains("0 moving ranges");
    assertThat(measured("XBAR_R", 4).ask("median-moving-range").expect(422).text())
        .contains("XBAR_R", "kind INDIVIDUALS");
  }
}
