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

  /** The statement, for readings that also satisfy {@code narrowed}. */
  static String sql(String narrowed) {
    return """
        with asked as (
          select %2$s from reading r
          where r.measured_at >= :from and r.measured_at < :before%1$s
        ), chained as (
          select a.root_event_id from asked a where a.root_event_id <> a.event_id
        ), name as (
          select a.item_label from asked a where a.item_label is not null
          union
          select f.item_label from reading f
          where f.item_label is not null and f.id in (select c.root_event_id from chained c)
        ), named as (
          select o.id, o.root_event_id from reading o
          where o.item_label in (select n.item_label from name n)
        ), root as (
          select a.root_event_id from asked a
          union
          select n.root_event_id from named n
        ), other as (
          select n.id from named n
          union
          select o.id from reading o where o.root_event_id <> o.event_id
          and o.root_event_id in (select t.root_event_id from root t)
          union
          select o.id from reading f
          join reading o on o.station_id = f.station_id and o.event_key = f.event_key
          where f.id in (select c.root_event_id from chained c)
        ), whole as (
          select %3$s from asked a
          union all
          select %2$s from reading r where r.id in (select o.id from other o)
          and (r.measured_at < :from or r.measured_at >= :before)%1$s
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
        left join successor_result s on s.reading_id = k.id and not exists (
          select 1 from successor_result t where t.reading_id = s.reading_id
          and t.sequence > s.sequence)
        left join uncounted u on u.reading_id = k.id and u.until_version is null
        order by k.name, case when k.name is null then k.root_event_id end, k.measured_at, k.id
        """
        .formatted(narrowed, COLUMNS, COLUMNS.replace("r.", "a."));
  }

  /** Gives the items of a window one by one, each with its readings in measuring order. */
  void items(Instant from, Instant before, Scope scope, Consumer<List<Measured>> action) {
    if (scope.empty()) {
      return;
    }
    Map<String, Object> values = new HashMap<>();
    values.put("from", SqlTime.of(from));
    values.put("before", SqlTime.of(before));
    String narrowed = "";
    if (scope.stationIds() != null) {
      narrowed += " and r.station_id in (:stations)";
      values.put("stations", scope.stationIds());
    }
    if (scope.characteristicIds() != null) {
      narrowed += " and r.characteristic_id in (:characteristics)";
      values.put("characteristics", scope.characteristicIds());
    }
    Items items = new Items(action);
    String statement = sql(narrowed) + "-- question " + ASKED.incrementAndGet();
    jdbc.sql(statement).withFetchSize(FETCH).params(values).query(items::add);
    items.end();
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
