package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.Random;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.Test;

class MomentsTests {

  @Test
  void areExact() {
    Moments moments = Moments.of(new long[] {4_385_000_000L, 4_390_000_000L, 4_375_000_001L});

    assertThat(moments.count()).isEqualTo(3);
    assertThat(moments.sum()).isEqualTo(fraction("13.150000001"));
    assertThat(moments.sumOfSquares()).isEqualTo(fraction("57.640950008750000001"));
    assertThat(moments.exactMean()).isEqualTo(fraction("13.150000001").divide(3));
    assertThat(moments.exactSquaredDeviations()).isEqualTo(moments.exactVariance().multiply(2));
  }

  @Test
  void areTheSameWhicheverWayReadingsArrive() {
    long[] nanos = {0, 12_500_000_000L, -3L, 999_999_999_999_999_999L};
    Moments part = Moments.of(nanos, 1, 3);
    Moments decimals = Moments.ofDecimals(new BigDecimal("12.5"), new BigDecimal("-0.000000003"));

    assertThat(part).isEqualTo(decimals).hasSameHashCodeAs(decimals);
    assertThat(part).isNotEqualTo(Moments.of(nanos));
    assertThat(Moments.of(nanos, 2, 2)).isEqualTo(Moments.EMPTY);
    assertThat(Moments.ofDecimals(new BigDecimal("4.385")))
        .isEqualTo(Moments.ofDecimals(new BigDecimal("4.38500")));
  }

  @Test
  void takeDecimalsFinerThanNanos() {
    Moments moments = Moments.ofDecimals(new BigDecimal("0.0000000000001"), new BigDecimal("3E+2"));
    assertThat(moments.sum()).isEqualTo(fraction("300.0000000000001"));
  }

  @Test
  void addTheLargestLongsWithoutOverflow() {
    MomentsAccumulator accumulator = new MomentsAccumulator();
    BigInteger sum = BigInteger.ZERO;
    BigInteger squares = BigInteger.ZERO;
    long[] extremes = {Long.MIN_VALUE, Long.MIN_VALUE, Long.MAX_VALUE, -1, 0, 1, Long.MIN_VALUE};
    for (int i = 0; i < 1000; i++) {
      long value = extremes[i % extremes.length];
      accumulator.add(value);
      sum = sum.add(BigInteger.valueOf(value));
      squares = squares.add(BigInteger.valueOf(value).pow(2));
    }
    BigInteger nano = BigInteger.TEN.pow(9);

    assertThat(accumulator.moments().sum()).isEqualTo(BigFraction.of(sum, nano));
    assertThat(accumulator.moments().sumOfSquares())
        .isEqualTo(BigFraction.of(squares, nano.multiply(nano)));
    assertThat(accumulator.least()).isEqualTo(Long.MIN_VALUE);
    assertThat(accumulator.greatest()).isEqualTo(Long.MAX_VALUE);
    assertThat(accumulator.range())
        .isEqualTo(BigFraction.of(BigInteger.TWO.pow(64).subtract(BigInteger.ONE), nano));
  }

  @Test
  void accumulateRandomLongsExactly() {
    Random random = new Random(20240517);
    MomentsAccumulator accumulator = new MomentsAccumulator();
    BigInteger sum = BigInteger.ZERO;
    BigInteger squares = BigInteger.ZERO;
    for (int i = 0; i < 5000; i++) {
      long value = random.nextLong() >> random.nextInt(64);
      accumulator.add(value);
      sum = sum.add(BigInteger.valueOf(value));
      squares = squares.add(BigInteger.valueOf(value).pow(2));
    }
    BigInteger nano = BigInteger.TEN.pow(9);
    assertThat(accumulator.count()).isEqualTo(5000);
    assertThat(accumulator.moments().sum()).isEqualTo(BigFraction.of(sum, nano));
    assertThat(accumulator.moments().sumOfSquares())
        .isEqualTo(BigFraction.of(squares, nano.multiply(nano)));
  }

  @Test
  void haveNoSpreadWhenAllReadingsAreEqual() {
    Moments moments = Moments.of(new long[] {4_385_000_001L, 4_385_000_001L, 4_385_000_001L});
    assertThat(moments.variance()).isZero();
    assertThat(moments.sd()).isZero();
    assertThat(moments.mean()).isEqualTo(4.385000001);
  }

  @Test
  void convertUnitsExactlyThoughTheFactorDoesNotTerminate() {
    // Degrees Fahrenheit to Celsius: (F - 32) 5/9.
    Moments fahrenheit = Moments.ofDecimals(new BigDecimal("300"), new BigDecimal("301.5"));
    BigFraction factor = BigFraction.of(5, 9);
    BigFraction offset = BigFraction.of(-160, 9);
    Moments celsius = fahrenheit.affine(factor, offset);

    assertThat(celsius.exactMean()).isEqualTo(fraction("300.75").multiply(factor).add(offset));
    assertThat(celsius.exactVariance())
        .isEqualTo(fahrenheit.exactVariance().multiply(factor).multiply(factor));
    assertThat(celsius.affine(BigFraction.of(9, 5), BigFraction.of(32))).isEqualTo(fahrenheit);
    assertThat(celsius.plus(fahrenheit)).isEqualTo(fahrenheit.plus(celsius));
  }

  @Test
  void differWhenOneOfTheirThreeFiguresDoes() {
    Moments one = Moments.of(new long[] {1, 3});
    assertThat(one).isEqualTo(Moments.of(new long[] {3, 1}));
    assertThat(one).isNotEqualTo(Moments.of(new long[] {1, 3, 0}));
    assertThat(one).isNotEqualTo(Moments.of(new long[] {0, 4}));
    // The same sum of squares, 50, with another sum.
    assertThat(Moments.of(new long[] {1, 7})).isNotEqualTo(Moments.of(new long[] {5, 5}));
    assertThat(one.equals("1, 3")).isFalse();
    assertThat(one.hashCode()).isNotEqualTo(Moments.of(new long[] {0, 4}).hashCode());
    assertThat(Moments.of(new long[] {2_000_000_000L}).toString())
        .isEqualTo("Moments[count=1, sum=2, sumOfSquares=4]");
    assertThat(Moments.EMPTY.exactSquaredDeviations()).isEqualTo(BigFraction.ZERO);
    assertThat(Moments.EMPTY.plus(one)).isEqualTo(one);
  }

  @Test
  void refuseFiguresThatDoNotExist() {
    assertThatThrownBy(Moments.EMPTY::mean)
        .isInstanceOf(IllegalStateException.class)
        .hasMessage("0 reading(s) have no mean, it takes 1");
    assertThatThrownBy(() -> Moments.of(new long[] {1}).sd())
        .isInstanceOf(IllegalStateException.class)
        .hasMessage("1 reading(s) have no variance, it takes 2");
    assertThatThrownBy(Moments.EMPTY::exactMean)
        .hasMessage("0 reading(s) have no mean, it takes 1");
    assertThatThrownBy(() -> Moments.of(new long[] {1}).variance())
        .hasMessage("1 reading(s) have no variance, it takes 2");
    assertThatThrownBy(() -> Moments.of(new long[] {1}).exactVariance())
        .hasMessage("1 reading(s) have no variance, it takes 2");
    assertThatThrownBy(() -> new MomentsAccumulator().greatest())
        .hasMessage("no reading was added, so there is no greatest");
    assertThatThrownBy(() -> new MomentsAccumulator().least())
        .isInstanceOf(IllegalStateException.class)
        .hasMessageContaining("no least");
  }

  @Test
  void refusePartsOutsideAndEndlessDecimals() {
    assertThatThrownBy(() -> Moments.of(new long[3], 1, 4))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("part from 1 to 4 does not lie in an array of 3");
    assertThatThrownBy(() -> Moments.of(new long[3], -1, 2))
        .hasMessage("part from -1 to 2 does not lie in an array of 3");
    assertThatThrownBy(() -> Moments.of(new long[3], 2, 1))
        .hasMessage("part from 2 to 1 does not lie in an array of 3");
    assertThat(Moments.of(new long[3], 3, 3)).isEqualTo(Moments.EMPTY);
    assertThat(Moments.ofDecimals(new BigDecimal("1E-100"), new BigDecimal("1E+100")).count())
        .isEqualTo(2);
    assertThatThrownBy(() -> Moments.ofDecimals(new BigDecimal("1E-101")))
        .hasMessage("reading 0 has 101 decimals, at most 100 are taken");
    assertThatThrownBy(() -> Moments.ofDecimals(new BigDecimal("1E+101")))
        .hasMessage("reading 0 has -101 decimals, at most 100 are taken");
    assertThatThrownBy(() -> Moments.ofDecimals(BigDecimal.ONE, new BigDecimal("1E+1000000000")))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("reading 1 has -1000000000 decimals");
  }

  private static BigFraction fraction(String decimal) {
    BigDecimal value = new BigDecimal(decimal);
    return BigFraction.of(value.unscaledValue(), BigInteger.TEN.pow(value.scale()));
  }
}
