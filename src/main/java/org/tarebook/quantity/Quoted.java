package org.tarebook.quantity;

/** Shows what was sent inside a message: short, on one line. */
public final class Quoted {

  private static final int LONGEST = 40;

  private Quoted() {}

  /** The text in quotes: its first 40 characters, with question marks for what is not shown. */
  public static String of(String text) {
    String printable =
        text.codePoints()
            .limit(LONGEST)
            .collect(
                StringBuilder::new,
                (shown, point) -> shown.appendCodePoint(isShown(point) ? point : '?'),
                StringBuilder::append)
            .toString();
    return "'" + printable + (text.codePointCount(0, text.length()) > LONGEST ? "..." : "") + "'";
  }

  private static boolean isShown(int point) {
    return switch (Character.getType(point)) {
      case Character.CONTROL,
          Character.FORMAT,
          Character.SURROGATE,
          Character.UNASSIGNED,
          Character.LINE_SEPARATOR,
          Character.PARAGRAPH_SEPARATOR,
          Character.PRIVATE_USE ->
          false;
      default -> true;
    };
  }
}
