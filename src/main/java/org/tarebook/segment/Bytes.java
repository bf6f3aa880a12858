package org.tarebook.segment;

import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.math.BigInteger;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import org.jspecify.annotations.Nullable;

/** How numbers are packed: seven bits to a byte, low ones first, so that small ones take few. */
final class Bytes {

  private static final long MICROS = 1_000_000;

  private Bytes() {}

  /** Reads bytes from a place on. */
  static DataInputStream read(byte[] bytes, int from) {
    return new DataInputStream(new From(bytes, from));
  }

  /** Bytes one by one; the library's stream locks itself for each. */
  private static final class From extends InputStream {
    private final byte[] bytes;
    private int next;

    From(byte[] bytes, int from) {
      this.bytes = bytes;
      this.next = from;
    }

    @Override
    public int read() {
      return next < bytes.length ? bytes[next++] & 0xFF : -1;
    }

    @Override
    public int read(byte[] into, int place, int most) {
      int some = Math.min(most, bytes.length - next);
      if (some == 0 && most > 0) {
        return -1;
      }
      System.arraycopy(bytes, next, into, place, some);
      next += some;
      return some;
    }
  }

  static void moment(DataOutputStream out, Instant moment) throws IOException {
    signed(out, micros(moment));
  }

  static Instant moment(DataInputStream in) throws IOException {
    return moment(signed(in));
  }

  /** Microseconds since 1970. */
  static long micros(Instant moment) {
    return ChronoUnit.MICROS.between(Instant.EPOCH, moment);
  }

  /** The moment of so many microseconds since 1970. */
  static Instant moment(long micros) {
    return Instant.ofEpochSecond(
        Math.floorDiv(micros, MICROS), Math.floorMod(micros, MICROS) * 1000);
  }

  static void text(DataOutputStream out, @Nullable String text) throws IOException {
    out.writeBoolean(text != null);
    if (text != null) {
      out.writeUTF(text);
    }
  }

  static @Nullable String text(DataInputStream in) throws IOException {
    return in.readBoolean() ? in.readUTF() : null;
  }

  static void integer(DataOutputStream out, BigInteger integer) throws IOException {
    byte[] bytes = integer.toByteArray();
    whole(out, bytes.length);
    out.write(bytes);
  }

  static BigInteger integer(DataInputStream in) throws IOException {
    return new BigInteger(in.readNBytes((int) whole(in)));
  }

  static void signed(DataOutputStream out, long number) throws IOException {
    whole(out, (number << 1) ^ (number >> 63));
  }

  static long signed(DataInputStream in) throws IOException {
    long folded = whole(in);
    return (folded >>> 1) ^ -(folded & 1);
  }

  static void whole(DataOutputStream out, long number) throws IOException {
    long left = number;
    while ((left & ~0x7FL) != 0) {
      out.writeByte((int) ((left & 0x7F) | 0x80));
      left >>>= 7;
    }
    out.writeByte((int) left);
  }

  static long whole(DataInputStream in) throws IOException {
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
