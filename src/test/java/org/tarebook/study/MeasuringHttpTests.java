package org.tarebook.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.ManualStudy;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.Reference;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** What measuring itself adds, on the wire. */
@OnBothDatabases
class MeasuringHttpTests {

  private final Client reader;

  MeasuringHttpTests(RunningTarebook tarebook) {
    this.reader = tarebook.reader();
  }

  /** AIAG, Measurement Systems Analysis, 4th ed. (2010), data sheet; figures by R 4.2.2. */
  @Test
  void theUncertaintyThatFollowsFromAStudyIsTwiceItsSpreadOfMeasuring() {
    String parts = ManualStudy.parts();
    JsonNode study =
        reader
            .post("/api/v1/measuring-studies", "{\"unit\": \"mm\", \"parts\": " + parts + "}")
            .expect(200)
            .json();
    JsonNode wanted = Reference.json("statistics/measuring/results.json").at("/cases/0");
    assertThat(wanted.get("name").asString()).isEqualTo("aiag_10x3x3");
    double withInteraction = wanted.at("/summary_full_model_truncated_at_0/sd/GRR").asDouble();
    assertThat(study.at("/withInteraction/sdOfMeasuring").asDouble())
        .isCloseTo(withInteraction, within(1e-10));
    assertThat(study.at("/withInteraction/expandedUncertainty").asDouble())
        .isCloseTo(2 * withInteraction, within(1e-10));
    assertThat(study.at("/withoutInteraction/expandedUncertainty").asDouble())
        .isCloseTo(2 * wanted.at("/summary_no_interaction/sd/GRR").asDouble(), within(1e-10));
    JsonNode byRange = study.get("byAverageAndRange");
    assertThat(byRange.get("meanRange").asDouble())
        .isCloseTo(wanted.get("Rbar").asDouble(), within(1e-10));
    assertThat(byRange.get("operatorRange").asDouble())
        .isCloseTo(wanted.get("xdiff").asDouble(), within(1e-10));
    assertThat(byRange.get("partRange").asDouble())
        .isCloseTo(wanted.get("Rp").asDouble(), within(1e-10));
    assertThat(byRange.at("/variances/expandedUncertainty").asDouble())
        .isCloseTo(2 * wanted.at("/average_and_range_exact_factors/GRR").asDouble(), within(1e-9));
  }

  @Test
  void everyMissingReadingIsNamedByPartAndOperator() {
    Answer refused =
        reader.post(
            "/api/v1/measuring-studies",
            "{\"unit\": \"mm\", \"parts\": [[[1.00, 1.01], [1.02, 1.01]], [[1.20], [1.22, null]],"
                + " [[0.80, 0.82]]]}");
    assertThat(refused.expect(422).problem()).isEqualTo("rule-broken");
    assertThat(refused.at("/errors").valueStream().map(error -> error.get("pointer").asString()))
        .containsExactly("/parts/1/0/1", "/parts/1/1/1", "/parts/2/1/0", "/parts/2/1/1");
    assertThat(refused.at("/errors/0/detail").asString())
        .startsWith("part 2, operator 1, reading 2 is missing: other cells have 2 readings of 2");
    Answer once =
        reader.post(
            "/api/v1/measuring-studies", "{\"unit\": \"mm\", \"parts\": [[[1.0]], [[1.2]]]}");
    assertThat(once.expect(422).at("/errors/0/detail").asString()).contains("at least twice");
  }

  @Test
  void biasAndLinearityAreStudiedAgainstStandards() {
    // Bias 0.01 at 1 and 0.03 at 3, readings 0.01 about it: t(0.975; 2) = 4.30265, so the interval
    // reaches 4.30265 * 0.01 / sqrt(3) = 0.024841; the errors rise by 0.01 a unit.
    JsonNode study =
        reader
            .post(
                "/api/v1/bias-studies",
                "{\"unit\": \"kg\", \"standards\": ["
                    + "{\"standard\": 1, \"readings\": [1.00, 1.01, 1.02]},"
                    + "{\"standard\": 3, \"readings\": [3.02, 3.03, 3.04]}]}")
            .expect(200)
            .json();
    JsonNode first = study.at("/standards/0");
    assertThat(first.get("bias").asDouble()).isCloseTo(0.01, within(1e-12));
    assertThat(first.get("sd").asDouble()).isCloseTo(0.01, within(1e-12));
    assertThat(first.at("/interval/upper").asDouble()).isCloseTo(0.01 + 0.024841, within(1e-6));
    assertThat(first.get("biasShown").asBoolean()).isFalse();
    assertThat(study.at("/standards/1/biasShown").asBoolean()).isTrue();
    assertThat(study.at("/linearity/slope").asDouble()).isCloseTo(0.01, within(1e-12));
    assertThat(study.at("/linearity/biasAtZero").asDouble()).isCloseTo(0, within(1e-12));
    // Residuals about the line -0.01, 0, 0.01 twice: s = 0.01, and sum (x - mean)^2 = 6;
    // t(0.975; 4) = 2.776445.
    assertThat(study.at("/linearity/slopeInterval/upper").asDouble())
        .isCloseTo(0.01 + 2.776445 * 0.01 / Math.sqrt(6), within(1e-7));
    assertThat(study.at("/linearity/linearityErrorShown").asBoolean()).isFalse();
    JsonNode single =
        reader
            .post(
                "/api/v1/bias-studies",
                "{\"unit\": \"kg\", \"confidence\": 0.9, \"standards\":"
                    + " [{\"standard\": 5, \"readings\": [5.001, 5.001]}]}")
            .expect(200)
            .json();
    assertThat(single.has("linearity")).isFalse();
    assertThat(single.at("/standards/0/biasShown").asBoolean()).isTrue();
  }

  @Test
  void aBiasStudyWithTooLittleIsRefused() {
    Answer refused =
        reader.post(
            "/api/v1/bias-studies",
            "{\"unit\": \"kg\", \"standards\": [{\"standard\": 5.000, \"readings\": [5.1]}]}");
    assertThat(refused.expect(422).at("/errors/0/pointer").asString())
        .isEqualTo("/standards/0/readings");
    assertThat(refused.at("/errors/0/detail").asString())
        .startsWith("standard 1, 5.000, has 1 readings; it takes at least 2");
    assertThat(
            reader
                .post("/api/v1/bias-studies", "{\"unit\": \"kg\", \"standards\": []}")
                .expect(400)
                .problem())
        .isEqualTo("invalid-request");
    assertThat(
            reader
                .post(
                    "/api/v1/bias-studies",
                    "{\"unit\": \"stone\", \"standards\": [{\"standard\": 5, \"readings\": [5, 5]}]}")
                .expect(422)
                .problem())
        .isEqualTo("unknown-code");
  }

  /** JCGM 100:2008: repeatability, two roundings and a permissible error, by a table. */
  @Test
  void anUncertaintyIsCombinedFromItsParts() {
    for (Map<String, String> row : ReferenceTable.read("trade/weigh_uncertainty.csv")) {
      JsonNode budget =
          reader
              .post(
                  "/api/v1/uncertainty-budgets",
                  "{\"unit\": \"g\", \"parts\": [{\"name\": \"load\", \"interval\": %s}, {\"name\": \"zero\", \"interval\": %s}, {\"name\": \"repeats\", \"sd\": %s, \"readings\": 10}, {\"name\": \"limit\", \"halfWidth\": %s}]}"
                      .formatted(row.get("d"), row.get("d"), row.get("s"), row.get("mpe")))
              .expect(200)
              .json();
      double wanted = Double.parseDouble(row.get("u_net"));
      assertThat(budget.get("standardUncertainty").asDouble())
          .as(row.get("case"))
          .isCloseTo(wanted, within(1e-10 * wanted));
      assertThat(budget.get("expandedUncertainty").asDouble())
          .isCloseTo(Double.parseDouble(row.get("U_k2")), within(1e-10 * wanted));
      double sd = Double.parseDouble(row.get("s"));
      // Welch and Satterthwaite: one part of nine degrees, the others known for certain.
      assertThat(budget.get("degreesOfFreedom").asDouble())
          .isCloseTo(9 * Math.pow(wanted / sd, 4), within(1e-6 * Math.pow(wanted / sd, 4)));
      assertThat(budget.at("/parts/0/standardUncertainty").asDouble())
          .isCloseTo(
              Double.parseDouble(row.get("u_one_rounding_d_over_sqrt12")), within(1e-10 * wanted));
    }
    JsonNode certificate =
        reader
            .post(
                "/api/v1/uncertainty-budgets",
                "{\"unit\": \"g\", \"coverageFactor\": 3, \"parts\":"
                    + " [{\"name\": \"weight\", \"expandedUncertainty\": 0.3}]}")
            .expect(200)
            .json();
    assertThat(certificate.get("standardUncertainty").asDouble()).isCloseTo(0.15, within(1e-15));
    assertThat(certificate.get("expandedUncertainty").asDouble()).isCloseTo(0.45, within(1e-15));
    assertThat(certificate.has("degreesOfFreedom")).isFalse();
  }

  @Test
  void aPartThatSaysNothingOrTooMuchIsRefused() {
    for (String part :
        List.of(
            "{\"name\": \"scale\"}",
            "{\"name\": \"scale\", \"interval\": 1, \"halfWidth\": 1}",
            "{\"name\": \"scale\", \"sd\": 1}",
            "{\"name\": \"scale\", \"halfWidth\": 1, \"readings\": 5}",
            "{\"name\": \"scale\", \"halfWidth\": 1, \"coverageFactor\": 2}")) {
      Answer refused =
          reader.post(
              "/api/v1/uncertainty-budgets", "{\"unit\": \"g\", \"parts\": [" + part + "]}");
      assertThat(refused.expect(422).at("/errors/0/pointer").asString()).isEqualTo("/parts/0");
      assertThat(refused.at("/errors/0/detail").asString()).startsWith("'scale' says one of");
    }
    assertThat(
            reader
                .post(
                    "/api/v1/uncertainty-budgets",
                    "{\"unit\": \"g\", \"parts\": [{\"name\": \"s\", \"halfWidth\": -1}]}")
                .expect(400)
                .problem())
        .isEqualTo("invalid-request");
  }

  @Test
  void tenToOneIsToldOnFullAndOnHalfWidth() {
    for (Map<String, String> row : ReferenceTable.read("trade/weigh_resolution.csv")) {
      String half = row.get("tolerance_plus_minus_g");
      JsonNode told =
          resolution("unit=g&interval=" + row.get("d_g") + "&lower=-" + half + "&upper=" + half)
              .expect(200)
              .at("/tolerance");
      assertThat(told.at("/onFullWidth/intervals").decimalValue())
          .as(row.get("case"))
          .isEqualByComparingTo(row.get("full_tolerance_over_d"));
      assertThat(told.at("/onHalfWidth/intervals").decimalValue())
          .isEqualByComparingTo(row.get("half_tolerance_over_d"));
      assertThat(told.at("/onFullWidth/met").asBoolean())
          .isEqualTo(row.get("meets_10_to_1_on_full_width").equals("yes"));
      assertThat(told.at("/onHalfWidth/met").asBoolean())
          .isEqualTo(row.get("meets_10_to_1_on_half_width").equals("yes"));
    }
  }

  /** USP general chapter 41. */
  @Test
  void theLeastThatAScaleCanWeighIsTold() {
    for (Map<String, String> row : ReferenceTable.read("trade/weigh_minimum_weight.csv")) {
      JsonNode told =
          resolution(
                  "unit=g&interval="
                      + row.get("d")
                      + "&sd="
                      + row.get("s_of_10_or_more_weighings")
                      + "&requirement="
                      + row.get("requirement_fraction"))
              .expect(200)
              .at("/minimumWeight");
      double wanted = Double.parseDouble(row.get("minimum_weight"));
      assertThat(told.get("weight").asDouble())
          .as(row.get("case"))
          .isCloseTo(wanted, within(1e-12 * wanted));
    }
  }

  @Test
  void aResolutionThatCannotBeToldIsRefused() {
    assertThat(resolution("unit=g&interval=1").expect(422).text()).contains("lower and upper");
    assertThat(resolution("unit=g&interval=1&lower=1").expect(422).text())
        .contains("goes together with lower");
    assertThat(resolution("unit=g&interval=1&requirement=0.01").expect(422).text())
        .contains("goes together with requirement");
    assertThat(resolution("unit=g&interval=1&lower=2&upper=2").expect(422).text())
        .contains("must lie above lower");
    assertThat(resolution("unit=mm&interval=1&sd=1&requirement=0.01").expect(422).problem())
        .isEqualTo("unit-mismatch");
    assertThat(resolution("unit=g&interval=0&lower=1&upper=2").expect(400).problem())
        .isEqualTo("invalid-request");
    assertThat(resolution("unit=stone&interval=1&lower=1&upper=2").expect(422).problem())
        .isEqualTo("unknown-code");
  }

  private Answer resolution(String query) {
    return reader.get("/api/v1/resolution?" + query);
  }
}
