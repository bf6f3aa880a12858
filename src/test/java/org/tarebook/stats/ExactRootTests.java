package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.MathContext;
import java.util.Random;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.Test;

class ExactRootTests {

  @Test
  void isTheNearestDouble() {
    Random random = new Random(7);
    MathContext digits = new MathContext(60);
    for (int i = 0; i < 2000; i++) {
      BigInteger numerator = new BigInteger(1 + random.nextInt(300), random).add(BigInteger.ONE);
      BigInteger denominator = new BigInteger(1 + random.nextInt(300), random).add(BigInteger.ONE);
      double expected =
          new BigDecimal(numerator)
              .divide(new BigDecimal(denominator), new MathContext(130))
              .sqrt(digits)
              .doubleValue();
      assertThat(ExactRoot.of(BigFraction.of(numerator, denominator))).isEqualTo(expected);
    }
  }

  @Test
  void isExactForSquares() {
    assertThat(ExactRoot.of(BigFraction.ZERO)).isZero();
    assertThat(ExactRoot.of(BigFraction.of(1, 4))).isEqualTo(0.5);
    assertThat(ExactRoot.of(BigFraction.of(BigInteger.TEN.pow(40)))).isEqualTo(1e20);
    assertThat(ExactRoot.of(BigFraction.of(1, 100))).isEqualTo(0.1);
  }

  @Test
  void refusesNegativeNumbers() {
    assertThatThrownBy(() -> ExactRoot.of(BigFraction.of(-1)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("negative");
  }
}
