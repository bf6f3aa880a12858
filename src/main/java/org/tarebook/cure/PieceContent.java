package org.tarebook.cure;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.time.Instant;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import org.jspecify.annotations.Nullable;
import org.tarebook.storage.Sha256;

/**
 * What a piece of a log holds, in the order in which it was sent: for each channel its samples, and
 * the marks of steps.
 */
record PieceContent(SortedMap<String, Samples> channels, List<Mark> marks) {

  /**
   * Samples of one channel, as sent: moments in microseconds since 1970, values as whole numbers of
   * {@code 10^-scale} of the channel's unit.
   */
  static final class Samples {
    private final long[] micros;
    private final long[] numbers;
    private final int scale;

    /** Takes the arrays as they are; nobody changes them afterwards. */
    Samples(long[] micros, long[] numbers, int scale) {
      this.micros = micros;
      this.numbers = numbers;
      this.scale = scale;
    }

    long[] micros() {
      return micros;
    }

    long[] numbers() {
      return numbers;
    }

    int scale() {
      return scale;
    }

    int count() {
      return micros.length;
    }
  }

  /** That a step began. */
  record Mark(String step, long micros) {}

  int samples() {
    return channels.values().stream().mapToInt(Samples::count).sum();
  }

  @Nullable Instant firstAt() {
    return moments(true);
  }

  @Nullable Instant lastAt() {
    return moments(false);
  }

  private @Nullable Instant moments(boolean first) {
    long found = first ? Long.MAX_VALUE : Long.MIN_VALUE;
    boolean any = false;
    for (Samples samples : channels.values()) {
      for (long at : samples.micros()) {
        found = first ? Math.min(found, at) : Math.max(found, at);
        any = true;
      }
    }
    for (Mark mark : marks) {
      found = first ? Math.min(found, mark.micros()) : Math.max(found, mark.micros());
      any = true;
    }
    return any ? instant(found) : null;
  }

  static Instant instant(long micros) {
    return Instant.ofEpochSecond(
        Math.floorDiv(micros, 1_000_000L), Math.floorMod(micros, 1_000_000L) * 1000L);
  }

  static long micros(Instant instant) {
    return Math.addExact(
        Math.multiplyExact(instant.getEpochSecond(), 1_000_000L), instant.getNano() / 1000);
  }

  /** SHA-256 of the content, equal for equal moments and values however they were written. */
  String hash() {
    MessageDigest digest = Sha256.digest();
    digest.update(bytes(channels.size()));
    for (Map.Entry<String, Samples> channel : channels.entrySet()) {
      Samples samples = channel.getValue();
      digest.update((channel.getKey() + "\n").getBytes(StandardCharsets.UTF_8));
      ByteBuffer columns = ByteBuffer.allocate((1 + 2 * samples.count()) * Long.BYTES + 1);
      columns.putLong(samples.count());
      for (int i = 0; i < samples.count(); i++) {
        columns.putLong(samples.micros()[i]).putLong(samples.numbers()[i]);
      }
      digest.update(columns.put((byte) samples.scale()).array());
    }
    for (Mark mark : marks) {
      digest.update((mark.step() + "\n").getBytes(StandardCharsets.UTF_8));
      digest.update(bytes(mark.micros()));
    }
    return HexFormat.of().formatHex(digest.digest());
  }

  private static byte[] bytes(long number) {
    return ByteBuffer.allocate(Long.BYTES).putLong(number).array();
  }
}
