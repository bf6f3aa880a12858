package org.tarebook.rejects;

import java.time.Instant;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
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
import org.tarebook.rejects.RejectSql.Look;
import org.tarebook.storage.Deadline;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/**
 * Reads the readings and cures of a window item by item. An item that is measured or cured again
 * after the window, or was before it, comes with these too, so that its first and its last are
 * known.
 *
 * <p>An item is what bears one name: its number, or its place on a truck; where it has none, the
 * chain of events that declare to measure the same item again. A declared remeasurement, and a
 * reading without a name that replaces another, belongs to the item of the chain's first event. A
 * tyre without a number is what lay in a cavity of a load.
 *
 * <p><b>Cost:</b> one range of the index on measuring time (on station or characteristic and time
 * where these are given) and a sort of its rows in the database; then for each item in it a probe
 * of the index on names and of that on remeasured events, many items at a time, whatever the size
 * of the record. As many items are in memory at a time. Where presses are looked at, also a range
 * of the indexes on when cures were closed and began, and for each item with a number a probe of
 * the index on tyres: one statement for the presses, and two more for each thousand items.
 */
@Repository
class RejectStore {

  private static final int FETCH = 1000;

  /** An id that nothing has. */
  private static final long NOTHING = 0;

  /** How many items are looked for outside the window at a time. */
  private static final int TOGETHER = 1000;

  /**
   * Numbers the statements that have common table expressions. H2 answers a second statement of the
   * same text in one transaction with the rows of the first, whatever its parameters, where they
   * stand in a common table expression.
   */
  private static final AtomicLong ASKED = new AtomicLong();

  private final JdbcClient jdbc;
  private final Vendor vendor;

  RejectStore(JdbcClient jdbc, Vendor vendor) {
    this.jdbc = jdbc;
    this.vendor = vendor;
  }

  /**
   * What a question looks at, as the statements need it.
   *
   * @param presses of which the cures are looked at; empty where none is
   */
  record Asked(
      Instant from, Instant before, Scope scope, @Nullable Instant asOf, List<Long> presses) {

    private String readings() {
      return (scope.stationIds() == null ? "" : " and r.station_id in (:stations)")
          + (scope.characteristicIds() == null
              ? ""
              : " and r.characteristic_id in (:characteristics)");
    }

    private String cures() {
      return (scope.stationIds() == null ? "" : " and c.press_id in (:presses)")
          + (scope.productId() == null ? "" : " and h.product_id = :product");
    }

    private Map<String, Object> values() {
      Map<String, Object> values = new HashMap<>();
      values.put("from", SqlTime.of(from));
      values.put("before", SqlTime.of(before));
      if (scope.stationIds() != null) {
        values.put("stations", scope.stationIds());
        values.put("presses", presses);
      }
      if (scope.characteristicIds() != null) {
        values.put(
            "characteristics",
            scope.characteristicIds().isEmpty() ? List.of(NOTHING) : scope.characteristicIds());
      }
      if (scope.productId() != null) {
        values.put("product", scope.productId());
      }
      if (asOf != null) {
        values.put("asOf", SqlTime.of(asOf));
      }
      return values;
    }
  }

  /**
   * Prepares a question.
   *
   * @param asOf the moment as of which the record is looked at; absent for now
   */
  Asked asked(Instant from, Instant before, Scope scope, @Nullable Instant asOf) {
    return new Asked(from, before, scope, asOf, scope.empty() ? List.of() : presses(scope));
  }

  private List<Long> presses(Scope scope) {
    if (!scope.cures()) {
      return List.of();
    }
    Collection<Long> stations = scope.stationIds();
    return stations == null
        ? jdbc.sql("select id from press").query(Long.class).list()
        : jdbc.sql("select id from press where station_id in (:stations)")
            .param("stations", stations)
            .query(Long.class)
            .list();
  }

  /**
   * Gives the items of a window one by one, each with its readings and cures in measuring order.
   */
  void items(Asked asked, Consumer<List<Measured>> action) {
    if (asked.scope().empty()) {
      return;
    }
    Look look = Look.of(asked.asOf(), vendor);
    Map<String, Object> values = asked.values();
    WindowItems items = new WindowItems();
    read(
        asked.presses().isEmpty()
            ? RejectSql.readings(RejectSql.INSIDE, asked.readings(), look)
            : RejectSql.readingsAndCures(asked.readings(), asked.cures(), look),
        values,
        row -> {
          if (items.size() >= TOGETHER && items.beginsAnother(row)) {
            Deadline.require();
            complete(items, asked, values);
            items.giveTo(action);
          }
          items.add(row);
        });
    complete(items, asked, values);
    items.giveTo(action);
  }

  private void read(String sql, Map<String, Object> values, RowCallbackHandler action) {
    jdbc.sql(sql).withFetchSize(FETCH).params(values).query(action);
  }

  private static String numbered(String sql) {
    return sql + "\n-- question " + ASKED.incrementAndGet();
  }

  /** Adds what was measured and cured of the items outside the window. */
  private void complete(WindowItems items, Asked asked, Map<String, Object> values) {
    Set<String> inside = Set.copyOf(items.end());
    Look look = Look.of(asked.asOf(), vendor);
    Map<String, Object> more = new HashMap<>(values);
    more.put("names", array("varchar", items.names()));
    if (!asked.presses().isEmpty() && !items.names().isEmpty()) {
      List<Long> cures = ids(RejectSql.loaded(vendor), "names", array("varchar", items.names()));
      if (!cures.isEmpty()) {
        more.put("cures", array("bigint", cures));
        read(RejectSql.otherCures(asked.cures(), look), more, items::add);
        items.end();
      }
    }
    Set<Long> roots = new HashSet<>(items.roots());
    Set<Long> ids = new HashSet<>();
    roots.addAll(ids(RejectSql.named(vendor), "names", array("varchar", items.names())));
    ids.addAll(roots);
    ids.addAll(ids(RejectSql.remeasuring(vendor), "roots", array("bigint", roots)));
    if (!items.firsts().isEmpty()) {
      ids.addAll(ids(RejectSql.FIRSTS, "firsts", array("bigint", items.firsts())));
    }
    ids.removeAll(items.known());
    if (!ids.isEmpty()) {
      more.put("ids", array("bigint", ids));
      read(RejectSql.readings(RejectSql.OUTSIDE, asked.readings(), look), more, items::add);
      items.end().retainAll(inside);
    }
  }

  private List<Long> ids(String sql, String name, SqlArrayValue values) {
    return jdbc.sql(sql).param(name, values).query(Long.class).list();
  }

  private static SqlArrayValue array(String type, Collection<?> values) {
    return new SqlArrayValue(type, values.toArray());
  }

  /**
   * How many readings of a window were written, kept out, let in, judged anew or moved into other
   * shifts since a moment, and how many cavities loaded, judged or moved.
   */
  long changedSince(Asked asked) {
    if (asked.scope().empty()) {
      return 0;
    }
    boolean moved = moved(asked);
    long readings = changed(RejectSql.changedReadings(asked.readings(), moved, vendor), asked);
    return asked.presses().isEmpty()
        ? readings
        : readings + changed(RejectSql.changedCures(asked.cures(), moved), asked);
  }

  /** Whether shift calendars have moved a part of the window into other shifts since. */
  private boolean moved(Asked asked) {
    return jdbc.sql(
            "select id from shift_calendar_change where in_use_at > :asOf and cut_from < :before"
                + " and (cut_before is null or cut_before > :from) fetch first 1 rows only")
        .param("asOf", SqlTime.ofNullable(asked.asOf()))
        .param("before", SqlTime.of(asked.before()))
        .param("from", SqlTime.of(asked.from()))
        .query(Long.class)
        .optional()
        .isPresent();
  }

  private long changed(String statement, Asked asked) {
    return jdbc.sql(numbered(statement)).params(asked.values()).query(Long.class).single();
  }

  /**
   * Whether versions of the locks of all charts and characteristics, and of these presses, are
   * known from their beginning, or from before a moment.
   */
  boolean knows(Instant moment, Collection<Long> presses) {
    return jdbc.sql(
                """
            select count(*) from write_lock w where not exists (select 1 from lock_moment m
              where m.lock_id = w.id and (m.taken_at < :moment or m.version = 0))
            and (w.id in (:presses) or not exists (select 1 from press p where p.id = w.id))
            """)
            .param("moment", SqlTime.of(moment))
            .param("presses", presses.isEmpty() ? List.of(NOTHING) : presses)
            .query(Long.class)
            .single()
        == 0;
  }
}
