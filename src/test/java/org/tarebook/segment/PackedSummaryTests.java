package org.tarebook.segment;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.EnumMap;
import java.util.HexFormat;
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
                  Subgroup.of(random.ints(1 + random.nextInt(3)).asLongStream().toArray()),
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

  /** As packed by the release before samples had names. */
  @Test
  void aSummaryPackedBeforeSamplesHadNamesIsRead() {
    byte[] packed =
        HexFormat.of()
            .parseHex(
                "010100064449453d443100026b67030380e0cca6f4b7a406808ab7fcf4b7a40604c0843d80fc8bd1"
                    + "20010501040102010100064449453d4431020204020db50200c8040496449b030f424001"
                    + "75031e848001030200c81901b09216c3ecf344128b477df7bc0d6c40f3403d05ef1c707b78"
                    + "00010001010100010100010006564f4944454402");
    long[] values = {4_385_000_000L, 4_391_000_000L, 4_380_000_000L, 4_389_000_000L};
    Instant at = Instant.parse("2026-01-21T06:00:00Z");
    TreeMap<Summary.Source, Summary.Shown> shown = new TreeMap<>();
    shown.put(
        new Summary.Source("DIE=D1", Unit.KILOGRAM, 3, 3L),
        new Summary.Shown(CountedNanos.of(values), at, at.plusSeconds(90)));
    TreeMap<String, PointSums> points = new TreeMap<>();
    points.put(
        "DIE=D1",
        new PointSums(
            SubgroupSums.of(
                List.of(Subgroup.of(values[0], values[1]), Subgroup.of(values[2], values[3]))),
            Moments.EMPTY,
            0));
    assertThat(PackedSummary.readable(packed)).isTrue();
    assertThat(PackedSummary.unpack(packed))
        .isEqualTo(new Summary(shown, points, Map.of(Cause.VOIDED, 2L)));
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
