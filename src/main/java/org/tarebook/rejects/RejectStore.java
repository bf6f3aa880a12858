package org.tarebook.rejects;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.reading.Cause;
import org.tarebook.reading.Direction;
import org.tarebook.reading.Result;
import org.tarebook.storage.CatchUps;
import org.tarebook.storage.SqlTime;

/**
 * Reads the readings of a window item by item. An item that is measured again after the window, or
 * was before it, comes with these readings too, so that its first and its last are known.
 *
 * <p>An item is what bears one name: its number, or its place on a truck; where it has none, the
 * chain of events that declare to measure the same item again. A declared remeasurement, and a
 * reading without a name that replaces another, belongs to the item of the chain's first event.
 *
 * <p><b>Cost:</b> one range of the index on measuring time (on characteristic and time where
 * characteristics are given), and for each item in it one probe of the index on names or of that on
 * remeasured events, whatever the size of the record; then a sort of these rows in the database.
 * One item is in memory at a time.
 */
@Repository
class RejectStore {

  private static final int FETCH = 1000;

  private static final String COLUMNS =
      "r.id, r.event_id, r.root_event_id, r.item_label, r.remeasures_key, r.measured_at,"
          + " r.station_id, r.characteristic_id, r.die, r.instrument_id, r.result, r.direction";

  /**
   * Numbers the statements. H2 answers a second statement of the same text in one transaction with
   * the rows of the first, whatever its parameters, where they stand in a common table expression.
   */
  private static final AtomicLong ASKED = new AtomicLong();

  private final JdbcClient jdbc;

  RejectStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /**
   * What of the record is looked at, as pieces of the statement.
   *
   * @param locks the version of every lock at the moment; empty for now
   * @param joined what readings {@code r} are joined with
   * @param stood what of them stood
   * @param version the version of the lock of reading {@code r}
   * @param successor what a successor result {@code s} must satisfy
   * @param later what a later one {@code t} must satisfy to take its place
   * @param uncounted what makes a cause {@code u} stand
   */
  private record Look(
      String locks,
      String joined,
      String stood,
      String version,
      String successor,
      String later,
      String uncounted) {

    static final Look NOW =
        new Look(
            "",
            "",
            "",
            "0",
            " and " + CatchUps.counts("s"),
            " and " + CatchUps.counts("t"),
            "u.until_version is null");

    static final Look AS_OF =
        new Look(
            """
            stood as (
              select w.id, coalesce((select m.version - 1 from lock_moment m where m.lock_id = w.id
                and m.taken_at > :asOf order by m.taken_at, m.version fetch first 1 rows only),
                w.version) as version
              from write_lock w where exists (select 1 from lock_moment m where m.lock_id = w.id
                and m.taken_at <= :asOf)
            ),\
            """,
            " left join stood v on v.id = coalesce(r.chart_id, r.characteristic_id)",
            "r.lock_version <= v.version and ",
            "v.version",
            " and " + CatchUps.version("s") + " <= k.at_version",
            " and " + CatchUps.version("t") + " <= k.at_version",
            "u.since_version <= k.at_version"
                + " and (u.until_version is null or u.until_version > k.at_version)");

    static Look of(@Nullable Instant asOf) {
      return asOf == null ? NOW : AS_OF;
    }
  }

  /**
   * The statement, for readings that also satisfy {@code narrowed}, as of now.
   *
   * <p>Its left joins are joins, since what they add is then required: they only keep H2 from
   * reading the tables in another order.
   */
  static String sql(String narrowed) {
    return sql(narrowed, Look.NOW);
  }

  private static String sql(String narrowed, Look look) {
    return """
        with %4$s asked as (
          select %2$s, %6$s as at_version from reading r%5$s
          where %10$sr.measured_at >= :from and r.measured_at < :before%1$s
        ), chained as (
          select a.root_event_id from asked a where a.root_event_id <> a.event_id
        ), name as (
          select a.item_label from asked a where a.item_label is not null
          union
          select f.item_label from chained c left join reading f on f.id = c.root_event_id
          where f.item_label is not null
        ), named as (
          select o.id, o.root_event_id from name n
          left join reading o on o.item_label = n.item_label where o.id is not null
        ), root as (
          select a.root_event_id from asked a
          union
          select n.root_event_id from named n
        ), other as (
          select n.id from named n
          union
          select o.id from root t left join reading o on o.root_event_id = t.root_event_id
          where o.root_event_id <> o.event_id
          union
          select o.id from chained c left join reading f on f.id = c.root_event_id
          left join reading o on o.station_id = f.station_id and o.event_key = f.event_key
          where o.id is not null
        ), whole as (
          select %3$s, a.at_version from asked a
          union all
          select %2$s, %6$s as at_version from other o left join reading r on r.id = o.id%5$s
          where %10$s(r.measured_at < :from or r.measured_at >= :before)%1$s
        ), known as (
          select w.*, case when w.root_event_id = w.event_id
            or (w.item_label is not null and w.remeasures_key is null) then w.item_label
            else (select f.item_label from reading f where f.id = w.root_event_id) end as name
          from whole w
        )
        select k.id, k.measured_at, k.station_id, k.characteristic_id, k.die, k.instrument_id,
          k.result, k.direction, k.name, k.root_event_id,
          s.result as later_result, s.direction as later_direction, u.cause
        from known k
        left join successor_result s on s.reading_id = k.id%7$s and not exists (
          select 1 from successor_result t where t.reading_id = s.reading_id
          and t.sequence > s.sequence%8$s)
        left join uncounted u on u.reading_id = k.id and %9$s
        order by k.name, case when k.name is null then k.root_event_id end, k.measured_at, k.id
        """
        .formatted(
            narrowed,
            COLUMNS,
            COLUMNS.replace("r.", "a."),
            look.locks(),
            look.joined(),
            look.version(),
            look.successor(),
            look.later(),
            look.uncounted(),
            look.stood());
  }

  /**
   * Gives the items of a window one by one, each with its readings in measuring order.
   *
   * @param asOf the moment as of which the record is looked at; absent for now
   */
  void items(
      Instant from,
      Instant before,
      Scope scope,
      @Nullable Instant asOf,
      Consumer<List<Measured>> action) {
    if (scope.empty()) {
      return;
    }
    Items items = new Items(action);
    String statement =
        sql(narrowed(scope), Look.of(asOf)) + "-- question " + ASKED.incrementAndGet();
    jdbc.sql(statement)
        .withFetchSize(FETCH)
        .params(values(from, before, scope, asOf))
        .query(items::add);
    items.end();
  }

  /** How many readings of a window were written, kept out, let in or judged anew since a moment. */
  long changedSince(Instant from, Instant before, Scope scope, Instant asOf) {
    if (scope.empty()) {
      return 0;
    }
    String statement =
        """
        with %s asked as (
          select r.id, r.lock_version, coalesce(v.version, -1) as version from reading r
          left join stood v on v.id = coalesce(r.chart_id, r.characteristic_id)
          where r.measured_at >= :from and r.measured_at < :before%s
        )
        select count(*) from asked a where a.lock_version > a.version
        or exists (select 1 from uncounted u where u.reading_id = a.id
          and (u.since_version > a.version or u.until_version > a.version))
        or exists (select 1 from successor_result s where s.reading_id = a.id
          and %s > a.version)
        """
            .formatted(Look.AS_OF.locks(), narrowed(scope), CatchUps.version("s"));
    return jdbc.sql(statement + "-- question " + ASKED.incrementAndGet())
        .params(values(from, before, scope, asOf))
        .query(Long.class)
        .single();
  }

  /** Whether versions of every lock are known from its beginning, or from before a moment. */
  boolean knows(Instant moment) {
    return jdbc.sql(
                """
            select count(*) from write_lock w where not exists (select 1 from lock_moment m
              where m.lock_id = w.id and (m.taken_at <= :moment or m.version = 0))
            """)
            .param("moment", SqlTime.of(moment))
            .query(Long.class)
            .single()
        == 0;
  }

  private static String narrowed(Scope scope) {
    return (scope.stationIds() == null ? "" : " and r.station_id in (:stations)")
        + (scope.characteristicIds() == null
            ? ""
            : " and r.characteristic_id in (:characteristics)");
  }

  private static Map<String, Object> values(
      Instant from, Instant before, Scope scope, @Nullable Instant asOf) {
    Map<String, Object> values = new HashMap<>();
    values.put("from", SqlTime.of(from));
    values.put("before", SqlTime.of(before));
    if (scope.stationIds() != null) {
      values.put("stations", scope.stationIds());
    }
    if (scope.characteristicIds() != null) {
      values.put("characteristics", scope.characteristicIds());
    }
    if (asOf != null) {
      values.put("asOf", SqlTime.of(asOf));
    }
    return values;
  }

  /** Puts the rows of a reading together, and the readings of an item. */
  private static final class Items {
    private final Consumer<List<Measured>> action;
    private final Set<Cause> causes = EnumSet.noneOf(Cause.class);
    private List<Measured> readings = new ArrayList<>();
    private @Nullable String item;
    private @Nullable Measured reading;

    Items(Consumer<List<Measured>> action) {
      this.action = action;
    }

    void add(ResultSet row) throws SQLException {
      long id = row.getLong("id");
      if (reading == null || reading.id() != id) {
        endReading();
        String name = row.getString("name");
        String next = name == null ? "chain " + row.getLong("root_event_id") : "name " + name;
        if (!next.equals(item)) {
          endItem();
          item = next;
        }
        reading = read(row, id);
      }
      String cause = row.getString("cause");
      if (cause != null) {
        causes.add(Cause.valueOf(cause));
      }
    }

    void end() {
      endReading();
      endItem();
    }

    private void endReading() {
      if (reading != null) {
        readings.add(reading.apart(causes));
        reading = null;
        causes.clear();
      }
    }

    private void endItem() {
      if (!readings.isEmpty()) {
        action.accept(readings);
        readings = new ArrayList<>();
      }
    }

    private static Measured read(ResultSet row, long id) throws SQLException {
      String later = row.getString("later_result");
      String direction = row.getString(later == null ? "direction" : "later_direction");
      return new Measured(
          id,
          SqlTime.get(row, "measured_at"),
          row.getLong("station_id"),
          row.getLong("characteristic_id"),
          row.getString("die"),
          row.getObject("instrument_id", Long.class),
          Result.valueOf(later == null ? row.getString("result") : later),
          direction == null ? null : Direction.valueOf(direction),
          null);
    }
  }
}
