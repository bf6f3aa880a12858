package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.sun.management.ThreadMXBean;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.lang.management.ManagementFactory;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class BodyLinesTests {

  @Test
  void readsLinesWithEitherEnd() throws IOException {
    assertThat(texts("one\ntwo\r\nthree\n")).containsExactly("one", "two", "three");
  }

  @Test
  void aLastLineWithoutAnEndCounts() throws IOException {
    assertThat(texts("one\ntwo")).containsExactly("one", "two");
    assertThat(texts("one\r\ntwo\r")).containsExactly("one", "two");
  }

  @Test
  void emptyBodiesHaveNoLineAndEmptyLinesAreLines() throws IOException {
    assertThat(texts("")).isEmpty();
    assertThat(texts("\n")).containsExactly("");
    assertThat(texts("\r\n\na")).containsExactly("", "", "a");
  }

  @Test
  void aByteOrderMarkBeforeTheFirstLineIsNoText() throws IOException {
    assertThat(texts("\uFEFFcode,name\n\uFEFFx")).containsExactly("code,name", "\uFEFFx");
    assertThat(texts("\uFEFF")).containsExactly("");
  }

  @Test
  void readsEveryPlaneOfUnicode() throws IOException {
    assertThat(texts("größe – 輪胎 🛞\n")).containsExactly("größe – 輪胎 🛞");
  }

  @Test
  void aCarriageReturnInsideALineStays() throws IOException {
    assertThat(texts("a\rb\n")).containsExactly("a\rb");
  }

  @Test
  void theLongestLineIsTakenHoweverItArrives() throws IOException {
    String longest = "x".repeat(BodyLines.LONGEST);
    for (String body : List.of(longest, longest + "\n", longest + "\r\n", longest + "\nnext")) {
      BodyLines whole = new BodyLines(stream(bytes(body)));
      assertThat(whole.next().text()).isEqualTo(longest);
      BodyLines trickling = new BodyLines(trickle(bytes(body), 1));
      assertThat(trickling.next().text()).isEqualTo(longest);
    }
  }

  @Test
  void oneByteMoreIsRefusedAndReadingGoesOn() throws IOException {
    String tooLong = "x".repeat(BodyLines.LONGEST + 1);
    for (String end : List.of("\n", "\r\n")) {
      List<BodyLines.Line> lines = lines(stream(bytes("first\n" + tooLong + end + "third")));
      assertThat(lines).hasSize(3);
      assertThat(lines.get(1).refusal().type()).isEqualTo(ProblemType.TOO_LARGE);
      assertThat(lines.get(1).refusal().detail())
          .isEqualTo("Line 2 is longer than 65536 bytes; send one fact a line.");
      assertThat(lines.get(1).text()).isEmpty();
      assertThat(lines.get(2).text()).isEqualTo("third");
      assertThat(lines.get(2).number()).isEqualTo(3);
    }
  }

  @Test
  void aLineOfAHundredMegabytesNeedsNoMoreMemoryThanAShortOne() throws IOException {
    ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
    BodyLines lines = new BodyLines(endless(100_000_000L, "\nshort\n"));
    long before = threads.getCurrentThreadAllocatedBytes();
    BodyLines.Line first = lines.next();
    long taken = threads.getCurrentThreadAllocatedBytes() - before;
    assertThat(first.refusal().type()).isEqualTo(ProblemType.TOO_LARGE);
    assertThat(lines.next().text()).isEqualTo("short");
    assertThat(lines.next()).isNull();
    assertThat(taken).isLessThan(1_000_000);
  }

  @Test
  void aNulByteIsRefusedWithItsColumn() throws IOException {
    List<BodyLines.Line> lines = lines(stream(bytes("good\nab\0c\nlast")));
    assertThat(lines.get(1).refusal().type()).isEqualTo(ProblemType.UNREADABLE_BODY);
    assertThat(lines.get(1).refusal().detail()).isEqualTo("Line 2 holds a NUL byte at column 3.");
    assertThat(lines.get(2).text()).isEqualTo("last");
  }

  @Test
  void whatIsNotUtf8IsRefused() throws IOException {
    byte[][] wrong = {
      {(byte) 0xE4}, // an umlaut of an older code page
      {(byte) 0xC0, (byte) 0x80}, // a NUL written overlong
      {(byte) 0xED, (byte) 0xA0, (byte) 0x80}, // half a surrogate pair
      {(byte) 0xF0, (byte) 0x9F}, // cut off
      {(byte) 0xFF, (byte) 0xFE}, // UTF-16
    };
    for (byte[] bytes : wrong) {
      List<BodyLines.Line> lines = lines(stream(bytes));
      assertThat(lines).hasSize(1);
      assertThat(lines.get(0).refusal().detail())
          .isEqualTo("Line 1 is not UTF-8; save the file as UTF-8.");
    }
  }

  @Test
  void howTheBytesArriveMakesNoDifference() throws IOException {
    Random random = new Random(42);
    for (int round = 0; round < 200; round++) {
      StringBuilder body = new StringBuilder();
      for (int i = random.nextInt(60); i > 0; i--) {
        body.append(
            switch (random.nextInt(6)) {
              case 0 -> "\n";
              case 1 -> "\r\n";
              case 2 -> "é🛞";
              case 3 -> "x".repeat(random.nextInt(40_000));
              case 4 -> "\r";
              default -> "abc";
            });
      }
      byte[] bytes = bytes(body.toString());
      assertThat(lines(trickle(bytes, 1 + random.nextInt(9000))).toString())
          .isEqualTo(lines(stream(bytes)).toString());
    }
  }

  @Test
  void aBodyThatIsCutOffIsTold() {
    InputStream cut =
        new InputStream() {
          private boolean given;

          @Override
          public int read() throws IOException {
            if (given) {
              throw new IOException("connection reset");
            }
            given = true;
            return 'a';
          }

          @Override
          public int read(byte[] into, int at, int length) throws IOException {
            into[at] = (byte) read();
            return 1;
          }
        };
    assertThatThrownBy(() -> new BodyLines(cut).next()).isInstanceOf(IOException.class);
  }

  private static List<String> texts(String body) throws IOException {
    return lines(stream(bytes(body))).stream()
        .peek(line -> assertThat(line.refusal()).isNull())
        .map(BodyLines.Line::text)
        .toList();
  }

  private static List<BodyLines.Line> lines(InputStream body) throws IOException {
    BodyLines lines = new BodyLines(body);
    List<BodyLines.Line> all = new ArrayList<>();
    for (BodyLines.Line line = lines.next(); line != null; line = lines.next()) {
      assertThat(line.number()).isEqualTo(all.size() + 1);
      all.add(line);
    }
    return all;
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }

  private static InputStream stream(byte[] bytes) {
    return new ByteArrayInputStream(bytes);
  }

  /** Gives at most so many bytes at a time, as a slow network does. */
  private static InputStream trickle(byte[] bytes, int most) {
    return new ByteArrayInputStream(bytes) {
      @Override
      public int read(byte[] into, int at, int length) {
        return super.read(into, at, Math.min(length, most));
      }
    };
  }

  private static InputStream endless(long size, String then) {
    return new InputStream() {
      private final InputStream rest = stream(bytes(then));
      private long left = size;

      @Override
      public int read() throws IOException {
        return left-- > 0 ? 'x' : rest.read();
      }

      @Override
      public int read(byte[] into, int at, int length) throws IOException {
        if (left == 0) {
          return rest.read(into, at, length);
        }
        int given = (int) Math.min(length, left);
        Arrays.fill(into, at, at + given, (byte) 'x');
        left -= given;
        return given;
      }
    };
  }
}
