package org.tarebook.stats.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.stats.ReferenceTable.doubles;
import static org.tarebook.stats.ReferenceTable.json;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.tarebook.stats.Accuracy;
import org.tarebook.stats.ControlLimits;
import tools.jackson.databind.JsonNode;

class EwmaCusumTests {

  // NIST/SEMATECH e-Handbook, 6.3.2.4.
  @Test
  void ewmaMeetsTheHandbook() {
    JsonNode example = json("ewma_nist.json");
    Ewma ewma = new Ewma(0.3, 3);
    List<Ewma.Point> points = ewma.points(doubles(example.get("data")), 50, 2.0539);
    JsonNode printed = example.get("published").get("ewma");
    JsonNode steps = example.get("recomputed").get("points");
    for (int i = 0; i < points.size(); i++) {
      Ewma.Point point = points.get(i);
      assertThat(rounded(point.average(), 2)).isEqualByComparingTo(printed.get(i).asString());
      String source = "ewma_nist.json";
      JsonNode step = steps.get(i);
      check("Ewma.points", source, point.average(), step.get("z"), 1e-12);
      check("Ewma.limits", source, point.limits().upper(), step.get("ucl"), 1e-12);
      check("Ewma.limits", source, point.limits().lower(), step.get("lcl"), 1e-12);
      assertThat(point.beyond()).isFalse();
    }
    ControlLimits steady = ewma.steadyLimits(50, 2.0539);
    assertThat(rounded(steady.upper(), 4)).isEqualByComparingTo("52.5884");
    // The handbook prints 47.4115, cut off instead of rounded.
    assertThat(rounded(steady.lower(), 4)).isEqualByComparingTo("47.4116");
    assertThat(new BigDecimal(steady.lower()).setScale(4, RoundingMode.DOWN))
        .isEqualByComparingTo("47.4115");
  }

  @Test
  void ewmaOfWeightOneIsThePlainChart() {
    Ewma plain = new Ewma(1, 3);
    List<Ewma.Point> points = plain.points(new double[] {4.4, 4.37, 4.5}, 4.385, 0.01);
    assertThat(points).extracting(Ewma.Point::average).containsExactly(4.4, 4.37, 4.5);
    assertThat(points).extracting(Ewma.Point::beyond).containsExactly(false, false, true);
    assertThat(plain.limits(4.385, 0.01, 7)).isEqualTo(ControlLimits.ofIndividual(4.385, 0.01));
  }

  @Test
  void ewmaLimitsHoldTheStatedShareOfAverages() {
    Ewma ewma = new Ewma(0.1, 2);
    Random random = new Random(31);
    int outside = 0;
    int rounds = 40_000;
    for (int i = 0; i < rounds; i++) {
      double[] x = random.doubles(5).map(u -> random.nextGaussian()).toArray();
      outside += ewma.points(x, 0, 1).get(4).beyond() ? 1 : 0;
    }
    // 2 sigma limits: 4.55 %, standard error 0.1 %.
    assertThat((double) outside / rounds).isCloseTo(0.0455, within(0.004));
  }

  // NIST/SEMATECH e-Handbook, 6.3.2.3.
  @Test
  void cusumMeetsTheHandbook() {
    JsonNode example = json("cusum_nist.json");
    List<Cusum.Point> points =
        new Cusum(325, 0.3175, 4.1959, 0).points(doubles(example.get("data")));
    JsonNode steps = example.get("recomputed");
    for (int i = 0; i < points.size(); i++) {
      JsonNode step = steps.get(i);
      Cusum.Point point = points.get(i);
      check("Cusum.points", "cusum_nist.json", point.high(), step.get("s_hi"), 1e-12);
      check("Cusum.points", "cusum_nist.json", point.low(), step.get("s_lo"), 1e-12);
      assertThat(point.signal()).isEqualTo(step.get("signal").asBoolean());
      assertThat(point.pointsHigh()).isEqualTo(step.get("n_plus").asInt());
      assertThat(point.pointsLow()).isEqualTo(step.get("n_minus").asInt());
      String printed = example.get("published").get("S_hi").get(i).asString();
      assertThat(point.high()).isCloseTo(Double.parseDouble(printed), within(0.0051));
    }
    assertThat(points.get(12).signal()).isFalse();
    assertThat(points.get(13).signalHigh()).isTrue();
    // The handbook's decision value is 6.608 sigma of 0.635.
    assertThat(Cusum.inSigma(325, 0.635, 0.5, 4.1959 / 0.635).points(doubles(example.get("data"))))
        .extracting(Cusum.Point::signal)
        .isEqualTo(points.stream().map(Cusum.Point::signal).toList());
  }

  @Test
  void headStartSignalsSoonerOffTarget() {
    double[] off = {0.9, 1.2, 0.7, 1.1, 0.8, 1.3, 1.0, 0.9, 1.2};
    // Sums of x - 0.5: 3.9 after eight points, 4.6 after nine; from 2 on 3.9 after four, 4.2 after.
    assertThat(first(new Cusum(0, 0.5, 4, 0), off)).isEqualTo(9);
    assertThat(first(new Cusum(0, 0.5, 4, 2), off)).isEqualTo(5);
  }

  @Test
  void cusumMirrorsAndRefusesNothingOnTheDecisionValue() {
    double[] x = new Random(32).doubles(200, -2, 2).toArray();
    double[] mirrored = Arrays.stream(x).map(v -> -v).toArray();
    Cusum cusum = new Cusum(0, 0.5, 4, 1);
    List<Cusum.Point> there = cusum.points(x);
    List<Cusum.Point> back = cusum.points(mirrored);
    for (int i = 0; i < x.length; i++) {
      assertThat(back.get(i).high()).isEqualTo(there.get(i).low());
      assertThat(back.get(i).signalLow()).isEqualTo(there.get(i).signalHigh());
    }
    // A sum that equals the decision value is no signal yet.
    assertThat(new Cusum(0, 0.5, 1, 0).points(new double[] {1.5}).get(0).signal()).isFalse();
    assertThat(new Cusum(0, 0.5, 1, 0).points(new double[] {-1.5}).get(0).signal()).isFalse();
    assertThat(new Cusum(0, 0.5, 1, 0).points(new double[] {-1.6}).get(0).signalLow()).isTrue();
    // Nor is an average on its limit.
    ControlLimits limits = new ControlLimits(0, -1, 1);
    assertThat(new Ewma.Point(1, limits).beyond()).isFalse();
    assertThat(new Ewma.Point(-1, limits).beyond()).isFalse();
    assertThat(new Ewma.Point(Math.nextUp(1), limits).beyond()).isTrue();
    assertThat(new Ewma.Point(Math.nextDown(-1), limits).beyond()).isTrue();
    assertThat(cusum.points(new double[0])).isEmpty();
  }

  @Test
  void refusesChartsThatCannotBe() {
    assertThatThrownBy(() -> new Ewma(0, 3))
        .hasMessage("weight of the newest point is 0.0, must be above 0 and at most 1");
    assertThatThrownBy(() -> new Ewma(0.2, Double.NaN)).hasMessageContaining("reach is NaN");
    assertThatThrownBy(() -> new Ewma(0.2, 3).points(new double[] {1, Double.NaN}, 0, 1))
        .hasMessage("point 1 is NaN, must be finite");
    assertThatThrownBy(() -> new Ewma(0.2, 3).limits(0, 1, 0))
        .hasMessage("number of points is 0, must be at least 1");
    assertThatThrownBy(() -> new Cusum(0, 0.5, 4, 4))
        .hasMessage("head start 4.0 is not below the decision value 4.0");
    assertThatThrownBy(() -> Cusum.inSigma(0, 0, 0.5, 4)).hasMessageContaining("sigma is 0.0");
  }

  private static void check(
      String function, String source, double own, JsonNode expected, double allowed) {
    Accuracy.absolute(function, source, own, expected.asDouble(), allowed);
  }

  private static int first(Cusum cusum, double[] x) {
    List<Cusum.Point> points = cusum.points(x);
    for (int i = 0; i < points.size(); i++) {
      if (points.get(i).signal()) {
        return i + 1;
      }
    }
    return -1;
  }

  private static BigDecimal rounded(double value, int scale) {
    return new BigDecimal(value).setScale(scale, RoundingMode.HALF_UP);
  }
}
