package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.stats.Proportion.Count;

class ProportionTests {

  static List<Map<String, String>> intervals() {
    return ReferenceTable.rows("binomial_intervals.csv");
  }

  // R 4.2.2: prop.test(correct = FALSE), binom.test, qbeta; with Newcombe (1998), Table I.
  @ParameterizedTest
  @MethodSource("intervals")
  void reproducesIntervals(Map<String, String> row) {
    Count count = new Count(Long.parseLong(row.get("x")), Long.parseLong(row.get("n")));
    double confidence = ReferenceTable.number(row, "conf");
    assertInterval(Proportion.wilson(count, confidence), row, "wilson");
    assertInterval(Proportion.clopperPearson(count, confidence), row, "cp");
    assertInterval(Proportion.jeffreys(count, confidence), row, "jeffreys");
  }

  // Newcombe, Statistics in Medicine 17 (1998) 857-872, Table I; NIST e-Handbook 7.2.4.1.
  @Test
  void reproducesPrintedIntervals() {
    Interval wilson = Proportion.wilson(new Count(81, 263), 0.95);
    assertThat(wilson.lower()).isCloseTo(0.2553, within(5e-5));
    assertThat(wilson.upper()).isCloseTo(0.3662, within(5e-5));
    Interval exact = Proportion.clopperPearson(new Count(4, 20), 0.9);
    assertThat(exact.lower()).isCloseTo(0.071354, within(5e-7));
    // Printed 0.401029; the exact limit is 0.4010281, so the last printed digit is off by one.
    assertThat(exact.upper()).isCloseTo(0.401029, within(1.1e-6));
  }

  @Test
  void endsExactlyAtNothingAndAtEverything() {
    for (long n : new long[] {1, 2, 7, 20, 263, 1_000_003, 1_000_000_000_000L}) {
      for (double confidence : new double[] {0.5, 0.9, 0.95, 0.999}) {
        Count none = new Count(0, n);
        Count all = new Count(n, n);
        assertThat(Proportion.wilson(none, confidence).lower()).isEqualTo(0.0);
        assertThat(Proportion.wilson(all, confidence).upper()).isEqualTo(1.0);
        assertThat(Proportion.clopperPearson(none, confidence).lower()).isEqualTo(0.0);
        assertThat(Proportion.clopperPearson(all, confidence).upper()).isEqualTo(1.0);
        // Closed form at 0: 1 - (alpha/2)^(1/n).
        double expected = -Math.expm1(Math.log((1 - confidence) / 2) / n);
        assertThat(Proportion.clopperPearson(none, confidence).upper())
            .isCloseTo(expected, within(1e-9 * expected));
        assertThat(Proportion.wilson(none, confidence).upper())
            .isCloseTo(1 - Proportion.wilson(all, confidence).lower(), within(1e-14));
      }
    }
  }

  @Test
  void refusesCountsThatCannotBe() {
    assertThatThrownBy(() -> new Count(0, 0))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("total is 0, a share takes at least 1");
    assertThatThrownBy(() -> new Count(3, 2)).hasMessage("counted 3 out of 2");
    assertThatThrownBy(() -> new Count(-1, 2)).hasMessage("counted -1 out of 2");
    assertThatThrownBy(() -> Proportion.wilson(new Count(1, 2), 0))
        .hasMessageContaining("confidence is 0.0");
  }

  private static void assertInterval(Interval own, Map<String, String> row, String name) {
    double lower = ReferenceTable.number(row, name + "_lo");
    double upper = ReferenceTable.number(row, name + "_hi");
    String function = "Proportion." + (name.equals("cp") ? "clopperPearson" : name);
    Accuracy.absolute(function, "binomial_intervals.csv", own.lower(), lower, 5e-13);
    Accuracy.absolute(function, "binomial_intervals.csv", own.upper(), upper, 5e-13);
  }

  /** By hand: all of n counted leaves the n-th root of the doubt, one of n its mirror image. */
  @Test
  void lowerLimitsKeepTheirDigitsNearBothEnds() {
    assertThat(Proportion.lowerLimit(new Proportion.Count(1_000_000, 1_000_000), 0.95))
        .isEqualTo(Math.exp(Math.log1p(-0.95) / 1_000_000));
    long n = 1_000_000_000_000L;
    double least = -Math.expm1(Math.log1p(-0.05) / n);
    assertThat(Proportion.lowerLimit(new Proportion.Count(1, n), 0.95) / least)
        .isCloseTo(1, org.assertj.core.api.Assertions.within(1e-10));
    assertThat(Proportion.lowerLimit(new Proportion.Count(0, 5), 0.95)).isZero();
  }
}
