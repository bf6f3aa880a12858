package org.tarebook.stats;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** Reads published and independently computed values from {@code reference/statistics}. */
public final class ReferenceTable {

  private ReferenceTable() {}

  /** Rows of a csv file as maps from column to cell; the first line tells the source. */
  public static List<Map<String, String>> rows(String name) {
    return rowsOf("statistics/" + name);
  }

  /** Rows of a csv file under {@code reference}, as {@link #rows}. */
  public static List<Map<String, String>> rowsOf(String name) {
    List<String> lines = text(name).lines().toList();
    if (!lines.get(0).startsWith("# source: ")) {
      throw new IllegalStateException(name + " does not tell its source");
    }
    List<String> columns = cells(lines.get(1));
    List<Map<String, String>> rows = new ArrayList<>();
    for (String line : lines.subList(2, lines.size())) {
      List<String> cells = cells(line);
      Map<String, String> row = new LinkedHashMap<>();
      for (int i = 0; i < columns.size(); i++) {
        row.put(columns.get(i), cells.get(i));
      }
      rows.add(row);
    }
    return rows;
  }

  public static JsonNode json(String name) {
    JsonNode node = JsonMapper.shared().readTree(text("statistics/" + name));
    if (!node.has("source")) {
      throw new IllegalStateException(name + " does not tell its source");
    }
    return node;
  }

  /** Rows of numbers, in 1e-9 of the unit. */
  public static List<long[]> nanos(JsonNode rows) {
    List<long[]> all = new ArrayList<>();
    for (JsonNode row : rows) {
      long[] values = new long[row.size()];
      for (int i = 0; i < values.length; i++) {
        values[i] = nanos(row.get(i).asString());
      }
      all.add(values);
    }
    return all;
  }

  public static long nanos(String decimal) {
    return new java.math.BigDecimal(decimal).movePointRight(9).longValueExact();
  }

  public static double number(Map<String, String> row, String column) {
    return Double.parseDouble(row.get(column));
  }

  /** An array of numbers. */
  public static double[] doubles(JsonNode values) {
    double[] all = new double[values.size()];
    for (int i = 0; i < all.length; i++) {
      all[i] = values.get(i).asDouble();
    }
    return all;
  }

  private static List<String> cells(String line) {
    List<String> cells = new ArrayList<>();
    StringBuilder cell = new StringBuilder();
    boolean quoted = false;
    for (char c : line.toCharArray()) {
      if (c == '"') {
        quoted = !quoted;
      } else if (c == ',' && !quoted) {
        cells.add(cell.toString());
        cell.setLength(0);
      } else {
        cell.append(c);
      }
    }
    cells.add(cell.toString());
    return cells;
  }

  private static String text(String name) {
    String path = "/reference/" + name;
    try (InputStream in = ReferenceTable.class.getResourceAsStream(path)) {
      if (in == null) {
        throw new IllegalStateException("no such reference file: " + path);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
