package org.tarebook.http;

import java.nio.charset.StandardCharsets;
import java.time.DateTimeException;
import java.util.Base64;
import java.util.Objects;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/**
 * The place where a list goes on: the position behind which the next page starts, sealed with the
 * question it belongs to.
 *
 * @param position the position, in the form its list chose; no line breaks
 */
public record Cursor(String position) {

  /** The cursor as text, for the question {@code question}. */
  public String seal(String question) {
    String text = mark(question, position) + "\n" + position;
    return Base64.getUrlEncoder()
        .withoutPadding()
        .encodeToString(text.getBytes(StandardCharsets.UTF_8));
  }

  /**
   * Reads the position.
   *
   * @throws Problem when it is not in the form its list chose, as only a forged cursor can be
   */
  public <T> T at(Function<String, T> read) {
    try {
      return read.apply(position);
    } catch (IllegalArgumentException | DateTimeException | IndexOutOfBoundsException forged) {
      throw doesNotFit();
    }
  }

  /**
   * Opens a cursor that a client sent back.
   *
   * @return absent when none was sent
   * @throws Problem when it is damaged or belongs to another question
   */
  public static @Nullable Cursor open(@Nullable String sealed, String question) {
    if (sealed == null) {
      return null;
    }
    try {
      String text = new String(Base64.getUrlDecoder().decode(sealed), StandardCharsets.UTF_8);
      int cut = text.indexOf('\n');
      String position = text.substring(cut + 1);
      if (cut > 0
          && Values.unkeepable(position) == null
          && new Cursor(position).seal(question).equals(sealed)) {
        return new Cursor(position);
      }
    } catch (IllegalArgumentException damaged) {
      // told below like any cursor that does not fit
    }
    throw doesNotFit();
  }

  private static Problem doesNotFit() {
    return Problem.at(
        ProblemType.CURSOR_DOES_NOT_FIT,
        "cursor",
        "does not continue this list with these filters; start again without it");
  }

  /**
   * Tells a cursor that was cut, changed or taken from another list; no protection against malice.
   */
  private static String mark(String question, String position) {
    return Integer.toHexString(Objects.hash(question, position));
  }
}
