package org.tarebook.rejects;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.RowCallbackHandler;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.jdbc.support.SqlArrayValue;
import org.springframework.stereotype.Repository;
import org.tarebook.reading.Cause;
import org.tarebook.reading.Direction;
import org.tarebook.reading.Result;
import org.tarebook.storage.CatchUps;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/**
 * Reads the readings of a window item by item. An item that is measured again after the window, or
 * was before it, comes with these readings too, so that its first and its last are known.
 *
 * <p>An item is what bears one name: its number, or its place on a truck; where it has none, the
 * chain of events that declare to measure the same item again. A declared remeasurement, and a
 * reading without a name that replaces another, belongs to the item of the chain's first event.
 *
 * <p><b>Cost:</b> one range of the index on measuring time (on station or characteristic and time
 * where these are given) and a sort of its rows in the database; then for each item in it a probe
 * of the index on names and of that on remeasured events, many items at a time, whatever the size
 * of the record. As many items are in memory at a time.
 */
@Repository
class RejectStore {

  private static final int FETCH = 1000;

  /** How many items are looked for outside the window at a time. */
  private static final int TOGETHER = 1000;

  private static final String INSIDE = "r.measured_at >= :from and r.measured_at < :before";

  private static final String OUTSIDE =
      "r.id = any(:ids) and (r.measured_at < :from or r.measured_at >= :before)";

  /** The events that unnamed remeasurements remeasure, value by value. */
  static final String FIRSTS =
      "select o.id from reading f left join reading o on o.station_id = f.station_id"
          + " and o.event_key = f.event_key where f.id = any(:firsts) and o.id is not null";

  /**
   * Numbers the statements as of a moment. H2 answers a second statement of the same text in one
   * transaction with the rows of the first, whatever its parameters, where they stand in a common
   * table expression.
   */
  private static final AtomicLong ASKED = new AtomicLong();

  private final JdbcClient jdbc;
  private final Vendor vendor;

  RejectStore(JdbcClient jdbc, Vendor vendor) {
    this.jdbc = jdbc;
    this.vendor = vendor;
  }

  /**
   * The readings that bear some names. H2 reads the index only, and the left join from the left.
   */
  static String named(Vendor vendor) {
    return vendor == Vendor.H2
        ? "select o.id from unnest(cast(:names as varchar array)) w (name)"
            + " left join reading o on o.item_label = w.name where o.id is not null"
        : "select o.id from reading o where o.item_label = any(:names)";
  }

  /**
   * The readings that remeasure some events. H2 has no partial index, and reads the index only:
   * readings of the events themselves are found too.
   */
  static String remeasuring(Vendor vendor) {
    return vendor == Vendor.H2
        ? "select o.id from unnest(cast(:roots as bigint array)) w (root)"
            + " left join reading o on o.root_event_id = w.root where o.id is not null"
        : "select o.id from reading o where o.root_event_id = any(:roots)"
            + " and o.root_event_id <> o.event_id";
  }

  /**
   * What of the record is looked at, as pieces of the statement.
   *
   * @param locks the version of every lock at the moment; empty for now
   * @param joined what readings {@code r} are joined with
   * @param stood what of them stood
   * @param successor what a successor result {@code s} must satisfy
   * @param later what a later one {@code t} must satisfy to take its place
   * @param uncounted what makes a cause {@code u} stand
   */
  private record Look(
      String locks, String joined, String stood, String successor, String later, String uncounted) {

    static final Look NOW =
        new Look("", "", "", CatchUps.counts("s"), CatchUps.counts("t"), "u.until_version is null");

    static final Look AS_OF =
        new Look(
            """
            with stood as (
              select w.id, coalesce((select m.version - 1 from lock_moment m where m.lock_id = w.id
                and m.taken_at > :asOf order by m.taken_at, m.version fetch first 1 rows only),
                w.version) as version
              from write_lock w where exists (select 1 from lock_moment m where m.lock_id = w.id
                and m.taken_at <= :asOf)
            )
            """,
            " left join stood v on v.id = coalesce(r.chart_id, r.characteristic_id)",
            "r.lock_version <= v.version and ",
            CatchUps.version("s") + " <= v.version",
            CatchUps.version("t") + " <= v.version",
            "u.since_version <= v.version"
                + " and (u.until_version is null or u.until_version > v.version)");

    static Look of(@Nullable Instant asOf) {
      return asOf == null ? NOW : AS_OF;
    }
  }

  /** The statement for readings of the window that also satisfy {@code narrowed}, as of now. */
  static String sql(String narrowed) {
    return sql(INSIDE, narrowed, Look.NOW);
  }

  private static String sql(String which, String narrowed, Look look) {
    return """
        %sselect r.id, r.measured_at, r.station_id, r.characteristic_id, r.die, r.instrument_id,
          r.result, r.direction, r.event_id, r.root_event_id,
          case when r.root_event_id = r.event_id
            or (r.item_label is not null and r.remeasures_key is null) then r.item_label
            else (select f.item_label from reading f where f.id = r.root_event_id) end as name,
          s.result as later_result, s.direction as later_direction, u.cause
        from reading r%s
        left join successor_result s on s.reading_id = r.id and %s and not exists (
          select 1 from successor_result t where t.reading_id = s.reading_id
          and t.sequence > s.sequence and %s)
        left join uncounted u on u.reading_id = r.id and %s
        where %s%s%s
        order by name, r.root_event_id, r.id
        """
        .formatted(
            look.locks(),
            look.joined(),
            look.successor(),
            look.later(),
            look.uncounted(),
            look.stood(),
            which,
            narrowed);
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
    Map<String, Object> values = values(from, before, scope, asOf);
    String readings = narrowed(scope);
    Items items = new Items();
    read(
        sql(INSIDE, readings, Look.of(asOf)),
        values,
        row -> {
          if (items.full() && items.beginsAnother(row)) {
            complete(items, sql(OUTSIDE, readings, Look.of(asOf)), values);
            items.giveTo(action);
          }
          items.add(row);
        });
    complete(items, sql(OUTSIDE, readings, Look.of(asOf)), values);
    items.giveTo(action);
  }

  private void read(String sql, Map<String, Object> values, RowCallbackHandler action) {
    jdbc.sql(numbered(sql)).withFetchSize(FETCH).params(values).query(action);
  }

  private static String numbered(String sql) {
    return sql.startsWith("with") ? sql + "-- question " + ASKED.incrementAndGet() : sql;
  }

  /** Adds what was measured of the items outside the window. */
  private void complete(Items items, String sql, Map<String, Object> values) {
    Set<String> inside = Set.copyOf(items.end());
    Set<Long> roots = new HashSet<>(items.roots);
    Set<Long> ids = new HashSet<>();
    roots.addAll(ids(named(vendor), "names", array("varchar", items.names)));
    ids.addAll(roots);
    ids.addAll(ids(remeasuring(vendor), "roots", array("bigint", roots)));
    if (!items.firsts.isEmpty()) {
      ids.addAll(ids(FIRSTS, "firsts", array("bigint", items.firsts)));
    }
    ids.removeAll(items.known);
    if (!ids.isEmpty()) {
      Map<String, Object> more = new HashMap<>(values);
      more.put("ids", array("bigint", ids));
      read(sql, more, items::add);
      items.end().retainAll(inside);
    }
  }

  private List<Long> ids(String sql, String name, SqlArrayValue values) {
    return jdbc.sql(sql).param(name, values).query(Long.class).list();
  }

  private static SqlArrayValue array(String type, Collection<?> values) {
    return new SqlArrayValue(type, values.toArray());
  }

  /** How many readings of a window were written, kept out, let in or judged anew since a moment. */
  long changedSince(Instant from, Instant before, Scope scope, Instant asOf) {
    if (scope.empty()) {
      return 0;
    }
    String statement =
        """
        %s, asked as (
          select r.id, r.lock_version, coalesce(v.version, -1) as version from reading r
          left join stood v on v.id = coalesce(r.chart_id, r.characteristic_id)
          where %s%s
        )
        select count(*) from asked a where a.lock_version > a.version
        or exists (select 1 from uncounted u where u.reading_id = a.id
          and (u.since_version > a.version or u.until_version > a.version))
        or exists (select 1 from successor_result s where s.reading_id = a.id
          and %s > a.version)
        """
            .formatted(Look.AS_OF.locks(), INSIDE, narrowed(scope), CatchUps.version("s"));
    return jdbc.sql(numbered(statement))
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
    private final Map<String, List<Measured>> byItem = new LinkedHashMap<>();
    private final Set<String> names = new HashSet<>();
    private final Set<Long> roots = new HashSet<>();
    private final Set<Long> firsts = new HashSet<>();
    private final Set<Long> known = new HashSet<>();
    private final Set<Cause> causes = EnumSet.noneOf(Cause.class);
    private @Nullable Measured reading;
    private String item = "";

    boolean full() {
      return byItem.size() >= TOGETHER;
    }

    /** Whether a row of the window is of another item than the row before it. */
    boolean beginsAnother(ResultSet row) throws SQLException {
      return !item.equals(item(row));
    }

    void add(ResultSet row) throws SQLException {
      long id = row.getLong("id");
      if (reading == null || reading.id() != id) {
        end();
        item = item(row);
        reading = read(row, id);
        known.add(id);
        note(row);
      }
      String cause = row.getString("cause");
      if (cause != null) {
        causes.add(Cause.valueOf(cause));
      }
    }

    /** Ends the reading, and answers the items. */
    Set<String> end() {
      if (reading != null) {
        byItem.computeIfAbsent(item, none -> new ArrayList<>()).add(reading.under(causes));
        reading = null;
        causes.clear();
      }
      return byItem.keySet();
    }

    void giveTo(Consumer<List<Measured>> action) {
      for (List<Measured> readings : byItem.values()) {
        readings.sort(Comparator.comparing(Measured::at).thenComparing(Measured::id));
        action.accept(readings);
      }
      byItem.clear();
      names.clear();
      roots.clear();
      firsts.clear();
      known.clear();
    }

    /** Notes by what readings outside the window are found. */
    private void note(ResultSet row) throws SQLException {
      String name = row.getString("name");
      long root = row.getLong("root_event_id");
      if (name != null) {
        names.add(name);
        return;
      }
      roots.add(root);
      if (root != row.getLong("event_id")) {
        firsts.add(root);
      }
    }

    private static String item(ResultSet row) throws SQLException {
      String name = row.getString("name");
      return name == null ? "chain " + row.getLong("root_event_id") : "name " + name;
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
          null,
          false);
    }
  }
}
