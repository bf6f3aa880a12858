package org.tarebook.http;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import org.jspecify.annotations.Nullable;

/**
 * Reads a body line by line in constant memory. A line that is too long, not UTF-8 or holds a NUL
 * is given as a refusal, and the reading goes on behind it.
 */
public final class BodyLines {

  /** The longest line taken, in bytes, its end not counted. */
  public static final int LONGEST = 65_536;

  private final InputStream body;
  private final byte[] buffer = new byte[16_384];
  private int position;
  private int filled;
  private long number;

  /** Lines of this body; the caller closes it. */
  public BodyLines(InputStream body) {
    this.body = body;
  }

  /**
   * One line.
   *
   * @param number counted from 1
   * @param text the line without its end; empty where it is refused
   * @param refusal why it cannot be read; absent where it can
   */
  public record Line(long number, String text, @Nullable Problem refusal) {}

  /** The next line, or null behind the last. A last line without a line end counts. */
  public @Nullable Line next() throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream(512);
    boolean begun = false;
    boolean ended = false;
    boolean tooLong = false;
    while (!ended && (position < filled || fill())) {
      begun = true;
      int start = position;
      while (position < filled && buffer[position] != '\n') {
        position++;
      }
      int room = LONGEST + 1 - bytes.size();
      tooLong |= position - start > room;
      bytes.write(buffer, start, Math.min(position - start, room));
      if (position < filled) {
        position++;
        ended = true;
      }
    }
    return begun ? line(bytes.toByteArray(), tooLong) : null;
  }

  private boolean fill() throws IOException {
    position = 0;
    filled = Math.max(0, body.read(buffer));
    return filled > 0;
  }

  private Line line(byte[] bytes, boolean tooLong) {
    number++;
    int end = bytes.length > 0 && bytes[bytes.length - 1] == '\r' ? bytes.length - 1 : bytes.length;
    if (tooLong || end > LONGEST) {
      return refused(
          ProblemType.TOO_LARGE, "is longer than " + LONGEST + " bytes; send one fact a line");
    }
    int start = number == 1 && startsWithByteOrderMark(bytes) ? 3 : 0;
    for (int i = start; i < end; i++) {
      if (bytes[i] == 0) {
        return refused(
            ProblemType.UNREADABLE_BODY, "holds a NUL byte at column " + (i - start + 1));
      }
    }
    try {
      String text =
          StandardCharsets.UTF_8
              .newDecoder()
              .onMalformedInput(CodingErrorAction.REPORT)
              .onUnmappableCharacter(CodingErrorAction.REPORT)
              .decode(ByteBuffer.wrap(bytes, start, end - start))
              .toString();
      return new Line(number, text, null);
    } catch (CharacterCodingException malformed) {
      return refused(ProblemType.UNREADABLE_BODY, "is not UTF-8; save the file as UTF-8");
    }
  }

  private Line refused(ProblemType type, String words) {
    return new Line(number, "", new Problem(type, "Line " + number + " " + words + "."));
  }

  private static boolean startsWithByteOrderMark(byte[] bytes) {
    return bytes.length >= 3
        && bytes[0] == (byte) 0xEF
        && bytes[1] == (byte) 0xBB
        && bytes[2] == (byte) 0xBF;
  }
}
