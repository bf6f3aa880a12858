package org.tarebook.backup;

import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import org.tarebook.storage.Sha256;

/**
 * What a backup says of itself, as {@code manifest.json}, its last entry.
 *
 * @param format {@link #FORMAT}
 * @param reading how the files are to be read
 * @param schema the version of the schema that the tables are of
 * @param moment when it was begun; what was committed by then is in it, wholly
 * @param database the kind of database it was taken from
 * @param digest of all tables with their rows: equal for equal records, on both databases
 * @param rows in all tables
 * @param sequences the next value that each is sure not to have given yet
 * @param tables each behind those it refers to
 */
record Manifest(
    String format,
    String reading,
    String schema,
    Instant moment,
    String database,
    String digest,
    long rows,
    Map<String, Long> sequences,
    List<Content> tables) {

  /** The format and its version. */
  static final String FORMAT = "tarebook-backup-1";

  /** The name of its entry. */
  static final String ENTRY = "manifest.json";

  private static final String READING =
      "Each file is a table as CSV by RFC 4180 in UTF-8; the first line names the columns. Nothing"
          + " between two commas is an absent value, \"\" an empty text. Rows stand in the order of"
          + " the primary key. decimal: plain digits; double: read back to the same bits; instant:"
          + " ISO 8601 in UTC; binary: hexadecimal digits behind \\x.";

  /**
   * What a table holds.
   *
   * @param file the name of its entry
   * @param sha256 of the file, in hexadecimal digits
   * @param key the columns of its primary key
   */
  record Content(
      String name, String file, long rows, String sha256, List<String> key, List<Column> columns) {

    static Content of(Table table, long rows, String sha256) {
      return new Content(
          table.name(),
          fileOf(table),
          rows,
          sha256,
          table.key(),
          table.columns().stream()
              .map(column -> new Column(column.name(), column.kind().word()))
              .toList());
    }

    static String fileOf(Table table) {
      return table.name() + ".csv";
    }
  }

  /**
   * A column.
   *
   * @param type integer, decimal, double, boolean, text, instant, date, time or binary
   */
  record Column(String name, String type) {}

  static Manifest of(Catalogue catalogue, Instant moment, String database, List<Content> tables) {
    return new Manifest(
        FORMAT,
        READING,
        catalogue.schema(),
        moment,
        database,
        digest(tables),
        tables.stream().mapToLong(Content::rows).sum(),
        catalogue.sequences(),
        tables);
  }

  static String digest(List<Content> tables) {
    return Sha256.of(
        tables.stream()
            .map(table -> table.file() + " " + table.sha256() + "\n")
            .sorted()
            .collect(Collectors.joining()));
  }

  /** The line that is told at the end of a backup and of a restore, to be compared. */
  String summary() {
    return String.format(
        Locale.ROOT,
        "%,d rows in %d tables of schema %s, digest %s",
        rows,
        tables.size(),
        schema,
        digest);
  }
}
