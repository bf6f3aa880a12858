package org.tarebook.thermal;

import java.util.Map;

/** Numbers in the rows of reference tables. */
final class Row {

  private Row() {}

  static double number(Map<String, String> row, String column) {
    String text = row.get(column);
    if (text == null) {
      throw new IllegalStateException("no column " + column + " in " + row.keySet());
    }
    return Double.parseDouble(text);
  }
}
