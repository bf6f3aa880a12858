package org.tarebook.reading;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Coded;
import org.tarebook.spec.Characteristic;
import org.tarebook.storage.CatchUps;
import org.tarebook.storage.SqlTime;

/**
 * Searches the readings, a page at a time by measuring time and id. Each page costs one range of
 * the index that fits the narrowest filter: item, lot, characteristic, station or time.
 */
@Repository
class SearchStore {

  private static final String LATER_RESULTS =
      " from successor_result s where s.reading_id = r.id and " + CatchUps.counts("s");

  private final JdbcClient jdbc;

  SearchStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /** The reading behind which a page begins. */
  record Place(Instant measuredAt, long id) {}

  List<Reading> page(Plan plan, ReadingQuery query, @Nullable Place after, int limit) {
    List<String> where = new ArrayList<>();
    Map<String, Object> values = new LinkedHashMap<>();
    if (!narrowByPlan(plan, query, where, values)) {
      return List.of();
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
    String order = query.descending() ? " desc" : "";
    values.put("limit", limit);
    return jdbc.sql(
            "select "
                + ReadingStore.COLUMNS
                + " from reading r"
                + (where.isEmpty() ? "" : " where " + String.join(" and ", where))
                + " order by r.measured_at"
                + order
                + ", r.id"
                + order
                + " fetch first :limit rows only")
        .params(values)
        .query((row, number) -> ReadingStore.read(row))
        .list();
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
    if (query.characteristic() == null && query.component() == null && query.product() == null) {
      return null;
    }
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
      if (fits) {
        fitting.add(characteristic.id());
      }
    }
    return fitting;
  }

  private static void narrow(ReadingQuery query, List<String> where, Map<String, Object> values) {
    equal("die", query.die(), where, values);
    equal("lot", query.lot(), where, values);
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
    if (query.standing() != null) {
      where.add(uncounted("u.cause = :standing"));
      values.put("standing", query.standing().name());
    } else if (!Boolean.TRUE.equals(query.includeVoided())) {
      where.add("not " + uncounted("u.cause in ('VOIDED', 'REPLACED')"));
    }
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
    if (wanted != null) {
      where.add("r." + column + " = :" + column);
      values.put(column, wanted instanceof Enum<?> named ? named.name() : wanted);
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
