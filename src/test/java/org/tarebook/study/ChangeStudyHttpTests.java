package org.tarebook.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Whether and when a chart changed. */
@OnBothDatabases
class ChangeStudyHttpTests {

  private static final Instant START = Instant.parse("2026-03-02T06:00:00Z");

  private final RunningTarebook tarebook;
  private ChartBench bench;

  ChangeStudyHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-03T06:00:00Z");
    bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
  }

  /** So many readings about 4 kg, the later ones shifted. */
  private void post(int count, int shiftedFrom, double shift) {
    Random random = new Random(7);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      double value = 4 + 0.01 * random.nextGaussian() + (i >= shiftedFrom ? shift : 0);
      values.add(new BigDecimal(value).setScale(4, RoundingMode.HALF_EVEN).toPlainString());
    }
    bench.postAll(values, "kg", START, Duration.ofSeconds(60));
  }

  private Answer study(String what) {
    return bench.engineer().get("/api/v1/charts/" + bench.chart() + "/" + what);
  }

  @Test
  void theMomentOfAStepIsFound() {
    post(120, 70, 0.03);
    JsonNode study = study("change-points").expect(200).json();
    Instant step = START.plusSeconds(70 * 60);
    assertThat(Instant.parse(study.at("/mean/firstPointAfter").asString()))
        .isBetween(step.minusSeconds(180), step.plusSeconds(180));
    assertThat(Instant.parse(study.at("/mean/earliest").asString())).isBeforeOrEqualTo(step);
    assertThat(Instant.parse(study.at("/mean/latest").asString())).isAfterOrEqualTo(step);
    assertThat(study.at("/trend/lowerPerHour").asDouble()).isPositive();
    assertThat(study.at("/mean/p").asDouble()).isEqualTo(0.001);
    assertThat(study.at("/mean/observed").asString()).isEqualTo("POINTS");
    // About the levels on either side the readings scatter alike.
    assertThat(study.at("/spread/observed").asString()).isEqualTo("READINGS");
    assertThat(study.at("/spread/p").asDouble()).isGreaterThan(0.01);
    assertThat(study.at("/words").asString())
        .startsWith(
            "The mean changed (p 0.0010, at most 0.050), most likely by the point of %s, between %s and %s"
                .formatted(
                    study.at("/mean/firstPointAfter").asString(),
                    study.at("/mean/earliest").asString(),
                    study.at("/mean/latest").asString()))
        .contains("Nothing shows at this confidence that the spread changed");
  }

  /** A step of 0.4 sigma, which chance gives now and then. */
  @Test
  void aStepIsSaidAtTheConfidenceAskedFor() {
    post(120, 70, 0.004);
    double p = study("change-points").json().at("/mean/p").asDouble();
    assertThat(p).isBetween(0.01, 0.4);
    assertThat(study("change-points?confidence=" + (0.995 - p)).at("/words").asString())
        .contains("The mean changed (p ");
    assertThat(study("change-points?confidence=" + (1.005 - p)).at("/words").asString())
        .contains("Nothing shows at this confidence that the mean changed");
    // "p 0.12, more than 0.12" would contradict itself
    String close = study("change-points?confidence=" + (1 - p + 1e-7)).at("/words").asString();
    Matcher said =
        Pattern.compile("that the mean changed \\(p (\\S+), more than (\\S+)\\)").matcher(close);
    assertThat(said.find()).as(close).isTrue();
    assertThat(said.group(1)).isNotEqualTo(said.group(2));
  }

  /** Of the normal distribution percentiles, indices and shares are by the same sigma. */
  @Test
  void figuresOfTheNormalShapeAgree() {
    bench.specification("3.9", "4.2", "kg");
    post(30, 30, 0);
    JsonNode shape = study("shape").expect(200).json();
    JsonNode normal = null;
    for (JsonNode fit : shape.get("fits")) {
      normal = fit.get("family").asString().equals("NORMAL") ? fit : normal;
    }
    assertThat(normal).isNotNull();
    double low = normal.get("percentile0135").asDouble();
    double high = normal.get("percentile99865").asDouble();
    assertThat(0.3 / (high - low)).isEqualTo(normal.get("pp").asDouble(), within(1e-4));
    assertThat(normal.at("/parameters/sigma").asDouble() * 6)
        .isEqualTo(high - low, within(1e-4 * (high - low)));
    assertThat(normal.get("median").asDouble()).isEqualTo(normal.at("/parameters/mean").asDouble());
  }

  /** Strips of 4.0 kg, then of 4.1 kg, to the gram: of subgroups too, which have no sigma. */
  @Test
  void aStepOfConstantReadingsIsCertain() {
    for (int size : new int[] {1, 2}) {
      bench = new ChartBench(tarebook, size == 1 ? "INDIVIDUALS" : "XBAR_R", size);
      List<String> values = new ArrayList<>();
      for (int i = 0; i < 20 * size; i++) {
        values.add(i < 12 * size ? "4.0" : "4.1");
      }
      bench.postAll(values, "kg", START, Duration.ofSeconds(60));
      JsonNode study = study("change-points").expect(200).json();
      // a point stands at its last reading
      String moment = START.plusSeconds(60L * (13 * size - 1)).toString();
      for (String each : List.of("firstPointAfter", "earliest", "latest")) {
        assertThat(study.at("/mean/" + each).asString())
            .as(each)
            .startsWith(moment.substring(0, 16));
      }
      assertThat(study.at("/mean/p").asDouble()).isEqualTo(0.001);
      assertThat(study.at("/mean").has("likelihoodRatio")).isFalse();
      assertThat(study.has("spread")).isFalse();
      assertThat(study.at("/notComputed/0/figure").asString()).isEqualTo("spread");
      assertThat(study("cusum").text()).contains(size == 1 ? "about" : "or state sigma");
    }
  }

  /** Means that step by ten sigma of a strip, while strips of a subgroup scatter as before. */
  @Test
  void theSpreadIsSoughtInsideSubgroups() {
    bench = new ChartBench(tarebook, "XBAR_R", 2);
    Random random = new Random(12);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 60; i++) {
      double value = 4 + 0.001 * random.nextGaussian() + (i / 2 >= 15 ? 0.01 : 0);
      values.add(new BigDecimal(value).setScale(5, RoundingMode.HALF_EVEN).toPlainString());
    }
    bench.postAll(values, "kg", START, Duration.ofSeconds(60));
    JsonNode study = study("change-points").expect(200).json();
    assertThat(study.at("/mean/p").asDouble()).isLessThan(0.01);
    assertThat(study.at("/spread/observed").asString()).isEqualTo("READINGS_IN_SUBGROUPS");
    assertThat(study.at("/spread/p").asDouble()).isGreaterThan(0.01);
    assertThat(study.at("/spread/before").asDouble()).isLessThan(0.003);
    assertThat(study.at("/spread/after").asDouble()).isLessThan(0.003);
  }
}
