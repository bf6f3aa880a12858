package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.MathContext;
import java.util.Random;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.Test;

class ExactRoundingTests {

  @Test
  void rootIsTheNearestDouble() {
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
      assertThat(ExactRounding.root(BigFraction.of(numerator, denominator))).isEqualTo(expected);
    }
  }

  @Test
  void rootIsExactForSquares() {
    assertThat(ExactRounding.root(BigFraction.ZERO)).isZero();
    assertThat(ExactRounding.root(BigFraction.of(1, 4))).isEqualTo(0.5);
    assertThat(ExactRounding.root(BigFraction.of(BigInteger.TEN.pow(40)))).isEqualTo(1e20);
    assertThat(ExactRounding.root(BigFraction.of(1, 100))).isEqualTo(0.1);
  }

  @Test
  void rootIsNearestAroundPowersOfTwoAndMidpoints() {
    for (int exponent = -40; exponent <= 40; exponent += 10) {
      BigInteger base = BigInteger.ONE.shiftLeft(60);
      for (int steps = -600; steps <= 600; steps += 13) {
        // A root of (2^60 + steps) 2^(exponent - 60), exactly, and one a trifle beside it.
        BigInteger root = base.add(BigInteger.valueOf(steps));
        for (int trifle = -1; trifle <= 1; trifle++) {
          BigInteger numerator = root.multiply(root).shiftLeft(300).add(BigInteger.valueOf(trifle));
          BigInteger denominator = BigInteger.ONE.shiftLeft(420 - 2 * exponent);
          double expected =
              new BigDecimal(numerator)
                  .divide(new BigDecimal(denominator), new MathContext(400))
                  .sqrt(new MathContext(300))
                  .doubleValue();
          assertThat(ExactRounding.root(numerator, denominator)).isEqualTo(expected);
        }
      }
    }
  }

  @Test
  void quotientIsTheNearestDouble() {
    Random random = new Random(8);
    for (int i = 0; i < 5000; i++) {
      BigInteger numerator = new BigInteger(random.nextInt(200), random);
      BigInteger denominator = new BigInteger(1 + random.nextInt(200), random).add(BigInteger.ONE);
      double expected =
          new BigDecimal(numerator)
              .divide(new BigDecimal(denominator), new MathContext(200))
              .doubleValue();
      assertThat(ExactRounding.quotient(numerator, denominator)).isEqualTo(expected);
      assertThat(ExactRounding.quotient(numerator.negate(), denominator)).isEqualTo(0 - expected);
    }
    // Exactly between two doubles: to the even one.
    BigInteger odd = BigInteger.ONE.shiftLeft(53).add(BigInteger.ONE);
    assertThat(ExactRounding.quotient(odd, BigInteger.TWO)).isEqualTo(0x1p52);
    assertThat(ExactRounding.root(odd.multiply(odd), BigInteger.ONE)).isEqualTo(0x1p53);
  }

  @Test
  void refusesNegativeNumbers() {
    assertThatThrownBy(() -> ExactRounding.root(BigFraction.of(-1)))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("negative");
  }
}
