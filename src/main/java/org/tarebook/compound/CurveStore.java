package org.tarebook.compound;

import java.math.BigDecimal;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.compound.CurveRequest.Series;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Decimals;
import org.tarebook.storage.SqlTime;
import org.tarebook.thermal.CureMeter;

/** Cure-meter curves in the database: added, never edited or deleted. */
@Component
class CurveStore {

  private static final String FIGURES =
      "id, compound_id, fact_key, temperature, temperature_unit, time_unit, torque_unit, lot,"
          + " measured_at, source, ml, mh, ts1, ts2, tc10, tc50, tc90, reversion, marching,"
          + " posted_by, recorded_at";
  private static final String WHOLE = FIGURES + ", times, torques";
  private static final String WITHOUT_POINTS = FIGURES + ", '' as times, '' as torques";

  private final JdbcClient jdbc;

  CurveStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /** Adds a curve. */
  void add(Curve curve) {
    CurveRequest sent = curve.sent();
    CureMeter figures = curve.figures();
    jdbc.sql(
            """
            insert into cure_meter_curve (id, compound_id, fact_key, temperature, temperature_unit,
              time_unit, times, torque_unit, torques, lot, measured_at, source, ml, mh, ts1, ts2,
              tc10, tc50, tc90, reversion, marching, posted_by, recorded_at)
            values (:id, :compound, :key, :temperature, :temperatureUnit,
              :timeUnit, :times, :torqueUnit, :torques, :lot, :measuredAt, :source, :ml, :mh, :ts1,
              :ts2, :tc10, :tc50, :tc90, :reversion, :marching, :postedBy, :recordedAt)
            """)
        .param("id", curve.id())
        .param("compound", curve.compoundId())
        .param("key", sent.key())
        .param("temperature", sent.temperature().value())
        .param("temperatureUnit", sent.temperature().unit())
        .param("timeUnit", sent.time().unit())
        .param("times", text(sent.time()))
        .param("torqueUnit", sent.torque().unit())
        .param("torques", text(sent.torque()))
        .param("lot", sent.lot())
        .param("measuredAt", SqlTime.of(sent.measuredAt()))
        .param("source", sent.source())
        .param("ml", figures.ml())
        .param("mh", figures.mh(), Types.DOUBLE)
        .param("ts1", figures.ts1(), Types.DOUBLE)
        .param("ts2", figures.ts2(), Types.DOUBLE)
        .param("tc10", figures.tc10(), Types.DOUBLE)
        .param("tc50", figures.tc50(), Types.DOUBLE)
        .param("tc90", figures.tc90(), Types.DOUBLE)
        .param("reversion", figures.reversionPercent(), Types.DOUBLE)
        .param("marching", figures.marching())
        .param("postedBy", curve.postedBy())
        .param("recordedAt", SqlTime.of(curve.recordedAt()))
        .update();
  }

  Optional<Curve> find(long id) {
    return found(WHOLE, "id = ?", id).stream().findFirst();
  }

  /** The curve somebody sent under this key. */
  Optional<Curve> find(String postedBy, String key) {
    return found(WHOLE, "posted_by = ? and fact_key = ?", postedBy, key).stream().findFirst();
  }

  /**
   * Curves of a compound, without their points, behind a place in the list, the newest first.
   *
   * @param at the list goes on behind the curve measured at this moment with the id {@code id}
   */
  List<Curve> page(long compoundId, Instant at, long id, int limit) {
    return found(
        WITHOUT_POINTS,
        "compound_id = ? and measured_at <= ? and (measured_at < ? or id < ?)"
            + " order by compound_id desc, measured_at desc, id desc fetch first ? rows only",
        compoundId,
        SqlTime.of(at),
        SqlTime.of(at),
        id,
        limit);
  }

  private List<Curve> found(String columns, String which, Object... values) {
    return jdbc.sql("select " + columns + " from cure_meter_curve where " + which)
        .params(values)
        .query((row, number) -> curve(row))
        .list();
  }

  private static Curve curve(ResultSet row) throws SQLException {
    return new Curve(
        row.getLong("id"),
        row.getLong("compound_id"),
        new CurveRequest(
            row.getString("fact_key"),
            new Quantity(
                Decimals.plain(row.getBigDecimal("temperature")),
                row.getString("temperature_unit")),
            new Series(numbers(row.getString("times")), row.getString("time_unit")),
            new Series(numbers(row.getString("torques")), row.getString("torque_unit")),
            row.getString("lot"),
            SqlTime.get(row, "measured_at"),
            row.getString("source")),
        new CureMeter(
            row.getDouble("ml"),
            optional(row, "mh"),
            optional(row, "ts1"),
            optional(row, "ts2"),
            optional(row, "tc10"),
            optional(row, "tc50"),
            optional(row, "tc90"),
            optional(row, "reversion"),
            row.getBoolean("marching")),
        row.getString("posted_by"),
        SqlTime.get(row, "recorded_at"));
  }

  private static @Nullable Double optional(ResultSet row, String column) throws SQLException {
    double figure = row.getDouble(column);
    return row.wasNull() ? null : figure;
  }

  private static String text(Series series) {
    return series.values().stream().map(CurveStore::asKept).collect(Collectors.joining(" "));
  }

  /** With the decimals that were shown, up to those that are kept. */
  private static String asKept(BigDecimal value) {
    return (value.scale() > Decimals.MOST_DECIMALS ? value.setScale(Decimals.MOST_DECIMALS) : value)
        .toPlainString();
  }

  private static List<BigDecimal> numbers(String text) {
    return text.isEmpty()
        ? List.of()
        : Arrays.stream(text.split(" ")).map(BigDecimal::new).toList();
  }
}
