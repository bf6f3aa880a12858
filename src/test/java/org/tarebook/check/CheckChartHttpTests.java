package org.tarebook.check;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** The checks of an instrument on a chart, on the wire. */
@OnBothDatabases
class CheckChartHttpTests {

  private static final String CHART =
      "/api/v1/instrument-checks/chart?instrument=I-#&standard=weight+A";

  private final RunningTarebook tarebook;

  CheckChartHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void setTheClock() {
    tarebook.clock().set("2026-03-28T06:00:00Z");
  }

  private CheckBench bench() {
    return CheckBench.withPlannedScale(
        tarebook, "'permissibleError':0.02,'permissibleErrorUnit':'kg','checkEveryMinutes':1440");
  }

  @Test
  void errorsFoundAreChartedAsSingleReadings() {
    CheckBench bench = bench();
    // Certified 10.0002 kg: mean errors 0.0008, 0.0018, 0.0048 kg; moving ranges 0.001 and 0.003.
    bench.check("1", "2026-03-01T06:00:00Z", "'asFound':[10.001]").expect(201);
    bench
        .check("2", "2026-03-02T06:00:00Z", "'asFound':[10.001,10.003],'asLeft':[10.000]")
        .expect(201);
    bench.check("3", "2026-03-03T06:00:00Z", "'asFound':[10.005]").expect(201);
    bench.check("4", "2026-03-04T06:00:00Z", "'asLeft':[10.000]").expect(201);
    JsonNode chart = bench.read(CHART).expect(200).json();
    double sigma = 0.002 * Math.sqrt(Math.PI) / 2;
    double mean = 0.0074 / 3;
    assertThat(chart.get("points")).hasSize(3);
    assertThat(chart.get("unit").asString()).isEqualTo("kg");
    assertThat(chart.get("sigma").asDouble()).isCloseTo(sigma, within(1e-14));
    assertThat(chart.at("/limits/centre").asDouble()).isCloseTo(mean, within(1e-14));
    assertThat(chart.at("/limits/upper").asDouble()).isCloseTo(mean + 3 * sigma, within(1e-14));
    assertThat(chart.at("/movingRanges/centre").asDouble()).isCloseTo(0.002, within(1e-14));
    assertThat(chart.at("/points/1/meanError").asDouble()).isCloseTo(0.0018, within(1e-15));
    assertThat(chart.at("/points/1/indications").asInt()).isEqualTo(2);
    assertThat(chart.at("/points/1/permissible").asDouble()).isEqualTo(0.02);
    assertThat(chart.at("/points/1/afterAdjusting").asBoolean()).isFalse();
    assertThat(chart.at("/points/2/afterAdjusting").asBoolean()).isTrue();
    assertThat(chart.at("/points/2/passed").asBoolean()).isTrue();
    assertThat(chart.at("/points/2/beyond").asBoolean()).isFalse();
    assertThat(chart.at("/points/0").has("movingRange")).isFalse();
    assertThat(chart.at("/flags/0/code").asString()).isEqualTo("TOO_FEW");
    assertThat(chart.at("/flags/0/words").asString()).contains("3 checks", "at least 20");
    assertThat(chart.get("words").asString()).contains("was steady");
    JsonNode two = bench.read(CHART + "&checkedBefore=2026-03-03T00:00:00Z").expect(200).json();
    assertThat(two.get("points")).hasSize(2);
  }

  @Test
  void stepIsToldAlthoughPermitted() {
    CheckBench bench = bench();
    for (int i = 0; i < 12; i++) {
      String shown = i == 11 ? "10.015" : i % 2 == 0 ? "10.000" : "10.001";
      bench
          .check("k" + i, "2026-03-%02dT06:00:00Z".formatted(i + 1), "'asFound':[" + shown + "]")
          .expect(201);
    }
    JsonNode chart = bench.read(CHART).expect(200).json();
    assertThat(chart.at("/points/11/passed").asBoolean()).isTrue();
    assertThat(chart.at("/points/11/beyond").asBoolean()).isTrue();
    assertThat(chart.at("/points/11/movingRangeBeyond").asBoolean()).isTrue();
    assertThat(chart.get("words").asString()).contains("whether or not the errors are within");
  }

  @Test
  void tooLittleIsToldAndUnknownNamesAreRefused() {
    CheckBench bench = bench();
    Answer none = bench.read(CHART).expect(422);
    assertThat(none.problem()).isEqualTo("unknown-code");
    assertThat(none.at("/errors/0/pointer").asString()).isEqualTo("standard");
    assertThat(none.text()).contains("there are none");
    bench.check("1", "2026-03-01T06:00:00Z", "'asFound':[10.001]").expect(201);
    JsonNode one = bench.read(CHART).expect(200).json();
    assertThat(one.at("/notComputed/0/reason").asString()).isEqualTo("TOO_FEW");
    assertThat(one.has("limits")).isFalse();
    bench.check("2", "2026-03-02T06:00:00Z", "'asFound':[10.001]").expect(201);
    JsonNode flat = bench.read(CHART).expect(200).json();
    assertThat(flat.at("/notComputed/0/reason").asString()).isEqualTo("ZERO_SPREAD");
    assertThat(bench.read(CHART.replace("weight+A", "weight+B")).expect(422).text())
        .contains("there are weight A");
    assertThat(bench.read(CHART.replace("I-#", "I-none")).expect(422).problem())
        .isEqualTo("unknown-code");
    assertThat(bench.read("/api/v1/instrument-checks/chart?instrument=I-#").expect(400).text())
        .contains("standard");
    assertThat(bench.read(CHART + "&checkedFrom=2024-01-01T00:00:00Z").expect(422).text())
        .contains("400 days");
  }
}
