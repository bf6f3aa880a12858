package org.tarebook.segment;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.Test;
import org.tarebook.control.PointSums;
import org.tarebook.control.Summary;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.Cause;
import org.tarebook.stats.CountedNanos;
import org.tarebook.stats.Moments;
import org.tarebook.stats.Subgroup;
import org.tarebook.stats.SubgroupSums;

class PackedSummaryTests {

  private static Summary summary(Random random) {
    TreeMap<Summary.Source, Summary.Shown> shown = new TreeMap<>();
    for (int i = random.nextInt(5); i > 0; i--) {
      Instant first = Instant.ofEpochSecond(random.nextInt(), 1000L * random.nextInt(1_000_000));
      shown.put(
          new Summary.Source(
              "DIE=Dä" + random.nextInt(3),
              Unit.values()[random.nextInt(Unit.values().length)],
              random.nextInt(10),
              random.nextBoolean() ? null : (Long) (1 + (random.nextLong() >>> 1) % 1_000_000)),
          new Summary.Shown(
              CountedNanos.of(
                  random
                      .longs(
                          1 + random.nextInt(50),
                          -999_999_999_999_999_999L,
                          999_999_999_999_999_999L)
                      .toArray()),
              first,
              first.plusSeconds(random.nextInt(30_000))));
    }
    TreeMap<String, PointSums> points = new TreeMap<>();
    for (int i = random.nextInt(3); i > 0; i--) {
      SubgroupSums sums =
          SubgroupSums.of(
              List.of(
                  Subgroup.of(random.nextInt(), random.nextInt()),
                  Subgroup.of(random.nextInt(), random.nextInt())));
      points.put(
          "DIE=D" + i,
          new PointSums(
              sums,
              Moments.of(new long[] {random.nextInt(1000)})
                  .affine(BigFraction.of(1, 3), BigFraction.ZERO),
              random.nextInt(3)));
    }
    Map<Cause, Long> uncounted = new EnumMap<>(Cause.class);
    for (Cause cause : Cause.values()) {
      if (random.nextInt(3) == 0) {
        uncounted.put(cause, 1L + random.nextInt(1000));
      }
    }
    return new Summary(shown, points, uncounted);
  }

  @Test
  void whatIsPackedComesBack() {
    Random random = new Random(61);
    for (int i = 0; i < 300; i++) {
      Summary summary = summary(random);
      byte[] packed = PackedSummary.pack(summary);
      assertThat(PackedSummary.readable(packed)).isTrue();
      assertThat(PackedSummary.unpack(packed)).isEqualTo(summary);
    }
    assertThat(PackedSummary.unpack(PackedSummary.pack(Summary.EMPTY))).isEqualTo(Summary.EMPTY);
  }

  @Test
  void whatWasPackedAnotherWayIsNotReadable() {
    assertThat(PackedSummary.readable(new byte[0])).isFalse();
    assertThat(PackedSummary.readable(new byte[] {0, 1})).isFalse();
  }

  @Test
  void aShiftOfWeightsTakesLittle() {
    Random random = new Random(62);
    long[] nanos = random.longs(3000, -30, 30).map(step -> (4385 + step) * 1_000_000L).toArray();
    TreeMap<Summary.Source, Summary.Shown> shown = new TreeMap<>();
    shown.put(
        new Summary.Source("", Unit.KILOGRAM, 3, 7L),
        new Summary.Shown(CountedNanos.of(nanos), Instant.EPOCH, Instant.EPOCH));
    assertThat(PackedSummary.pack(new Summary(shown, new TreeMap<>(), Map.of())))
        .hasSizeLessThan(250);
  }
}
