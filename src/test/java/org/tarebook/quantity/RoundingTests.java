package org.tarebook.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.math.BigDecimal;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.fixtures.ReferenceTable;

class RoundingTests {

  /** ISO 80000-1 Annex B rules A and B; ASTM E29. */
  static Stream<Map<String, String>> table() {
    return ReferenceTable.read("trade/rounding.csv").stream();
  }

  @ParameterizedTest
  @MethodSource("table")
  void followsBothRulesOfTheTable(Map<String, String> row) {
    BigDecimal value = new BigDecimal(row.get("value"));
    BigDecimal interval = new BigDecimal(row.get("interval"));
    assertThat(Rounding.HALF_EVEN.round(value, interval))
        .isEqualByComparingTo(row.get("half_even_ISO80000-1_rule_A_ASTM_E29"));
    assertThat(Rounding.HALF_AWAY.round(value, interval))
        .isEqualByComparingTo(row.get("half_away_from_zero_rule_B"));
  }

  @Test
  void roundsOnceAndNotInStages() {
    BigDecimal interval = new BigDecimal("0.1");
    assertThat(Rounding.HALF_EVEN.round(new BigDecimal("12.254"), interval)).hasToString("12.3");
  }

  @Test
  void showsTheDecimalsOfTheInterval() {
    assertThat(Rounding.HALF_EVEN.round(new BigDecimal("12"), new BigDecimal("0.01")))
        .hasToString("12.00");
    assertThat(Rounding.HALF_EVEN.round(new BigDecimal("1225"), new BigDecimal("1E+1")))
        .hasToString("1220");
    assertThat(Rounding.HALF_EVEN.round(new BigDecimal("-0.04"), new BigDecimal("0.1")))
        .hasToString("0.0");
  }

  @Test
  void breaksNoTieThatAFractionOnlyComesCloseTo() {
    BigFraction tie = BigFraction.of(5, 100);
    BigFraction aHair = BigFraction.of(1, 3).divide(Decimals.fraction(new BigDecimal("1E+40")));
    BigDecimal interval = new BigDecimal("0.1");
    assertThat(Rounding.HALF_EVEN.round(tie, interval)).isEqualByComparingTo("0");
    assertThat(Rounding.HALF_EVEN.round(tie.add(aHair), interval)).isEqualByComparingTo("0.1");
    assertThat(Rounding.HALF_AWAY.round(tie.subtract(aHair), interval)).isEqualByComparingTo("0");
  }

  @Test
  void staysWithinHalfAnIntervalAndIsSymmetricAboutZero() {
    Random random = new Random(20263);
    for (int i = 0; i < 2_000; i++) {
      BigDecimal value = BigDecimal.valueOf(random.nextInt(), random.nextInt(8));
      BigDecimal interval = BigDecimal.valueOf(1 + random.nextInt(500), random.nextInt(5));
      for (Rounding rule : Rounding.values()) {
        BigDecimal rounded = rule.round(value, interval);
        assertThat(rounded.subtract(value).abs().multiply(BigDecimal.valueOf(2)))
            .isLessThanOrEqualTo(interval);
        assertThat(rounded.remainder(interval)).isZero();
        assertThat(rule.round(value.negate(), interval)).isEqualByComparingTo(rounded.negate());
        assertThat(rule.round(rounded, interval)).isEqualByComparingTo(rounded);
      }
    }
  }

  @Test
  void refusesAnIntervalOfZeroOrLess() {
    for (String interval : new String[] {"0", "-0.1"}) {
      assertThatIllegalArgumentException()
          .isThrownBy(() -> Rounding.HALF_EVEN.round(BigDecimal.ONE, new BigDecimal(interval)))
          .withMessage("a rounding interval must be greater than 0, was " + interval);
    }
  }
}
