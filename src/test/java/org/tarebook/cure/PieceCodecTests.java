package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.tarebook.cure.PieceContent.Mark;
import org.tarebook.cure.PieceContent.Samples;

/** Pieces of logs as they are kept: nothing is lost, and they are small. */
class PieceCodecTests {

  private static final long START = 1_772_431_200_000_000L;

  @Test
  void whateverIsKeptComesBackAsItWas() {
    for (int seed = 0; seed < 400; seed++) {
      Random random = new Random(seed);
      PieceContent sent = any(random);
      PieceContent back = PieceCodec.decode(PieceCodec.encode(sent));
      assertThat(back.marks()).as("seed %s", seed).isEqualTo(sent.marks());
      assertThat(back.channels().keySet()).isEqualTo(sent.channels().keySet());
      for (Map.Entry<String, Samples> channel : sent.channels().entrySet()) {
        Samples kept = back.channels().get(channel.getKey());
        assertThat(kept.micros()).as("seed %s", seed).isEqualTo(channel.getValue().micros());
        assertThat(kept.numbers()).as("seed %s", seed).isEqualTo(channel.getValue().numbers());
        assertThat(kept.scale()).isEqualTo(channel.getValue().scale());
      }
      assertThat(back.hash()).isEqualTo(sent.hash());
      assertThat(back.firstAt()).isEqualTo(sent.firstAt());
      assertThat(back.lastAt()).isEqualTo(sent.lastAt());
      assertThat(back.samples()).isEqualTo(sent.samples());
    }
  }

  /**
   * 31 channels (28 couples of a multiple press, dome, two pressures), a sample a second for an
   * hour, shown to 0.1: a ramp, a hold with normal noise of 0.1 about it and a flush. Measured:
   * 0.398 bytes a sample, of which the noise itself is a quarter of a byte or more.
   */
  @Test
  void aFullLoadTakesLittleMoreThanItsNoise() {
    Random random = new Random(20260302);
    int seconds = 3600;
    SortedMap<String, Samples> channels = new TreeMap<>();
    long[] micros = new long[seconds];
    Arrays.setAll(micros, at -> START + at * 1_000_000L);
    for (int channel = 0; channel < 31; channel++) {
      double hold = channel < 28 ? 1680 + channel : channel == 28 ? 1500 : 200;
      long[] numbers = new long[seconds];
      for (int at = 0; at < seconds; at++) {
        double course =
            at < 3300
                ? hold - hold / 2 * Math.exp(-at / 30.0)
                : hold * (0.4 + 0.6 * Math.exp(-(at - 3300) / 40.0));
        numbers[at] = Math.round(course + random.nextGaussian());
      }
      channels.put("TI-%02d".formatted(channel), new Samples(micros, numbers, 1));
    }
    PieceContent load = new PieceContent(channels, List.of(new Mark("SHAPE", START)));
    double perSample = (double) PieceCodec.encode(load).length / load.samples();
    assertThat(load.samples()).isEqualTo(111_600);
    assertThat(perSample).isLessThan(0.6);
  }

  @Test
  void equalValuesHashEqualHoweverTheyAreWritten() {
    String one = content("8.4", "8.40", "1e2").hash();
    assertThat(content("8.400", "8.4", "100").hash()).isEqualTo(one);
    assertThat(content("8.4", "8.4", "100.1").hash()).isNotEqualTo(one);
    assertThat(content("84", "84", "1000").hash()).isNotEqualTo(one);
    assertThat(content("8.4", "8.4").hash()).isNotEqualTo(one);
  }

  @Test
  void hashesTellApartWhatIsASampleAndWhatIsAMark() {
    long first = START;
    byte[] letters = "ABCDEFG".getBytes(java.nio.charset.StandardCharsets.US_ASCII);
    long second = 0;
    for (byte letter : letters) {
      second = second << 8 | letter;
    }
    long number = 0x0A00_0000_0000_0000L | first >>> 8;
    PieceContent twoSamples =
        new PieceContent(
            new TreeMap<>(
                Map.of("A", new Samples(new long[] {first, second}, new long[] {5, number}, 9))),
            List.of());
    PieceContent sampleAndMark =
        new PieceContent(
            new TreeMap<>(Map.of("A", new Samples(new long[] {first}, new long[] {5}, 0))),
            List.of(new Mark("ABCDEFG", (first >>> 8 << 8) | 9)));
    assertThat(twoSamples.hash()).isNotEqualTo(sampleAndMark.hash());
  }

  @Test
  void refusesBytesThatAreNoPiece() {
    byte[] whole = PieceCodec.encode(content("8.4"));
    assertThatThrownBy(() -> PieceCodec.decode(Arrays.copyOf(whole, whole.length / 2)))
        .isInstanceOf(java.io.UncheckedIOException.class);
  }

  private static PieceContent content(String... values) {
    PieceBuilder into = new PieceBuilder(Set.of("IP"), Set.of());
    for (int i = 0; i < values.length; i++) {
      into.sample(
          "IP", PieceContent.instant(START + i), new BigDecimal(values[i]), i + 1, "/values/IP");
    }
    return into.content();
  }

  private static PieceContent any(Random random) {
    SortedMap<String, Samples> channels = new TreeMap<>();
    long[] shared = moments(random, random.nextInt(50));
    for (int channel = random.nextInt(6); channel > 0; channel--) {
      long[] micros = random.nextBoolean() ? shared : moments(random, random.nextInt(200));
      long[] numbers = new long[micros.length];
      long last = random.nextLong() >> random.nextInt(64);
      for (int i = 0; i < numbers.length; i++) {
        last = random.nextInt(20) == 0 ? random.nextLong() >> random.nextInt(64) : last + 1;
        numbers[i] = last;
      }
      channels.put("Kanal-Ü" + channel, new Samples(micros, numbers, random.nextInt(10)));
    }
    List<Mark> marks = new ArrayList<>();
    for (int mark = random.nextInt(4); mark > 0; mark--) {
      marks.add(new Mark("SPÜLEN " + mark, START + random.nextInt(1_000_000)));
    }
    return new PieceContent(channels, marks);
  }

  /** Mostly regular, now and then a jump, back or far away. */
  private static long[] moments(Random random, int count) {
    long[] micros = new long[count];
    long last = START + random.nextInt(1_000_000);
    for (int i = 0; i < count; i++) {
      last += random.nextInt(15) == 0 ? random.nextLong() >> (8 + random.nextInt(50)) : 1_000_000;
      micros[i] = last;
    }
    return micros;
  }
}
