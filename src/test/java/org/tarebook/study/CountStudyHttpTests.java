package org.tarebook.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import org.apache.commons.statistics.distribution.PoissonDistribution;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.Reference;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Charts of counts on the wire. */
@OnBothDatabases
class CountStudyHttpTests {

  private final RunningTarebook tarebook;

  CountStudyHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void setTheClock() {
    tarebook.clock().set("2026-03-28T06:00:00Z");
  }

  private Sheet counted(String kind, int size) {
    return Sheet.of(tarebook, "1", "COUNTED", kind, size);
  }

  @Test
  void countsOverEqualAreasAreCharted() {
    // NIST/SEMATECH e-Handbook 6.3.3.1: centre 16, limits 4 and 28; the third wafer lies on a line.
    JsonNode wafers = Reference.json("statistics/c_chart_wafers.json");
    Sheet sheet =
        counted("INDIVIDUALS", 1).post(Reference.decimals(wafers.get("data")), "1", Sheet.START);
    JsonNode study = sheet.study("counts");
    assertThat(study.get("kind").asString()).isEqualTo("C");
    assertThat(study.get("counted").asInt()).isEqualTo(400);
    assertThat(study.get("centre").asDouble()).isEqualTo(16);
    JsonNode third = study.at("/points/2");
    assertThat(third.get("lower").asDouble()).isEqualTo(4);
    assertThat(third.get("upper").asDouble()).isEqualTo(28);
    assertThat(third.get("beyondThreeSigma").asBoolean()).isFalse();
    assertThat(study.at("/points/23/beyondThreeSigma").asBoolean()).isTrue();
    PoissonDistribution poisson = PoissonDistribution.of(16);
    int most = third.get("most").asInt();
    int fewest = third.get("fewest").asInt();
    assertThat(poisson.survivalProbability(most)).isLessThanOrEqualTo(0.00135);
    assertThat(poisson.survivalProbability(most - 1)).isGreaterThan(0.00135);
    assertThat(poisson.cumulativeProbability(fewest - 1)).isLessThanOrEqualTo(0.00135);
    assertThat(poisson.cumulativeProbability(fewest)).isGreaterThan(0.00135);
    // By hand: the squares of the distances from 16 come to 684; over 16 and 24.
    assertThat(study.get("dispersion").asDouble())
        .isCloseTo(squares(wafers.get("data")) / 16 / 24, within(1e-12));
    assertThat(study.get("words").asString()).contains("chance");
    assertThat(study.get("flags")).isEmpty();
    assertThat(study.at("/window/points").asInt()).isEqualTo(25);
    assertThat(study.at("/window/unlisted").asInt()).isZero();
  }

  private static double squares(JsonNode data) {
    double sum = 0;
    for (JsonNode each : data) {
      sum += (each.asDouble() - 16) * (each.asDouble() - 16);
    }
    return sum;
  }

  @Test
  void countsAReadingAreCharted() {
    // Montgomery, Introduction to Statistical Quality Control: 20 samples of 5, u-bar 1.93.
    JsonNode computers = Reference.json("statistics/u_chart_constant_n.json");
    List<String> values = new ArrayList<>();
    for (JsonNode count : computers.get("count")) {
      values.add(count.asString());
      values.addAll(Collections.nCopies(4, "0"));
    }
    Sheet sheet = counted("XBAR_R", 5).post(values, "1", Sheet.START);
    JsonNode study = sheet.study("counts?kind=U");
    JsonNode exact = computers.get("recomputed");
    assertThat(study.get("rate").asDouble()).isCloseTo(1.93, within(1e-14));
    assertThat(study.get("points")).hasSize(20);
    JsonNode point = study.at("/points/0");
    assertThat(point.get("value").asDouble()).isEqualTo(2);
    assertThat(point.get("upper").asDouble()).isCloseTo(exact.get("ucl").asDouble(), within(1e-13));
    assertThat(point.get("lower").asDouble()).isCloseTo(exact.get("lcl").asDouble(), within(1e-13));
    JsonNode counts = sheet.study("counts?kind=C");
    assertThat(counts.get("centre").asDouble()).isCloseTo(9.65, within(1e-13));
    assertThat(counts.at("/points/0/upper").asDouble())
        .isCloseTo(5 * exact.get("ucl").asDouble(), within(1e-12));
    assertThat(counts.at("/points/0/fewest").asInt()).isEqualTo(point.get("fewest").asInt());
  }

  @Test
  void shiftsOfManySizesTakeAUChart() {
    Sheet sheet = counted("INDIVIDUALS", 1);
    sheet.post(List.of("3", "5", "4"), "1", Sheet.START);
    sheet.post(List.of("0", "400"), "1", Sheet.START.plus(Duration.ofDays(1)));
    JsonNode study = sheet.study("counts?kind=U&cut=SHIFT");
    assertThat(study.get("points")).hasSize(2);
    assertThat(study.at("/points/0/readings").asInt()).isEqualTo(3);
    assertThat(study.at("/points/1/count").asInt()).isEqualTo(400);
    assertThat(study.at("/points/1/value").asDouble()).isEqualTo(200);
    assertThat(study.get("words").asString()).contains("more than chance");
    assertThat(study.at("/points/0/spreadUpper").asDouble())
        .isGreaterThan(study.at("/points/0/upper").asDouble());
    assertThat(study.at("/flags/0/code").asString()).isEqualTo("TOO_FEW");
    Answer refused = sheet.ask("counts?kind=C&cut=SHIFT").expect(422);
    assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("kind");
    assertThat(refused.text()).contains("from 2 to 3", "kind U");
  }

  @Test
  void intervalOfTheRateIsExact() {
    // R 4.2.2, poisson.test.
    int checked = 0;
    for (Map<String, String> row : ReferenceTable.read("statistics/poisson_intervals.csv")) {
      if (checked++ == 4) {
        break;
      }
      Sheet sheet = counted("INDIVIDUALS", 1).post(List.of(row.get("count")), "1", Sheet.START);
      JsonNode study = sheet.study("counts?confidence=" + row.get("conf"));
      assertThat(study.at("/interval/lower").asDouble())
          .isCloseTo(Double.parseDouble(row.get("exact_lo")), within(1e-11));
      assertThat(study.at("/interval/upper").asDouble())
          .isCloseTo(Double.parseDouble(row.get("exact_hi")), within(1e-11));
      assertThat(study.at("/notComputed/0/reason").asString())
          .isEqualTo(row.get("count").equals("0") ? "ZERO_SPREAD" : "TOO_FEW");
      assertThat(study.at("/points/0").has("upper")).isEqualTo(!row.get("count").equals("0"));
    }
  }

  @Test
  void whatIsNotCountedIsRefused() {
    Sheet measured = Sheet.of(tarebook, "kg", "MEASURED", "INDIVIDUALS", 1);
    assertThat(measured.ask("counts").expect(422).text()).contains("kind COUNTED");
    Sheet empty = counted("INDIVIDUALS", 1);
    assertThat(empty.ask("counts").expect(422).text()).contains("has 0 points");
    assertThat(empty.ask("counts?kind=NP").expect(400).text()).contains("kind");
    assertThat(empty.ask("counts?cut=DAY").expect(400).text()).contains("cut");
    assertThat(empty.ask("counts?confidence=1").problem()).isEqualTo("invalid-request");
    assertThat(empty.ask("counts?size=1").expect(400).text()).contains("not a parameter here");
    assertThat(tarebook.quality().get("/api/v1/charts/NONE/counts").expect(404).problem())
        .isEqualTo("not-found");
    // The intake takes whole counts only.
    assertThat(
            empty
                .floor()
                .post(
                    empty
                        .floor()
                        .posting(
                            new java.math.BigDecimal("1.5"),
                            "1",
                            Sheet.START.toString(),
                            "characteristic",
                            empty.characteristic()))
                .expect(422)
                .text())
        .contains("whole number");
  }
}
