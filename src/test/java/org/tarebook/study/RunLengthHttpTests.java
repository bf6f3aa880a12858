package org.tarebook.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import org.apache.commons.statistics.distribution.TDistribution;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** What charts of any kind run to a signal, on the wire. */
@OnBothDatabases
class RunLengthHttpTests {

  private final RunningTarebook tarebook;

  RunLengthHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  private Answer ask(String query) {
    return tarebook.reader().get("/api/v1/run-lengths?" + query);
  }

  @Test
  void averagesThatRememberRunAsPublished() {
    // Lucas and Saccucci, Technometrics 32 (1990); exact figures by integral equation.
    int checked = 0;
    for (Map<String, String> row : ReferenceTable.read("statistics/arl_ewma.csv")) {
      if (checked++ == 8) {
        break;
      }
      JsonNode found =
          ask("weight=%s&reach=%s&shift=%s"
                  .formatted(row.get("lambda"), row.get("L"), row.get("shift")))
              .expect(200)
              .json();
      double exact = Double.parseDouble(row.get("exact_ARL_zero_state_asymptotic_limits"));
      assertThat(found.at("/shifted/mean").asDouble()).isCloseTo(exact, within(1e-6 * exact));
      assertThat(found.get("chart").asString()).contains("EWMA");
      assertThat(found.at("/shifted/how").asString()).contains("steady limits");
    }
  }

  @Test
  void sumsRunAsPublished() {
    // Lucas, Journal of Quality Technology 8 (1976); Lucas and Crosier, Technometrics 24 (1982).
    int checked = 0;
    for (Map<String, String> row : ReferenceTable.read("statistics/arl_cusum.csv")) {
      if (checked++ == 12) {
        break;
      }
      JsonNode found =
          ask("allowance=%s&decision=%s&headStart=%s&shift=%s"
                  .formatted(row.get("k"), row.get("h"), row.get("head_start"), row.get("shift")))
              .expect(200)
              .json();
      double exact = Double.parseDouble(row.get("exact_two_sided_ARL"));
      assertThat(found.at("/shifted/mean").asDouble()).isCloseTo(exact, within(1e-6 * exact));
      assertThat(found.get("words").asString()).contains("signals falsely about once in");
    }
  }

  @Test
  void chartThatHardlyEverSignalsIsToldShortly() {
    Answer found = ask("allowance=3&decision=20").expect(200);
    assertThat(found.at("/inControl/mean").asDouble()).isFinite().isGreaterThan(1e50);
    assertThat(found.at("/words").asString()).contains("e+53 points");
  }

  @Test
  void estimatedLimitsCostFalseSignals() {
    JsonNode five =
        ask("rules=BEYOND_LIMITS&baseline=5&subgroupSize=5").expect(200).at("/estimated");
    assertThat(five.get("degreesOfFreedom").asDouble()).isEqualTo(20);
    assertThat(five.get("knownFalseSignals").asDouble()).isCloseTo(0.0026998, within(1e-7));
    // 2 P(T > 3 / sqrt(1 + 1/m)) with m (n - 1) degrees of freedom.
    double mean = 2 * TDistribution.of(20).survivalProbability(3 / Math.sqrt(1.2));
    assertThat(five.get("falseSignals").asDouble()).isCloseTo(mean, within(1e-12));
    assertThat(five.get("falseSignalsOfOneInTen").asDouble()).isGreaterThan(mean);
    assertThat(five.get("runLengthOfOneInTen").asDouble())
        .isCloseTo(1 / five.get("falseSignalsOfOneInTen").asDouble(), within(1e-6));
    Answer many = ask("rules=NELSON_1&baseline=10000&subgroupSize=5").expect(200);
    assertThat(many.at("/estimated/falseSignals").asDouble()).isCloseTo(0.0027, within(2e-5));
    assertThat(many.at("/words").asString()).contains("10000 points of 5 are off for good");
    JsonNode single = ask("rules=BEYOND_LIMITS&baseline=30").expect(200).at("/estimated");
    assertThat(single.get("subgroupSize").asInt()).isEqualTo(1);
    // 29 moving ranges of 30 readings are worth about 18 degrees, not 29: neighbours share one.
    assertThat(single.get("degreesOfFreedom").asDouble()).isBetween(17.0, 20.0);
    assertThat(ask("rules=BEYOND_LIMITS").expect(200).json().has("estimated")).isFalse();
  }

  private void refused(String query, int status, String pointer, String words) {
    Answer answer = ask(query).expect(status);
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words);
  }

  @Test
  void whatIsNoChartIsRefused() {
    refused("shift=1", 422, "rules", "one kind of chart is needed");
    refused("rules=BEYOND_LIMITS&weight=0.2&reach=3", 422, "rules", "one kind");
    refused("weight=0.2", 422, "reach", "is needed");
    refused("reach=3", 422, "weight", "is needed");
    refused("allowance=0.5", 422, "decision", "is needed");
    refused("decision=5", 422, "allowance", "is needed");
    refused("headStart=1", 422, "decision", "is needed");
    refused("allowance=0.5&decision=5&headStart=5", 422, "headStart", "below the decision");
    refused("rules=NONE", 422, "rules", "is no rule");
    refused("rules=BEYOND_LIMITS&subgroupSize=5", 422, "baseline", "is needed");
    refused("rules=EIGHT_ON_ONE_SIDE&baseline=20", 422, "baseline", "single points");
    refused("weight=0.2&reach=3&baseline=20", 422, "baseline", "single points");
    refused("rules=BEYOND_LIMITS&baseline=1", 400, "baseline", "2");
    refused("weight=0.01&reach=3", 400, "weight", "0.03");
    refused("rules=BEYOND_LIMITS&size=3", 400, "size", "not a parameter here");
  }
}
