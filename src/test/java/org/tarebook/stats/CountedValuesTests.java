package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;

class CountedValuesTests {

  @Test
  void partsGiveTheWhole() {
    Random random = new Random(41);
    for (int i = 0; i < 200; i++) {
      long[] all = random.longs(random.nextInt(40), -5, 9).map(v -> v * 1_000_000_007L).toArray();
      int cut = all.length == 0 ? 0 : random.nextInt(all.length + 1);
      CountedNanos one = CountedNanos.of(Arrays.copyOfRange(all, 0, cut));
      CountedNanos other = CountedNanos.of(Arrays.copyOfRange(all, cut, all.length));
      CountedNanos whole = CountedNanos.of(all);
      assertThat(one.plus(other)).isEqualTo(whole).isEqualTo(other.plus(one));
      assertThat(whole.moments()).isEqualTo(Moments.of(all));
      assertThat(whole.count()).isEqualTo(all.length);
      assertThat(one.plus(other)).hasSameHashCodeAs(whole);
    }
  }

  @Test
  void valuesAscendWithTheirCounts() {
    List<Long> seen = new ArrayList<>();
    CountedNanos tally = CountedNanos.of(3, -1, 3, 2);
    tally.forEach(
        (nanos, count) -> {
          seen.add(nanos);
          seen.add(count);
        });
    assertThat(seen).containsExactly(-1L, 1L, 2L, 1L, 3L, 2L);
    assertThat(tally.distinct()).isEqualTo(3);
    assertThat(tally).isEqualTo(CountedNanos.of(new long[] {-1, 2, 3}, new long[] {1, 1, 2}));
    assertThat(CountedNanos.EMPTY.plus(tally))
        .isEqualTo(tally)
        .isEqualTo(tally.plus(CountedNanos.EMPTY));
    assertThat(tally)
        .hasToString("CountedNanos[4 readings, 3 values]")
        .isNotEqualTo(CountedNanos.EMPTY);
  }

  @Test
  void readingsBetweenStepsAreToldApart() {
    assertThat(CountedNanos.of(-10, 5, 5).inSteps(5)).contains(CountedNanos.of(-2, 1, 1));
    assertThat(CountedNanos.of(-10, 5, 6).inSteps(5)).isEmpty();
  }

  @Test
  void refusesWhatCannotBeATally() {
    assertThatThrownBy(() -> CountedNanos.of(new long[] {1, 1}, new long[] {1, 1}))
        .hasMessage("value 1, 1, occurs 1 times or does not ascend");
    assertThatThrownBy(() -> CountedNanos.of(new long[] {1}, new long[] {0}))
        .hasMessage("value 0, 1, occurs 0 times or does not ascend");
    assertThatThrownBy(() -> CountedNanos.of(new long[] {1}, new long[0]))
        .hasMessage("1 values with 0 counts");
    assertThatThrownBy(
            () ->
                CountedNanos.of(new long[] {1}, new long[] {Long.MAX_VALUE})
                    .plus(CountedNanos.of(new long[] {1}, new long[] {1})))
        .isInstanceOf(ArithmeticException.class);
  }

  @Test
  void countedValuesRankTheReadings() {
    Random random = new Random(42);
    for (int i = 0; i < 200; i++) {
      double[] x = random.ints(1 + random.nextInt(30), -3, 6).mapToDouble(v -> v / 4.0).toArray();
      CountedValues counted = CountedValues.of(x);
      double[] sorted = x.clone();
      Arrays.sort(sorted);
      for (int rank = 0; rank < x.length; rank++) {
        assertThat(counted.ranked(rank)).isEqualTo(sorted[rank] + 0.0);
      }
      TreeMap<Double, Long> counts = new TreeMap<>();
      for (double value : x) {
        counts.merge(value + 0.0, 1L, Long::sum);
      }
      assertThat(CountedValues.of(counts)).isEqualTo(counted).hasSameHashCodeAs(counted);
      assertThat(counted.least()).isEqualTo(sorted[0] + 0.0);
      assertThat(counted.greatest()).isEqualTo(sorted[x.length - 1] + 0.0);
      // Quarters add up without rounding.
      assertThat(counted.sum(v -> v)).isEqualTo(Arrays.stream(x).sum());
    }
  }

  @Test
  void minusZeroIsZero() {
    assertThat(CountedValues.of(new double[] {0.0, -0.0}).distinct()).isEqualTo(1);
  }

  @Test
  void aLargeCommonValueCostsNoDigits() {
    CountedValues far = CountedValues.of(new double[] {1e15, 1e15 + 1, 1e15 + 2, 1e15 + 2});
    assertThat(far.mean(v -> v)).isEqualTo(1e15 + 1.25);
    assertThat(far).hasToString("CountedValues[4 readings, 3 values]");
  }

  @Test
  void refusesWhatCannotBeCounted() {
    assertThatThrownBy(() -> CountedValues.of(new double[] {1, Double.NaN}))
        .hasMessageContaining("reading 1");
    TreeMap<Double, Long> none = new TreeMap<>();
    none.put(1.0, 0L);
    assertThatThrownBy(() -> CountedValues.of(none)).hasMessage("value 1.0 occurs 0 times");
  }
}
