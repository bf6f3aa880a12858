package org.tarebook.segment;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow.Row;

class PackedReadingsTests {

  private static final Instant START = Instant.parse("2026-01-21T06:00:00Z");

  private static List<Row> readings(Random random) {
    List<Row> readings = new ArrayList<>();
    Instant at = random.nextInt(5) == 0 ? Instant.parse("1969-12-31T22:00:00Z") : START;
    for (int i = random.nextInt(200); i > 0; i--) {
      at = at.plus(random.nextInt(3) * (long) random.nextInt(90_000_000), ChronoUnit.MICROS);
      int decimals = random.nextInt(10);
      long step = (long) Math.pow(10, 9 - decimals);
      readings.add(
          new Row(
              random.nextLong() >>> 1 + random.nextInt(40),
              at,
              random.nextBoolean() ? null : (Long) (random.nextLong() >> random.nextInt(60)),
              1 + random.nextInt(3),
              random.nextBoolean() ? null : (Long) (1L + random.nextInt(3)),
              name(random),
              name(random),
              random.nextBoolean() ? null : "S-" + random.nextInt(40),
              name(random),
              (random.nextLong() % 999_999_999_999_999_999L) / step * step,
              decimals,
              Unit.values()[random.nextInt(Unit.values().length)]));
    }
    return readings;
  }

  private static @Nullable String name(Random random) {
    return random.nextInt(3) == 0 ? null : "Dä-" + random.nextInt(3) + "😀";
  }

  @Test
  void whatIsPackedComesBack() {
    Random random = new Random(62);
    for (int i = 0; i < 300; i++) {
      List<Row> readings = readings(random);
      byte[] packed = PackedReadings.pack(readings);
      assertThat(PackedReadings.readable(packed)).isTrue();
      assertThat(PackedReadings.unpack(packed)).isEqualTo(readings);
    }
  }

  @Test
  void aValueFinerThanItsDecimalsComesBackToo() {
    Row row =
        new Row(1, START, null, 1, null, null, null, null, null, 5_123_456_789L, 2, Unit.KILOGRAM);
    assertThat(PackedReadings.unpack(PackedReadings.pack(List.of(row)))).containsExactly(row);
  }

  @Test
  void aReadingOfAnOrdinaryShiftTakesSomeTenBytes() {
    Random random = new Random(63);
    List<Row> readings = new ArrayList<>();
    for (int i = 0; i < 1000; i++) {
      long nanos = 4_385_000_000L + Math.round(random.nextGaussian() * 15) * 1_000_000;
      readings.add(
          new Row(
              80_000_000L + 40 * i + random.nextInt(40),
              START.plusMillis(29_000L * i + random.nextInt(900)),
              (long) i,
              3,
              7L,
              i < 500 ? "D1" : "D2",
              "LOT-17",
              null,
              "A. N.",
              nanos,
              3,
              Unit.KILOGRAM));
    }
    assertThat(PackedReadings.pack(readings).length).isBetween(5_000, 11_000);
  }

  /** As packed by the release before samples had names. */
  @Test
  void readingsPackedBeforeSamplesHadNamesAreRead() {
    byte[] packed =
        HexFormat.of()
            .parseHex(
                "0102010301000244310100064c4f542d3137010005412e204e2e0300026b6701c0843d02000000"
                    + "000200075b6c625f61765d0080ade204030080b0a693fa9b920352c2440e00c082ea0d040c"
                    + "02018090a10f02b136");
    assertThat(PackedReadings.readable(packed)).isTrue();
    assertThat(PackedReadings.unpack(packed))
        .containsExactly(
            early(41, 0, 7L, 4_385_000_000L),
            early(43, 29, 8L, 4_391_000_000L),
            new Row(
                44,
                START.plusSeconds(61),
                null,
                2,
                null,
                null,
                null,
                null,
                null,
                9_100_000_000L,
                2,
                Unit.POUND));
  }

  private static Row early(long id, long after, long counter, long nanos) {
    return new Row(
        id,
        START.plusSeconds(after),
        counter,
        1,
        3L,
        "D1",
        "LOT-17",
        null,
        "A. N.",
        nanos,
        3,
        Unit.KILOGRAM);
  }

  @Test
  void bytesPackedAnotherWayAreNotReadable() {
    assertThat(PackedReadings.readable(new byte[0])).isFalse();
    assertThat(PackedReadings.readable(new byte[] {0, 1})).isFalse();
  }
}
