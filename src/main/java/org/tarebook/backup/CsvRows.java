package org.tarebook.backup;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.Reader;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.storage.Command.Refused;

/**
 * CSV by RFC 4180 read row by row; a field may hold line breaks. A field without quotes that holds
 * nothing is absent, one of two quotes is an empty text.
 */
final class CsvRows {

  private static final int END = -1;

  private final Reader in;
  private final StringBuilder field = new StringBuilder();
  private final List<@Nullable String> fields = new ArrayList<>();
  private long row;

  CsvRows(InputStream in) {
    this.in =
        new BufferedReader(new InputStreamReader(in, StandardCharsets.UTF_8.newDecoder()), 1 << 16);
  }

  /** The fields of the row that was read last; they hold until the next is read. */
  List<@Nullable String> fields() {
    return fields;
  }

  /** Reads a row; false at the end. */
  boolean next() throws IOException {
    int c = in.read();
    if (c == END) {
      return false;
    }
    row++;
    fields.clear();
    while (true) {
      field.setLength(0);
      boolean quoted = c == '"';
      c = quoted ? quoted() : plain(c);
      fields.add(quoted || !field.isEmpty() ? field.toString() : null);
      if (c == '\r') {
        c = in.read();
        if (c != '\n') {
          throw wrong("a line that ends without a line feed");
        }
      }
      if (c == '\n' || c == END) {
        return true;
      }
      if (c != ',') {
        throw wrong("something between a closing quote and the comma");
      }
      c = in.read();
    }
  }

  /** Reads to the end of a field and gives what stands behind it. */
  private int plain(int first) throws IOException {
    int c = first;
    while (c != ',' && c != '\n' && c != '\r' && c != END) {
      if (c == '"') {
        throw wrong("a quote inside a field without quotes");
      }
      field.append((char) c);
      c = in.read();
    }
    return c;
  }

  private int quoted() throws IOException {
    while (true) {
      int c = in.read();
      if (c == END) {
        throw wrong("a quoted field without an end");
      }
      if (c == '"') {
        c = in.read();
        if (c != '"') {
          return c;
        }
      }
      field.append((char) c);
    }
  }

  private Refused wrong(String what) {
    return new Refused("line " + row + " of the CSV, its header counted, has " + what + ".");
  }
}
