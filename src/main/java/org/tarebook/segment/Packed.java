package org.tarebook.segment;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.math.BigInteger;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.EnumMap;
import java.util.Map;
import java.util.TreeMap;
import org.apache.commons.numbers.fraction.BigFraction;
import org.tarebook.control.PointSums;
import org.tarebook.control.Summary;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.Cause;
import org.tarebook.stats.CountedNanos;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SubgroupSums;

/**
 * A summary as bytes. Whole numbers are written seven bits to a byte, low ones first, and values as
 * steps from the one before, so that a shift takes some hundred bytes.
 */
final class Packed {

  /** The way of packing; a segment packed another way is taken for stale. */
  private static final int FORM = 1;

  private Packed() {}

  static byte[] pack(Summary summary) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (DataOutputStream out = new DataOutputStream(bytes)) {
      out.writeByte(FORM);
      whole(out, summary.shown().size());
      for (Map.Entry<Summary.Source, Summary.Shown> each : summary.shown().entrySet()) {
        Summary.Source source = each.getKey();
        Long instrument = source.instrument();
        out.writeUTF(source.stratum());
        out.writeUTF(source.unit().code());
        whole(out, source.decimals());
        whole(out, instrument == null ? 0 : instrument);
        moment(out, each.getValue().first());
        moment(out, each.getValue().last());
        counted(out, each.getValue().values());
      }
      whole(out, summary.points().size());
      for (Map.Entry<String, PointSums> each : summary.points().entrySet()) {
        out.writeUTF(each.getKey());
        points(out, each.getValue());
      }
      whole(out, summary.uncounted().size());
      for (Map.Entry<Cause, Long> each : summary.uncounted().entrySet()) {
        out.writeUTF(each.getKey().name());
        whole(out, each.getValue());
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return bytes.toByteArray();
  }

  /** Whether bytes were packed this way. */
  static boolean readable(byte[] bytes) {
    return bytes.length > 0 && bytes[0] == FORM;
  }

  static Summary unpack(byte[] bytes) {
    try (DataInputStream in =
        new DataInputStream(new ByteArrayInputStream(bytes, 1, bytes.length))) {
      TreeMap<Summary.Source, Summary.Shown> shown = new TreeMap<>();
      for (long left = whole(in); left > 0; left--) {
        String stratum = in.readUTF();
        Unit unit = Unit.of(in.readUTF());
        int decimals = (int) whole(in);
        long instrument = whole(in);
        Instant first = moment(in);
        Instant last = moment(in);
        shown.put(
            new Summary.Source(stratum, unit, decimals, instrument == 0 ? null : instrument),
            new Summary.Shown(counted(in), first, last));
      }
      TreeMap<String, PointSums> points = new TreeMap<>();
      for (long left = whole(in); left > 0; left--) {
        points.put(in.readUTF(), points(in));
      }
      Map<Cause, Long> uncounted = new EnumMap<>(Cause.class);
      for (long left = whole(in); left > 0; left--) {
        uncounted.put(Cause.valueOf(in.readUTF()), whole(in));
      }
      return new Summary(shown, points, uncounted);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static void points(DataOutputStream out, PointSums points) throws IOException {
    SubgroupSums sums = points.subgroups();
    whole(out, sums.subgroups());
    whole(out, sums.several());
    moments(out, sums.readings());
    fraction(out, sums.squaredDeviations());
    fraction(out, sums.ranges());
    integer(out, sums.sds().unscaledValue());
    signed(out, sums.sds().scale());
    moments(out, points.moved());
    whole(out, points.movedSeries());
  }

  private static PointSums points(DataInputStream in) throws IOException {
    SubgroupSums sums =
        new SubgroupSums(
            whole(in),
            whole(in),
            moments(in),
            fraction(in),
            fraction(in),
            new BigDecimal(integer(in), (int) signed(in)));
    return new PointSums(sums, moments(in), whole(in));
  }

  private static void moments(DataOutputStream out, Moments moments) throws IOException {
    whole(out, moments.count());
    fraction(out, moments.sum());
    fraction(out, moments.sumOfSquares());
  }

  private static Moments moments(DataInputStream in) throws IOException {
    return Moments.ofSums(whole(in), fraction(in), fraction(in));
  }

  private static void counted(DataOutputStream out, CountedNanos shown) throws IOException {
    long[] values = new long[shown.distinct()];
    long[] counts = new long[values.length];
    int[] place = {0};
    shown.forEach(
        (nanos, count) -> {
          values[place[0]] = nanos;
          counts[place[0]++] = count;
        });
    BigInteger common = BigInteger.ZERO;
    for (int i = 1; i < values.length; i++) {
      common = common.gcd(BigInteger.valueOf(Math.subtractExact(values[i], values[i - 1])));
    }
    long step = Math.max(1, common.longValueExact());
    whole(out, values.length);
    whole(out, step);
    for (int i = 0; i < values.length; i++) {
      if (i == 0) {
        signed(out, values[0]);
      } else {
        whole(out, (values[i] - values[i - 1]) / step);
      }
      whole(out, counts[i]);
    }
  }

  private static CountedNanos counted(DataInputStream in) throws IOException {
    int distinct = (int) whole(in);
    long step = whole(in);
    long[] values = new long[distinct];
    long[] counts = new long[distinct];
    for (int i = 0; i < distinct; i++) {
      values[i] = i == 0 ? signed(in) : values[i - 1] + step * whole(in);
      counts[i] = whole(in);
    }
    return CountedNanos.of(values, counts);
  }

  private static void moment(DataOutputStream out, Instant moment) throws IOException {
    signed(out, ChronoUnit.MICROS.between(Instant.EPOCH, moment));
  }

  private static Instant moment(DataInputStream in) throws IOException {
    return Instant.EPOCH.plus(signed(in), ChronoUnit.MICROS);
  }

  private static void fraction(DataOutputStream out, BigFraction fraction) throws IOException {
    integer(out, fraction.getNumerator());
    integer(out, fraction.getDenominator());
  }

  private static BigFraction fraction(DataInputStream in) throws IOException {
    return BigFraction.of(integer(in), integer(in));
  }

  private static void integer(DataOutputStream out, BigInteger integer) throws IOException {
    byte[] bytes = integer.toByteArray();
    whole(out, bytes.length);
    out.write(bytes);
  }

  private static BigInteger integer(DataInputStream in) throws IOException {
    return new BigInteger(in.readNBytes((int) whole(in)));
  }

  private static void signed(DataOutputStream out, long number) throws IOException {
    whole(out, (number << 1) ^ (number >> 63));
  }

  private static long signed(DataInputStream in) throws IOException {
    long folded = whole(in);
    return (folded >>> 1) ^ -(folded & 1);
  }

  private static void whole(DataOutputStream out, long number) throws IOException {
    long left = number;
    while ((left & ~0x7FL) != 0) {
      out.writeByte((int) ((left & 0x7F) | 0x80));
      left >>>= 7;
    }
    out.writeByte((int) left);
  }

  private static long whole(DataInputStream in) throws IOException {
    long number = 0;
    for (int shift = 0; ; shift += 7) {
      byte next = in.readByte();
      number |= (next & 0x7FL) << shift;
      if (next >= 0) {
        return number;
      }
    }
  }
}
