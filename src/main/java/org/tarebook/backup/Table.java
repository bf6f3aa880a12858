package org.tarebook.backup;

import java.util.List;
import java.util.stream.Collectors;
import org.tarebook.storage.Vendor;

/**
 * A table.
 *
 * @param name in lower case, as its columns
 * @param key the columns of its primary key
 */
record Table(String name, List<Column> columns, List<String> key) {

  /** A column. */
  record Column(String name, Kind kind) {}

  /** The names of its columns with commas between. */
  String columnNames() {
    return columns.stream().map(Column::name).collect(Collectors.joining(", "));
  }

  /** Selects all rows in the order of the primary key, which is the same on both databases. */
  String selectAll(Vendor vendor) {
    return "select " + columnNames() + " from " + name + " order by " + order(vendor);
  }

  private String order(Vendor vendor) {
    return key.stream()
        .map(
            column ->
                vendor == Vendor.POSTGRESQL && isText(column) ? column + " collate \"C\"" : column)
        .collect(Collectors.joining(", "));
  }

  private boolean isText(String column) {
    return columns.stream()
        .anyMatch(known -> known.name().equals(column) && known.kind() == Kind.TEXT);
  }
}
