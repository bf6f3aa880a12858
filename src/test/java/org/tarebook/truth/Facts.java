package org.tarebook.truth;

import java.math.BigDecimal;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;

/**
 * The facts about one chart as plain SQL finds them, on one picture of the record. What the service
 * derives (standing, doubts, segments, results, chains) is not looked at.
 */
record Facts(
    ChartRow chart,
    List<Row> rows,
    List<Amendment> amendments,
    List<Check> checks,
    List<Limits> limits,
    List<Calendar> calendars,
    Map<Long, String> stations,
    long version) {

  record ChartRow(
      long id,
      String code,
      long characteristic,
      String kind,
      int size,
      String strata,
      String unit) {
    boolean individuals() {
      return kind.equals("INDIVIDUALS");
    }
  }

  record Row(
      long id,
      long station,
      String key,
      @Nullable Long instrument,
      long version,
      Instant at,
      @Nullable Long counter,
      @Nullable BigDecimal value,
      String unit,
      String flags,
      String phase,
      @Nullable String die,
      @Nullable String sample,
      @Nullable String item,
      @Nullable String remeasures) {}

  record Amendment(long id, long reading, @Nullable Long replacement) {}

  record Check(
      long id,
      long instrument,
      Instant at,
      @Nullable Boolean found,
      @Nullable Boolean left,
      boolean voided) {
    /** As marks name it: another number once it is voided. */
    long mark() {
      return voided ? -id : id;
    }

    Check standing() {
      return new Check(id, instrument, at, found, left, false);
    }

    boolean leavesRight() {
      return Boolean.TRUE.equals(left == null ? found : left);
    }
  }

  record Limits(
      int revision,
      Instant from,
      @Nullable Instant before,
      @Nullable BigDecimal lower,
      @Nullable BigDecimal upper,
      String unit,
      @Nullable BigDecimal rounding,
      Instant recordedAt,
      @Nullable Instant withdrawnAt) {}

  /**
   * A calendar in use.
   *
   * @param version of all charts' locks from which on it cuts what was on record before; else 0
   */
  record Calendar(LocalDate from, ZoneId zone, long version, List<LocalTime> starts) {}

  /**
   * Which facts that carry no version are on record: two pictures with equal marks have the same.
   */
  record Marks(Set<Long> amendments, Set<Long> checks, List<Limits> limits) {}

  Marks marks() {
    return new Marked(amendments, checks, limits).marks();
  }

  /** What of it stood under a version of the chart's lock, when those marks were on record. */
  Facts asOf(long earlier, Marks known, Instant moment) {
    return new Facts(
        chart,
        rows.stream().filter(row -> row.version() <= earlier).toList(),
        amendments.stream().filter(each -> known.amendments().contains(each.id())).toList(),
        checks.stream()
            .filter(each -> known.checks().contains(each.id())) // it stood then
            .map(Check::standing)
            .toList(),
        limits.stream()
            .filter(each -> !each.recordedAt().isAfter(moment))
            .filter(each -> each.withdrawnAt() == null || each.withdrawnAt().isAfter(moment))
            .map(
                each ->
                    new Limits(
                        each.revision(),
                        each.from(),
                        each.before(),
                        each.lower(),
                        each.upper(),
                        each.unit(),
                        each.rounding(),
                        each.recordedAt(),
                        null))
            .toList(),
        calendars.stream().filter(each -> each.version() <= earlier).toList(),
        stations,
        earlier);
  }

  private static ChartRow chart(Connection sql, String code) throws SQLException {
    return list(
            sql,
            "select c.id, c.code, c.characteristic_id, c.kind, c.subgroup_size, c.strata, h.unit"
                + " from chart c join characteristic h on h.id = c.characteristic_id"
                + " where c.code = ?",
            row ->
                new ChartRow(
                    row.getLong(1),
                    row.getString(2),
                    row.getLong(3),
                    row.getString(4),
                    row.getInt(5),
                    row.getString(6),
                    row.getString(7)),
            code)
        .get(0);
  }

  /** Reads the marks of a chart alone. */
  static Marks marks(Connection sql, String code) throws SQLException {
    return marked(sql, chart(sql, code)).marks();
  }

  /** Reads everything about a chart. */
  static Facts read(Connection sql, String code) throws SQLException {
    ChartRow chart = chart(sql, code);
    Marked marked = marked(sql, chart);
    List<Row> rows =
        list(
            sql,
            "select id, station_id, event_key, instrument_id, lock_version, measured_at, counter,"
                + " net_value, unit, flags, phase, die, sample, item_label, remeasures_key from reading"
                + " where chart_id = ?",
            row ->
                new Row(
                    row.getLong(1),
                    row.getLong(2),
                    row.getString(3),
                    row.getObject(4, Long.class),
                    row.getLong(5),
                    instant(row, 6),
                    row.getObject(7, Long.class),
                    row.getBigDecimal(8),
                    row.getString(9),
                    row.getString(10) == null ? "" : row.getString(10),
                    row.getString(11),
                    row.getString(12),
                    row.getString(13),
                    row.getString(14),
                    row.getString(15)),
            chart.id());
    Map<Long, String> stations = new HashMap<>();
    list(
        sql, "select id, code from station", row -> stations.put(row.getLong(1), row.getString(2)));
    long version =
        list(sql, "select version from write_lock where id = ?", row -> row.getLong(1), chart.id())
            .get(0);
    return new Facts(
        chart,
        rows,
        marked.amendments(),
        marked.checks(),
        marked.limits(),
        calendars(sql),
        stations,
        version);
  }

  private record Marked(List<Amendment> amendments, List<Check> checks, List<Limits> limits) {
    Marks marks() {
      Set<Long> amended = new TreeSet<>();
      amendments.forEach(each -> amended.add(each.id()));
      Set<Long> checked = new TreeSet<>();
      checks.forEach(each -> checked.add(each.mark()));
      return new Marks(amended, checked, limits);
    }
  }

  private static Marked marked(Connection sql, ChartRow chart) throws SQLException {
    return new Marked(
        list(
            sql,
            "select a.id, a.reading_id, a.replacement_id from amendment a"
                + " join reading r on r.id = a.reading_id where r.chart_id = ? order by a.id",
            row -> new Amendment(row.getLong(1), row.getLong(2), row.getObject(3, Long.class)),
            chart.id()),
        list(
            sql,
            "select id, instrument_id, checked_at, standard_value, permissible_error, as_found,"
                + " as_left, (select count(*) from check_voiding v where v.check_id = c.id)"
                + " from instrument_check c order by checked_at, id",
            row ->
                new Check(
                    row.getLong(1),
                    row.getLong(2),
                    instant(row, 3),
                    within(row.getString(6), row.getBigDecimal(4), row.getBigDecimal(5)),
                    within(row.getString(7), row.getBigDecimal(4), row.getBigDecimal(5)),
                    row.getLong(8) > 0)),
        list(
            sql,
            "select revision, valid_from, valid_before, lower_limit, upper_limit, unit,"
                + " rounding_interval, recorded_at, withdrawn_at from specification"
                + " where characteristic_id = ? order by revision",
            row ->
                new Limits(
                    row.getInt(1),
                    instant(row, 2),
                    row.getObject(3) == null ? null : instant(row, 3),
                    row.getBigDecimal(4),
                    row.getBigDecimal(5),
                    row.getString(6),
                    row.getBigDecimal(7),
                    instant(row, 8),
                    row.getObject(9) == null ? null : instant(row, 9)),
            chart.characteristic()));
  }

  /**
   * Whether no indication errs by more than is permitted; all are in the instrument's unit here.
   */
  private static @Nullable Boolean within(
      @Nullable String shown, BigDecimal standard, BigDecimal permitted) {
    if (shown == null) {
      return null;
    }
    for (String each : shown.split(" ")) {
      if (new BigDecimal(each).subtract(standard).abs().compareTo(permitted) > 0) {
        return false;
      }
    }
    return true;
  }

  private static List<Calendar> calendars(Connection sql) throws SQLException {
    Map<LocalDate, Calendar> found = new TreeMap<>();
    list(
        sql,
        "select c.valid_from, c.zone, s.starts_at, coalesce((select max(k.version)"
            + " from shift_calendar_change k where k.shift_calendar_id = c.id), 0)"
            + " from shift_calendar c"
            + " join shift_calendar_shift s on s.shift_calendar_id = c.id"
            + " join shift_calendar_standing g on g.shift_calendar_id = c.id"
            + " where g.until is null order by c.valid_from, s.position",
        row -> {
          LocalDate from = row.getObject(1, LocalDate.class);
          String zone = row.getString(2);
          long version = row.getLong(4);
          return found
              .computeIfAbsent(
                  from, date -> new Calendar(date, ZoneId.of(zone), version, new ArrayList<>()))
              .starts()
              .add(row.getObject(3, LocalTime.class));
        });
    return List.copyOf(found.values());
  }

  static Instant instant(ResultSet row, int column) throws SQLException {
    return row.getObject(column, OffsetDateTime.class).toInstant();
  }

  /** Makes something of a row. */
  interface Read<T> {
    T of(ResultSet row) throws SQLException;
  }

  static <T> List<T> list(Connection sql, String text, Read<T> read, Object... values)
      throws SQLException {
    try (PreparedStatement statement = sql.prepareStatement(text)) {
      for (int i = 0; i < values.length; i++) {
        statement.setObject(i + 1, values[i]);
      }
      List<T> found = new ArrayList<>();
      try (ResultSet rows = statement.executeQuery()) {
        while (rows.next()) {
          found.add(read.of(rows));
        }
      }
      return found;
    }
  }
}
