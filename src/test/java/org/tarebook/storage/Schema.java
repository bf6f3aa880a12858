package org.tarebook.storage;

import java.util.List;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.TestDatabase;

/**
 * What a migrated database holds, asked of its catalogue and told the same way for both vendors.
 */
final class Schema {

  private static final String OWN_TABLES =
      " lower(c.table_schema) = 'public' and lower(c.table_name) <> 'flyway_schema_history'";

  private final Vendor vendor;
  private final JdbcClient sql;

  Schema(TestDatabase database) {
    this.vendor = database.vendor();
    this.sql = database.sql();
  }

  /** A column; the type is written as {@code numeric(18,9)}. */
  record Column(String table, String name, String type, boolean nullable, String comment) {
    boolean holdsANumber() {
      return type.matches("(numeric|double precision|bigint|integer|smallint|real|decimal).*");
    }

    boolean isAnId() {
      return name.equals("id") || name.endsWith("_id") || name.equals("row_version");
    }

    String withoutComment() {
      return table + "." + name + " " + type + (nullable ? "" : " not null");
    }
  }

  List<Column> columns() {
    String comment =
        vendor == Vendor.H2
            ? "c.remarks"
            : "col_description(cast(quote_ident(c.table_name) as regclass), c.ordinal_position)";
    return sql.sql(
            "select lower(c.table_name) table_name, lower(c.column_name) column_name,"
                + " lower(c.data_type) data_type, c.is_nullable, c.character_maximum_length,"
                + " c.numeric_precision, c.numeric_scale, c.datetime_precision, "
                + comment
                + " as remark from information_schema.columns c where"
                + OWN_TABLES
                + " order by 1, 2")
        .query(
            (row, number) -> {
              String type =
                  row.getString("data_type")
                      .replace(" without time zone", "")
                      .replace("binary varying", "bytea");
              String size =
                  type.startsWith("character")
                      ? "(" + row.getString("character_maximum_length") + ")"
                      : type.equals("numeric")
                          ? "("
                              + row.getString("numeric_precision")
                              + ","
                              + row.getString("numeric_scale")
                              + ")"
                          : type.startsWith("time")
                              ? "(" + row.getString("datetime_precision") + ")"
                              : "";
              String remark = row.getString("remark");
              return new Column(
                  row.getString("table_name"),
                  row.getString("column_name"),
                  type + size,
                  row.getString("is_nullable").equals("YES"),
                  remark == null ? "" : remark);
            })
        .list();
  }

  /** The tables and what is said of them; empty where nothing is. */
  TreeMap<String, String> tableComments() {
    String comment =
        vendor == Vendor.H2
            ? "c.remarks"
            : "obj_description(cast(quote_ident(c.table_name) as regclass))";
    return sql
        .sql(
            "select lower(c.table_name), "
                + comment
                + " from information_schema.tables c where c.table_type = 'BASE TABLE' and"
                + OWN_TABLES)
        .query(
            (row, number) ->
                new String[] {row.getString(1), row.getString(2) == null ? "" : row.getString(2)})
        .list()
        .stream()
        .collect(Collectors.toMap(row -> row[0], row -> row[1], (a, b) -> a, TreeMap::new));
  }

  /** Constraints as {@code table.name type}; what "not null" is called inside does not count. */
  TreeSet<String> constraints() {
    return new TreeSet<>(
        sql.sql(
                "select lower(c.table_name) || '.' || lower(c.constraint_name) || ' ' ||"
                    + " lower(c.constraint_type) from information_schema.table_constraints c where"
                    + OWN_TABLES
                    + (vendor == Vendor.H2
                        ? ""
                        : " and not exists (select 1 from pg_constraint p where p.contype = 'n' and"
                            + " p.conname = c.constraint_name) and c.constraint_name not like"
                            + " '%_not_null'"))
            .query(String.class)
            .list());
  }

  /** Indexes that were asked for, as {@code table.name}; those behind constraints do not count. */
  TreeSet<String> indexes() {
    String query =
        vendor == Vendor.H2
            ? "select lower(table_name) || '.' || lower(index_name) from information_schema.indexes"
                + " where lower(table_schema) = 'public' and not is_generated"
            : "select tablename || '.' || indexname from pg_indexes where schemaname = 'public' and"
                + " not exists (select 1 from pg_constraint where conname = indexname)";
    return sql.sql(query).query(String.class).list().stream()
        .filter(name -> !name.startsWith("flyway_schema_history"))
        .collect(Collectors.toCollection(TreeSet::new));
  }
}
