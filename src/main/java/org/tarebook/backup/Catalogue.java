package org.tarebook.backup;

import java.sql.Connection;
import java.sql.DatabaseMetaData;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.TreeSet;
import org.tarebook.storage.Vendor;

/**
 * What a database says of itself.
 *
 * @param schema the version of the newest migration that was applied; empty where there was none
 * @param tables all but Flyway's own, each behind those it refers to
 * @param sequences the next value that each is sure not to have given yet
 */
record Catalogue(String schema, List<Table> tables, Map<String, Long> sequences) {

  private static final String HISTORY = "flyway_schema_history";

  /** Asks a database. */
  static Catalogue of(Connection connection, Vendor vendor) throws SQLException {
    DatabaseMetaData data = connection.getMetaData();
    String schema = connection.getSchema();
    SortedMap<String, Table> tables = new TreeMap<>();
    SortedMap<String, Set<String>> needed = new TreeMap<>();
    boolean migrated = false;
    for (String name : tableNames(connection, vendor)) {
      if (name.equals(HISTORY)) {
        migrated = true;
        continue;
      }
      String table = name.toLowerCase(Locale.ROOT);
      tables.put(table, new Table(table, columns(data, schema, name), key(data, schema, name)));
      Set<String> others = new TreeSet<>();
      for (String other : names(data.getImportedKeys(null, schema, name), "PKTABLE_NAME")) {
        others.add(other.toLowerCase(Locale.ROOT));
      }
      others.remove(table);
      needed.put(table, others);
    }
    return new Catalogue(
        migrated ? version(connection) : "",
        inOrder(tables, needed),
        sequences(connection, vendor));
  }

  /** The names of all tables there are, Flyway's own among them, as the database spells them. */
  static List<String> tableNames(Connection connection, Vendor vendor) throws SQLException {
    String type = vendor == Vendor.H2 ? "BASE TABLE" : "TABLE";
    return names(
        connection.getMetaData().getTables(null, connection.getSchema(), null, new String[] {type}),
        "TABLE_NAME");
  }

  private static List<Table.Column> columns(DatabaseMetaData data, String schema, String table)
      throws SQLException {
    List<Table.Column> columns = new ArrayList<>();
    try (ResultSet rows = data.getColumns(null, schema, escaped(data, table), null)) {
      while (rows.next()) {
        columns.add(
            new Table.Column(
                rows.getString("COLUMN_NAME").toLowerCase(Locale.ROOT),
                Kind.of(rows.getInt("DATA_TYPE"), rows.getString("TYPE_NAME"))));
      }
    }
    return columns;
  }

  private static List<String> key(DatabaseMetaData data, String schema, String table)
      throws SQLException {
    SortedMap<Integer, String> columns = new TreeMap<>();
    try (ResultSet rows = data.getPrimaryKeys(null, schema, table)) {
      while (rows.next()) {
        columns.put(rows.getInt("KEY_SEQ"), rows.getString("COLUMN_NAME").toLowerCase(Locale.ROOT));
      }
    }
    if (columns.isEmpty()) {
      throw new IllegalStateException("The table " + table + " has no primary key");
    }
    return List.copyOf(columns.values());
  }

  /**
   * Repeatedly takes the first table by name whose needs are met; where tables refer to each other
   * in a circle, the first of those left.
   */
  private static List<Table> inOrder(
      SortedMap<String, Table> tables, SortedMap<String, Set<String>> needed) {
    Map<String, Table> ordered = new LinkedHashMap<>();
    SortedMap<String, Table> left = new TreeMap<>(tables);
    while (!left.isEmpty()) {
      String next =
          left.keySet().stream()
              .filter(name -> ordered.keySet().containsAll(needed.get(name)))
              .findFirst()
              .orElse(left.firstKey());
      ordered.put(next, left.remove(next));
    }
    return List.copyOf(ordered.values());
  }

  private static String version(Connection connection) throws SQLException {
    List<String> versions =
        names(
            """
            select "version" from "flyway_schema_history" where "success" and "version" is not null
            order by "installed_rank" desc fetch first 1 rows only
            """,
            connection);
    return versions.isEmpty() ? "" : versions.get(0);
  }

  /** PostgreSQL tells of a sequence whether its value was given out at its own place only. */
  private static Map<String, Long> sequences(Connection connection, Vendor vendor)
      throws SQLException {
    Map<String, Long> next = new TreeMap<>();
    try (Statement statement = connection.createStatement()) {
      if (vendor == Vendor.H2) {
        read(
            statement,
            "select sequence_name, base_value from information_schema.sequences"
                + " where sequence_schema = current_schema",
            next);
        return next;
      }
      Map<String, Long> steps = new TreeMap<>();
      read(
          statement,
          "select sequencename, increment_by from pg_sequences where schemaname = current_schema",
          steps);
      for (Map.Entry<String, Long> step : steps.entrySet()) {
        read(
            statement,
            "select '%1$s', case when is_called then last_value + %2$d else last_value end from %1$s"
                .formatted(step.getKey(), step.getValue()),
            next);
      }
    }
    return next;
  }

  private static void read(Statement statement, String query, Map<String, Long> numbers)
      throws SQLException {
    try (ResultSet rows = statement.executeQuery(query)) {
      while (rows.next()) {
        numbers.put(rows.getString(1).toLowerCase(Locale.ROOT), rows.getLong(2));
      }
    }
  }

  private static List<String> names(String query, Connection connection) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      return names(statement.executeQuery(query), "VERSION");
    }
  }

  private static List<String> names(ResultSet rows, String column) throws SQLException {
    try (rows) {
      List<String> names = new ArrayList<>();
      while (rows.next()) {
        names.add(rows.getString(column));
      }
      return names;
    }
  }

  /** An underscore would stand for any character. */
  private static String escaped(DatabaseMetaData data, String name) throws SQLException {
    return name.replace("_", data.getSearchStringEscape() + "_");
  }
}
