package org.tarebook.storage;

import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/** Rows as the lines that PostgreSQL's COPY takes in its text format. */
public final class CopyLines {

  private CopyLines() {}

  /**
   * Writes rows.
   *
   * @param values what a row holds: numbers, times and texts, or nothing
   */
  public static <T> byte[] of(List<T> rows, Function<T, @Nullable Object[]> values) {
    StringBuilder lines = new StringBuilder(rows.size() * 200);
    for (T row : rows) {
      @Nullable Object[] own = values.apply(row);
      for (int i = 0; i < own.length; i++) {
        if (i > 0) {
          lines.append('\t');
        }
        write(own[i], lines);
      }
      lines.append('\n');
    }
    return lines.toString().getBytes(StandardCharsets.UTF_8);
  }

  private static void write(@Nullable Object value, StringBuilder lines) {
    if (value == null) {
      lines.append("\\N");
    } else if (value instanceof BigDecimal decimal) {
      lines.append(decimal.toPlainString());
    } else if (value instanceof String text) {
      escape(text, lines);
    } else {
      lines.append(value);
    }
  }

  private static void escape(String text, StringBuilder lines) {
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      switch (c) {
        case '\\' -> lines.append("\\\\");
        case '\t' -> lines.append("\\t");
        case '\n' -> lines.append("\\n");
        case '\r' -> lines.append("\\r");
        default -> lines.append(c);
      }
    }
  }
}
