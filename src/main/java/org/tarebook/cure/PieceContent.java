package org.tarebook.cure;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
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
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    write(bytes, channels.size());
    for (Map.Entry<String, Samples> channel : channels.entrySet()) {
      Samples samples = channel.getValue();
      bytes.writeBytes(channel.getKey().getBytes(StandardCharsets.UTF_8));
      bytes.write('\n');
      write(bytes, samples.count());
      for (int i = 0; i < samples.count(); i++) {
        write(bytes, samples.micros()[i]);
        write(bytes, samples.numbers()[i]);
      }
      bytes.write(samples.scale());
    }
    for (Mark mark : marks) {
      bytes.writeBytes(mark.step().getBytes(StandardCharsets.UTF_8));
      bytes.write('\n');
      write(bytes, mark.micros());
    }
    return Sha256.of(bytes.toByteArray());
  }

  private static void write(ByteArrayOutputStream bytes, long number) {
    for (int shift = 56; shift >= 0; shift -= 8) {
      bytes.write((int) (number >>> shift));
    }
  }
}
