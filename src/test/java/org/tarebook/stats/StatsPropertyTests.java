package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.RepetitionInfo;

/** What must hold for any readings, on seeded random ones. */
class StatsPropertyTests {

  @RepeatedTest(50)
  void aShiftMovesTheMeanAndNothingElse(RepetitionInfo run) {
    Random random = new Random(run.getCurrentRepetition());
    List<long[]> groups = groups(random);
    long shift = random.nextLong(-400_000_000_000_000_000L, 400_000_000_000_000_000L);
    List<Subgroup> before = subgroups(groups);
    List<Subgroup> after =
        subgroups(groups.stream().map(group -> mapped(group, 1, shift)).toList());

    assertThat(all(after).exactMean())
        .isEqualTo(all(before).exactMean().add(BigFraction.of(shift).divide(1_000_000_000)));
    assertThat(Spread.pooled(after)).isEqualTo(Spread.pooled(before));
    assertThat(Spread.meanRange(after)).isEqualTo(Spread.meanRange(before));
    assertThat(Spread.meanSd(after)).isEqualTo(Spread.meanSd(before));
    assertThat(Spread.total(all(after))).isEqualTo(Spread.total(all(before)));
    assertThat(all(before).affine(BigFraction.ONE, BigFraction.of(shift).divide(1_000_000_000)))
        .isEqualTo(all(after));
  }

  @RepeatedTest(50)
  void aScaleMultipliesMeanAndSpread(RepetitionInfo run) {
    Random random = new Random(1000 + run.getCurrentRepetition());
    List<long[]> groups = groups(random);
    int factor = random.nextBoolean() ? 1000 : -3;
    List<Subgroup> before = subgroups(groups);
    List<Subgroup> after =
        subgroups(groups.stream().map(group -> mapped(group, factor, 0)).toList());

    assertThat(all(after)).isEqualTo(all(before).affine(BigFraction.of(factor), BigFraction.ZERO));
    assertThat(all(after).exactVariance())
        .isEqualTo(all(before).exactVariance().multiply(factor).multiply(factor));
    assertScaled(Spread.pooled(before).orElseThrow(), Spread.pooled(after).orElseThrow(), factor);
    assertScaled(
        Spread.meanRange(before).orElseThrow(), Spread.meanRange(after).orElseThrow(), factor);
    assertScaled(Spread.meanSd(before).orElseThrow(), Spread.meanSd(after).orElseThrow(), factor);
  }

  @RepeatedTest(50)
  void orderInsideAndBetweenSubgroupsChangesNoDigit(RepetitionInfo run) {
    Random random = new Random(2000 + run.getCurrentRepetition());
    List<long[]> groups = groups(random);
    List<Subgroup> before = subgroups(groups);
    List<long[]> shuffled = new ArrayList<>();
    for (long[] group : groups) {
      List<Long> readings = new ArrayList<>();
      for (long reading : group) {
        readings.add(reading);
      }
      Collections.shuffle(readings, random);
      shuffled.add(readings.stream().mapToLong(Long::longValue).toArray());
    }
    assertThat(subgroups(shuffled)).isEqualTo(before);

    Collections.shuffle(shuffled, random);
    List<Subgroup> after = subgroups(shuffled);
    assertThat(Spread.pooled(after)).isEqualTo(Spread.pooled(before));
    assertThat(Spread.meanRange(after)).isEqualTo(Spread.meanRange(before));
    assertThat(Spread.meanSd(after)).isEqualTo(Spread.meanSd(before));
    assertThat(OneWayAnova.of(after.stream().map(Subgroup::moments).toList()))
        .isEqualTo(OneWayAnova.of(before.stream().map(Subgroup::moments).toList()));
  }

  @RepeatedTest(50)
  void segmentsMergeToTheWholeInAnyOrder(RepetitionInfo run) {
    Random random = new Random(3000 + run.getCurrentRepetition());
    long[] readings = random.longs(200, -1_000_000_000_000L, 1_000_000_000_000L).toArray();
    List<Moments> segments = new ArrayList<>();
    for (int from = 0; from < readings.length; ) {
      int to = Math.min(readings.length, from + random.nextInt(30));
      segments.add(Moments.of(readings, from, to));
      from = to;
    }
    Collections.shuffle(segments, random);
    Moments merged = Moments.EMPTY;
    for (Moments segment : segments) {
      merged = random.nextBoolean() ? merged.plus(segment) : segment.plus(merged);
    }
    Moments whole = Moments.of(readings);
    assertThat(merged).isEqualTo(whole);
    assertThat(merged.mean()).isEqualTo(whole.mean());
    assertThat(merged.sd()).isEqualTo(whole.sd());
  }

  @RepeatedTest(20)
  void onePointFarOutKeepsEveryDigit(RepetitionInfo run) {
    Random random = new Random(4000 + run.getCurrentRepetition());
    long[] readings = random.longs(1000, -50, 50).toArray();
    long[] withOutlier = Arrays.copyOf(readings, 1001);
    withOutlier[1000] = 999_999_999_999_999_999L;
    Moments far = Moments.of(withOutlier);
    // Taking the point away again leaves exactly what was there.
    assertThat(far.sum().subtract(Moments.of(withOutlier, 1000, 1001).sum()))
        .isEqualTo(Moments.of(readings).sum());
    double expected = 999_999_999.999999999 / Math.sqrt(1001);
    assertThat(far.sd()).isCloseTo(expected, within(1e-9 * expected));
  }

  private static void assertScaled(SigmaEstimate before, SigmaEstimate after, int factor) {
    double expected = before.sigma() * Math.abs(factor);
    assertThat(after.sigma()).isCloseTo(expected, within(4e-16 * expected));
    assertThat(after.degreesOfFreedom()).isEqualTo(before.degreesOfFreedom());
  }

  private static List<long[]> groups(Random random) {
    int size = 2 + random.nextInt(9);
    List<long[]> groups = new ArrayList<>();
    for (int i = 0; i < 2 + random.nextInt(30); i++) {
      groups.add(random.longs(size, -10_000_000_000L, 10_000_000_000L).toArray());
    }
    return groups;
  }

  private static List<Subgroup> subgroups(List<long[]> groups) {
    return groups.stream().map(Subgroup::of).toList();
  }

  private static long[] mapped(long[] readings, long factor, long shift) {
    return Arrays.stream(readings).map(reading -> reading * factor + shift).toArray();
  }

  private static Moments all(List<Subgroup> subgroups) {
    return subgroups.stream().map(Subgroup::moments).reduce(Moments.EMPTY, Moments::plus);
  }
}
