package org.tarebook.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Random;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;

class MeasuringUncertaintyTests {

  private static final Instant START = Instant.parse("2026-01-01T00:00:00Z");

  @Test
  void aComputedOneIsRoundedUpToThreeDigitsAndNeverSmaller() {
    assertThat(MeasuringUncertainty.recorded(0.62643481)).isEqualByComparingTo("0.627");
    assertThat(MeasuringUncertainty.recorded(0.627)).isEqualByComparingTo("0.627");
    assertThat(MeasuringUncertainty.recorded(2 * 0.0025000000000000001))
        .isEqualByComparingTo("0.005");
    assertThat(MeasuringUncertainty.recorded(0.1 + 0.2)).isEqualByComparingTo("0.3");
    assertThat(MeasuringUncertainty.recorded(1234.2)).isEqualByComparingTo("1240");
    assertThat(MeasuringUncertainty.recorded(1.2e-9)).isEqualByComparingTo("0.000000002");
    assertThat(MeasuringUncertainty.recorded(0)).isEqualByComparingTo("0");
    Random random = new Random(106);
    for (int i = 0; i < 2_000; i++) {
      double found = Math.exp(8 * random.nextGaussian());
      BigDecimal recorded = MeasuringUncertainty.recorded(found);
      assertThat(recorded.scale()).isLessThanOrEqualTo(Decimals.MOST_DECIMALS);
      assertThat(recorded.doubleValue()).isGreaterThanOrEqualTo(found * (1 - 1e-11));
      if (found > 1e-6) {
        assertThat(recorded.doubleValue()).isLessThanOrEqualTo(found * 1.0101);
      }
    }
  }

  @Test
  void convertsAsADifference() {
    MeasuringUncertainty oneDegree = at(0, Unit.CELSIUS, null);
    assertThat(oneDegree.expandedIn(Unit.FAHRENHEIT)).isEqualTo(BigFraction.of(9, 5));
    assertThat(oneDegree.expandedIn(Unit.KELVIN)).isEqualTo(BigFraction.ONE);
    assertThat(at(0, Unit.GRAM, null).expandedIn(Unit.POUND))
        .isEqualTo(BigFraction.of(1000, 453_592_370L).multiply(BigFraction.of(1000)));
  }

  @Test
  void theLastThatHasBegunAndStandsIsInForce() {
    MeasuringUncertainty first = at(0, Unit.GRAM, null);
    MeasuringUncertainty wrong =
        at(100, Unit.GRAM, new MeasuringUncertainty.Withdrawal("wrong", "q", START));
    MeasuringUncertainty last = at(200, Unit.GRAM, null);
    UncertaintyRevisions revisions = new UncertaintyRevisions(List.of(last, wrong, first));
    assertThat(revisions.inForce(START.minusNanos(1000))).isEmpty();
    assertThat(revisions.inForce(START)).contains(first);
    assertThat(revisions.inForce(START.plusSeconds(150))).contains(first);
    assertThat(revisions.inForce(START.plusSeconds(200))).contains(last);
    assertThat(revisions.endOf(first)).isEqualTo(last.validFrom());
    assertThat(revisions.endOf(last)).isNull();
    assertThat(revisions.last()).contains(last);
    assertThat(revisions.during(START.plusSeconds(200), null)).containsExactly(last);
    assertThat(revisions.during(START.plusSeconds(10), START.plusSeconds(200)))
        .containsExactly(first);
    assertThat(new UncertaintyRevisions(List.of(wrong)).last()).isEmpty();
  }

  private static MeasuringUncertainty at(
      int second, Unit unit, MeasuringUncertainty.@Nullable Withdrawal withdrawal) {
    return new MeasuringUncertainty(
        second + 1L,
        1,
        2,
        1,
        "key",
        START.plusSeconds(second),
        BigDecimal.ONE,
        unit,
        BigDecimal.valueOf(2),
        "basis",
        false,
        "quality",
        START,
        withdrawal);
  }
}
