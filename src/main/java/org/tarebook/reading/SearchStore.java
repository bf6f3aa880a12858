package org.tarebook.reading;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Coded;
import org.tarebook.spec.Characteristic;
import org.tarebook.storage.CatchUps;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/**
 * Searches the readings, a page at a time by measuring time and id. Each page costs its rows, read
 * in order from the index that fits the narrowest filter: item, key, sample, lot, standing,
 * instrument, characteristic, station or time; rows that other filters leave out are read too.
 */
@Repository
class SearchStore {

  private static final String LATER_RESULTS =
      " from successor_result s where s.reading_id = r.id and " + CatchUps.counts("s");

  /** A page is put together from the pages of so many stations or characteristics at most. */
  private static final int MOST_BRANCHES = 64;

  /** The index that begins with a column and then gives the order of the list. */
  private static final Map<String, String> INDEXES =
      Map.of(
          "sample", "ix_reading_sample",
          "lot", "ix_reading_lot",
          "instrument_id", "ix_reading_instrument",
          "characteristic_id", "ix_reading_characteristic",
          "station_id", "ix_reading_station");

  private static final String STANDING = uncounted("u.cause = :standing");

  private final JdbcClient jdbc;
  private final Vendor vendor;

  SearchStore(JdbcClient jdbc, Vendor vendor) {
    this.jdbc = jdbc;
    this.vendor = vendor;
  }

  /** The reading behind which a page begins. */
  record Place(Instant measuredAt, long id) {}

  /** A statement and its values. */
  record Statement(String sql, Map<String, Object> values) {}

  List<Reading> page(Plan plan, ReadingQuery query, @Nullable Place after, int limit) {
    return statement(vendor, plan, query, after, limit)
        .map(
            statement ->
                jdbc.sql(statement.sql())
                    .params(statement.values())
                    .query((row, number) -> ReadingStore.read(row))
                    .list())
        .orElse(List.of());
  }

  /** The statement that reads a page; empty where nothing can be found. */
  static Optional<Statement> statement(
      Vendor vendor, Plan plan, ReadingQuery query, @Nullable Place after, int limit) {
    List<String> where = new ArrayList<>();
    Map<String, Object> values = new LinkedHashMap<>();
    if (!narrowByPlan(plan, query, where, values)) {
      return Optional.empty();
    }
    narrow(query, where, values);
    if (after != null) {
      where.add(
          query.descending()
              ? "r.measured_at <= :at and (r.measured_at < :at or r.id < :id)"
              : "r.measured_at >= :at and (r.measured_at > :at or r.id > :id)");
      values.put("at", SqlTime.of(after.measuredAt()));
      values.put("id", after.id());
    }
    values.put("limit", limit);
    if (query.standing() != null
        && !values.containsKey("sample")
        && !values.containsKey("lot")
        && !sorted(values)) {
      return Optional.of(byStanding(vendor, query, where, values));
    }
    String direction = query.descending() ? " desc" : "";
    String order =
        " order by %%sr.measured_at%1$s, r.id%1$s fetch first :limit rows only"
            .formatted(direction);
    String lead = lead(values);
    String byLead = order.formatted(lead == null ? "" : "r." + lead + direction + ", ");
    String select = "select " + ReadingStore.COLUMNS + " from reading r";
    if (vendor == Vendor.H2 && lead != null) { // or it takes the one it made for the foreign key
      select += " use index (" + INDEXES.get(lead) + ")";
    }
    if (lead == null || !(values.get(lead + "s") instanceof List<?> leading)) {
      return Optional.of(new Statement(select + where(where) + byLead, values));
    }
    where.remove("r." + lead + " in (:" + lead + "s)");
    values.remove(lead + "s");
    List<String> branches = new ArrayList<>();
    for (Object one : leading) {
      List<String> narrower = new ArrayList<>(where);
      equal(lead, lead + branches.size(), one, narrower, values);
      branches.add("(" + select + where(narrower) + byLead + ")");
    }
    String sql =
        branches.size() == 1
            ? branches.get(0)
            : "select * from ("
                + String.join(" union all ", branches)
                + ") r"
                + order.formatted("");
    return Optional.of(new Statement(sql, values));
  }

  /** Readings of an item or a key are so few that they are sorted. */
  private static boolean sorted(Map<String, Object> values) {
    return values.containsKey("item_label") || values.containsKey("event_key");
  }

  /** From the list of those that do not count; H2 keeps the order of a left join. */
  private static Statement byStanding(
      Vendor vendor, ReadingQuery query, List<String> where, Map<String, Object> values) {
    List<String> of = new ArrayList<>(List.of("u.cause = :standing", "u.until_version is null"));
    for (String condition : where) {
      of.add(
          condition
              .replace("r.measured_at", "u.measured_at")
              .replace("r.characteristic_id", "u.characteristic_id")
              .replace("r.id < :id", "u.reading_id < :id")
              .replace("r.id > :id", "u.reading_id > :id"));
    }
    of.remove(STANDING);
    of.add("r.id is not null");
    String hint = vendor == Vendor.H2 ? " use index (ix_uncounted_cause)" : "";
    String sql =
        "select %s from uncounted u%s left join reading r on r.id = u.reading_id%s order by"
            + " u.cause%4$s, u.measured_at%4$s, u.reading_id%4$s fetch first :limit rows only";
    return new Statement(
        sql.formatted(ReadingStore.COLUMNS, hint, where(of), query.descending() ? " desc" : ""),
        values);
  }

  /**
   * The column that begins the index to be read in order, so that a page costs no more than its
   * rows. Both databases see that the index gives the order, since the statement orders by this
   * column first; where it may have several values, the page is put together from those of each.
   */
  private static @Nullable String lead(Map<String, Object> values) {
    if (sorted(values)) {
      return null;
    }
    for (String column : List.of("sample", "lot", "instrument_id")) {
      if (values.containsKey(column)) {
        return column;
      }
    }
    return Stream.of("characteristic_id", "station_id")
        .filter(column -> branches(values, column) <= MOST_BRANCHES)
        .min(Comparator.comparingInt(column -> branches(values, column)))
        .orElse(null);
  }

  private static int branches(Map<String, Object> values, String column) {
    return values.get(column + "s") instanceof List<?> ids ? ids.size() : Integer.MAX_VALUE;
  }

  private static String where(List<String> conditions) {
    return conditions.isEmpty() ? "" : " where " + String.join(" and ", conditions);
  }

  /** Narrows by the codes of the plan; false where nothing can be found. */
  private static boolean narrowByPlan(
      Plan plan, ReadingQuery query, List<String> where, Map<String, Object> values) {
    List<Long> stations = null;
    if (query.line() != null) {
      Optional<Long> line = id(plan.lines().find(query.line()));
      stations =
          plan.stations().all().stream()
              .filter(station -> line.isPresent() && station.lineId() == line.get())
              .map(Coded::id)
              .toList();
    }
    if (query.station() != null) {
      Optional<Long> station = id(plan.stations().find(query.station()));
      List<Long> ofLine = stations;
      stations =
          station
              .filter(found -> ofLine == null || ofLine.contains(found))
              .map(List::of)
              .orElse(List.of());
    }
    if (stations == null && query.key() != null) { // keys are indexed by station
      stations = plan.stations().all().stream().map(Coded::id).toList();
    }
    List<Long> characteristics = characteristics(plan, query);
    boolean possible = in("station_id", stations, where, values);
    possible &= in("characteristic_id", characteristics, where, values);
    if (query.instrument() != null) {
      possible &=
          one("instrument_id", id(plan.instruments().find(query.instrument())), where, values);
    }
    if (query.chart() != null) {
      possible &= one("chart_id", id(plan.charts().find(query.chart())), where, values);
    }
    return possible;
  }

  private static @Nullable List<Long> characteristics(Plan plan, ReadingQuery query) {
    if (query.characteristic() == null
        && query.component() == null
        && query.product() == null
        && query.chart() == null) {
      return null;
    }
    Optional<Long> charted =
        query.chart() == null
            ? Optional.empty()
            : plan.charts().find(query.chart()).map(Chart::characteristicId);
    List<Long> fitting = new ArrayList<>();
    for (Characteristic characteristic : plan.characteristics().all()) {
      boolean fits =
          query.characteristic() == null || characteristic.code().equals(query.characteristic());
      if (query.component() != null) {
        Optional<Long> component = id(plan.components().find(query.component()));
        fits &= component.isPresent() && component.get().equals(characteristic.componentId());
      }
      if (query.product() != null) {
        Optional<Long> product = id(plan.products().find(query.product()));
        fits &= product.isPresent() && product.get().equals(characteristic.productId());
      }
      fits &= charted.isEmpty() || charted.get().equals(characteristic.id());
      if (fits) {
        fitting.add(characteristic.id());
      }
    }
    return fitting;
  }

  private static void narrow(ReadingQuery query, List<String> where, Map<String, Object> values) {
    equal("die", query.die(), where, values);
    equal("lot", query.lot(), where, values);
    equal("sample", query.sample(), where, values);
    equal("operator", query.operator(), where, values);
    equal("item_label", query.item(), where, values);
    equal("item", query.item(), where, values);
    equal("truck", query.truck(), where, values);
    equal("leaf", query.leaf(), where, values);
    equal("event_key", query.key(), where, values);
    equal("phase", query.phase(), where, values);
    inForce("result", query.result(), where, values);
    inForce("direction", query.direction(), where, values);
    between("measured_at", query.measuredFrom(), query.measuredBefore(), where, values);
    between("recorded_at", query.recordedFrom(), query.recordedBefore(), where, values);
    if (query.standing() == null) {
      if (!voided(query)) {
        where.add("not " + uncounted("u.cause in ('VOIDED', 'REPLACED')"));
      }
      return;
    }
    where.add(STANDING);
    values.put("standing", query.standing().name());
    String earlier = causesBefore(query.standing(), voided(query));
    if (!earlier.isEmpty()) {
      where.add(
          "not exists (select 1 from uncounted e where e.reading_id = r.id"
              + " and e.until_version is null and e.cause in ("
              + earlier
              + "))");
    }
  }

  private static boolean voided(ReadingQuery query) {
    return Boolean.TRUE.equals(query.includeVoided());
  }

  /** The causes of which each reading shows one rather than this, as SQL lists them. */
  private static String causesBefore(Cause standing, boolean voided) {
    return Arrays.stream(Cause.values())
        .filter(cause -> cause.compareTo(standing) < 0)
        .filter(cause -> !voided || (cause != Cause.VOIDED && cause != Cause.REPLACED))
        .map(cause -> "'" + cause + "'")
        .collect(Collectors.joining(", "));
  }

  private static String uncounted(String which) {
    return "exists (select 1 from uncounted u where u.reading_id = r.id"
        + " and u.until_version is null and "
        + which
        + ")";
  }

  private static void inForce(
      String column, @Nullable Enum<?> wanted, List<String> where, Map<String, Object> values) {
    if (wanted != null) {
      where.add(
          "(case when exists (select 1"
              + LATER_RESULTS
              + ") then (select s."
              + column
              + LATER_RESULTS
              + " order by s.sequence desc fetch first 1 row only)"
              + " else r."
              + column
              + " end) = :"
              + column);
      values.put(column, wanted.name());
    }
  }

  private static void between(
      String column,
      @Nullable Instant from,
      @Nullable Instant before,
      List<String> where,
      Map<String, Object> values) {
    if (from != null) {
      where.add("r." + column + " >= :" + column + "_from");
      values.put(column + "_from", SqlTime.of(from));
    }
    if (before != null) {
      where.add("r." + column + " < :" + column + "_before");
      values.put(column + "_before", SqlTime.of(before));
    }
  }

  private static void equal(
      String column, @Nullable Object wanted, List<String> where, Map<String, Object> values) {
    equal(column, column, wanted, where, values);
  }

  private static void equal(
      String column,
      String name,
      @Nullable Object wanted,
      List<String> where,
      Map<String, Object> values) {
    if (wanted != null) {
      where.add("r." + column + " = :" + name);
      values.put(name, wanted instanceof Enum<?> named ? named.name() : wanted);
    }
  }

  private static boolean one(
      String column, Optional<Long> id, List<String> where, Map<String, Object> values) {
    id.ifPresent(found -> equal(column, found, where, values));
    return id.isPresent();
  }

  private static boolean in(
      String column,
      @Nullable Collection<Long> ids,
      List<String> where,
      Map<String, Object> values) {
    if (ids == null) {
      return true;
    }
    where.add("r." + column + " in (:" + column + "s)");
    values.put(column + "s", ids);
    return !ids.isEmpty();
  }

  private static Optional<Long> id(Optional<? extends Coded> found) {
    return found.map(Coded::id);
  }
}
