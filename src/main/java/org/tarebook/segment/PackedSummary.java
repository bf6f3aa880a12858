package org.tarebook.segment;

import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.math.BigInteger;
import java.time.Instant;
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
 * A summary as bytes. Values are written as steps from the one before, so that a shift takes some
 * hundred bytes.
 */
final class PackedSummary {

  /** The way of packing; a segment packed another way is taken for stale. */
  private static final int FORM = 2;

  /** The way before samples had names, when all subgroups had one size; it can be read still. */
  private static final int OF_ONE_SIZE = 1;

  private PackedSummary() {}

  static byte[] pack(Summary summary) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (DataOutputStream out = new DataOutputStream(bytes)) {
      out.writeByte(FORM);
      Bytes.whole(out, summary.shown().size());
      for (Map.Entry<Summary.Source, Summary.Shown> each : summary.shown().entrySet()) {
        Summary.Source source = each.getKey();
        Long instrument = source.instrument();
        out.writeUTF(source.stratum());
        out.writeUTF(source.unit().code());
        Bytes.whole(out, source.decimals());
        Bytes.whole(out, instrument == null ? 0 : instrument);
        Bytes.moment(out, each.getValue().first());
        Bytes.moment(out, each.getValue().last());
        counted(out, each.getValue().values());
      }
      Bytes.whole(out, summary.points().size());
      for (Map.Entry<String, PointSums> each : summary.points().entrySet()) {
        out.writeUTF(each.getKey());
        points(out, each.getValue());
      }
      Bytes.whole(out, summary.uncounted().size());
      for (Map.Entry<Cause, Long> each : summary.uncounted().entrySet()) {
        out.writeUTF(each.getKey().name());
        Bytes.whole(out, each.getValue());
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return bytes.toByteArray();
  }

  /** Whether bytes were packed this way. */
  static boolean readable(byte[] bytes) {
    return bytes.length > 0 && (bytes[0] == FORM || bytes[0] == OF_ONE_SIZE);
  }

  static Summary unpack(byte[] bytes) {
    try (DataInputStream in = Bytes.read(bytes, 1)) {
      TreeMap<Summary.Source, Summary.Shown> shown = new TreeMap<>();
      for (long left = Bytes.whole(in); left > 0; left--) {
        String stratum = in.readUTF();
        Unit unit = Unit.of(in.readUTF());
        int decimals = (int) Bytes.whole(in);
        long instrument = Bytes.whole(in);
        Instant first = Bytes.moment(in);
        Instant last = Bytes.moment(in);
        shown.put(
            new Summary.Source(stratum, unit, decimals, instrument == 0 ? null : instrument),
            new Summary.Shown(counted(in), first, last));
      }
      TreeMap<String, PointSums> points = new TreeMap<>();
      for (long left = Bytes.whole(in); left > 0; left--) {
        points.put(in.readUTF(), bytes[0] == FORM ? points(in) : ofOneSize(in));
      }
      Map<Cause, Long> uncounted = new EnumMap<>(Cause.class);
      for (long left = Bytes.whole(in); left > 0; left--) {
        uncounted.put(Cause.valueOf(in.readUTF()), Bytes.whole(in));
      }
      return new Summary(shown, points, uncounted);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static void points(DataOutputStream out, PointSums points) throws IOException {
    SubgroupSums sums = points.subgroups();
    moments(out, sums.readings());
    fraction(out, sums.squaredDeviations());
    Bytes.whole(out, sums.sizes().size());
    for (Map.Entry<Long, SubgroupSums.OfSize> each : sums.sizes().entrySet()) {
      SubgroupSums.OfSize ofSize = each.getValue();
      Bytes.whole(out, each.getKey());
      Bytes.whole(out, ofSize.subgroups());
      fraction(out, ofSize.ranges());
      Bytes.integer(out, ofSize.sds().unscaledValue());
      Bytes.signed(out, ofSize.sds().scale());
    }
    moments(out, points.moved());
    Bytes.whole(out, points.movedSeries());
  }

  private static PointSums points(DataInputStream in) throws IOException {
    Moments readings = moments(in);
    BigFraction squaredDeviations = fraction(in);
    TreeMap<Long, SubgroupSums.OfSize> sizes = new TreeMap<>();
    for (long left = Bytes.whole(in); left > 0; left--) {
      sizes.put(Bytes.whole(in), ofSize(in, Bytes.whole(in)));
    }
    return new PointSums(
        new SubgroupSums(readings, squaredDeviations, sizes), moments(in), Bytes.whole(in));
  }

  private static PointSums ofOneSize(DataInputStream in) throws IOException {
    long subgroups = Bytes.whole(in);
    long unused = Bytes.whole(in); // how many hold two readings or more
    Moments readings = moments(in);
    BigFraction squaredDeviations = fraction(in);
    TreeMap<Long, SubgroupSums.OfSize> sizes = new TreeMap<>();
    sizes.put(readings.count() / subgroups, ofSize(in, subgroups));
    return new PointSums(
        new SubgroupSums(readings, squaredDeviations, sizes), moments(in), Bytes.whole(in));
  }

  private static SubgroupSums.OfSize ofSize(DataInputStream in, long subgroups) throws IOException {
    return new SubgroupSums.OfSize(
        subgroups, fraction(in), new BigDecimal(Bytes.integer(in), (int) Bytes.signed(in)));
  }

  private static void moments(DataOutputStream out, Moments moments) throws IOException {
    Bytes.whole(out, moments.count());
    fraction(out, moments.sum());
    fraction(out, moments.sumOfSquares());
  }

  private static Moments moments(DataInputStream in) throws IOException {
    return Moments.ofSums(Bytes.whole(in), fraction(in), fraction(in));
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
    Bytes.whole(out, values.length);
    Bytes.whole(out, step);
    for (int i = 0; i < values.length; i++) {
      if (i == 0) {
        Bytes.signed(out, values[0]);
      } else {
        Bytes.whole(out, (values[i] - values[i - 1]) / step);
      }
      Bytes.whole(out, counts[i]);
    }
  }

  private static CountedNanos counted(DataInputStream in) throws IOException {
    int distinct = (int) Bytes.whole(in);
    long step = Bytes.whole(in);
    long[] values = new long[distinct];
    long[] counts = new long[distinct];
    for (int i = 0; i < distinct; i++) {
      values[i] = i == 0 ? Bytes.signed(in) : values[i - 1] + step * Bytes.whole(in);
      counts[i] = Bytes.whole(in);
    }
    return CountedNanos.of(values, counts);
  }

  private static void fraction(DataOutputStream out, BigFraction fraction) throws IOException {
    Bytes.integer(out, fraction.getNumerator());
    Bytes.integer(out, fraction.getDenominator());
  }

  private static BigFraction fraction(DataInputStream in) throws IOException {
    return BigFraction.of(Bytes.integer(in), Bytes.integer(in));
  }
}
