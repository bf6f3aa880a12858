package org.tarebook.compound;

import java.math.BigDecimal;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.http.Bodies;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Component;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.Ids;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Transactions;
import org.tarebook.thermal.CureMeter;
import org.tarebook.thermal.CureTime;
import tools.jackson.core.type.TypeReference;
import tools.jackson.databind.json.JsonMapper;

/** Cure-meter curves of compounds: added, never edited. */
@Service
class CureMeterCurves {

  private static final TypeReference<List<Point>> POINTS = new TypeReference<>() {};

  private final JdbcClient jdbc;
  private final Transactions transactions;
  private final Bodies bodies;
  private final JsonMapper json;
  private final Ids ids;
  private final Clock clock;

  CureMeterCurves(
      JdbcClient jdbc,
      Transactions transactions,
      Bodies bodies,
      JsonMapper json,
      Ids ids,
      Clock clock) {
    this.jdbc = jdbc;
    this.transactions = transactions;
    this.bodies = bodies;
    this.json = json;
    this.ids = ids;
    this.clock = clock;
  }

  /** One point of a curve: minutes and dN m. */
  @io.swagger.v3.oas.annotations.media.Schema(name = "CurvePoint")
  record Point(
      @jakarta.validation.constraints.NotNull BigDecimal minutes,
      @jakarta.validation.constraints.NotNull BigDecimal torque) {}

  /** A curve somebody posts. */
  record Posted(
      String key,
      Quantity temperature,
      @Nullable String lot,
      Instant measuredAt,
      List<Point> points,
      String source) {}

  /** A curve on record. */
  record Curve(long id, long componentId, Posted posted, String postedBy, Instant recordedAt) {
    CureMeter figures() {
      return CureMeterCurves.figures(posted.points());
    }
  }

  /** A curve, and whether it was on record before. */
  record Outcome(Curve curve, boolean replayed) {}

  static CureMeter figures(List<Point> points) {
    try {
      return CureMeter.of(
          points.stream().mapToDouble(point -> point.minutes().doubleValue()).toArray(),
          points.stream().mapToDouble(point -> point.torque().doubleValue()).toArray());
    } catch (IllegalArgumentException refused) {
      throw Problem.at(ProblemType.RULE_BROKEN, "/points", String.valueOf(refused.getMessage()));
    }
  }

  Outcome record(Component compound, Posted posted, Actor actor) {
    figures(posted.points());
    posted.temperature().in(Unit.CELSIUS, "/temperature");
    return transactions.write(
        () -> {
          Optional<Curve> stored =
              found("posted_by = ? and fact_key = ?", actor.name(), posted.key()).stream()
                  .findFirst();
          if (stored.isPresent()) {
            List<String> differing = bodies.differences(posted, stored.get().posted());
            if (!differing.isEmpty() || stored.get().componentId() != compound.id()) {
              throw new Problem(
                  ProblemType.KEY_REUSED,
                  "The key "
                      + posted.key()
                      + " names curve "
                      + stored.get().id()
                      + ", which differs in "
                      + (differing.isEmpty() ? "its compound" : String.join(", ", differing))
                      + "; a new curve needs a new key.");
            }
            return new Outcome(stored.get(), true);
          }
          Curve curve = new Curve(ids.next(), compound.id(), posted, actor.name(), clock.instant());
          add(curve);
          return new Outcome(curve, false);
        });
  }

  /** The curves of a compound, the earliest measured first. */
  List<Curve> of(Component compound) {
    return found("component_id = ? order by measured_at, id", compound.id());
  }

  Optional<Curve> find(Component compound, long id) {
    return found("component_id = ? and id = ?", compound.id(), id).stream().findFirst();
  }

  /** The tc90 of a curve a request names. */
  CureTime cureTime(String id, String pointer) {
    Optional<Curve> found =
        id.matches("[0-9]{1,18}")
            ? found("id = ?", Long.parseLong(id)).stream().findFirst()
            : Optional.empty();
    Curve curve = found.orElseThrow(() -> Problem.unknownCode(pointer, "cure-meter curve", id));
    Double tc90 = curve.figures().tc90();
    if (tc90 == null) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, pointer, "curve " + id + " has no tc90: its torque never rises");
    }
    return new CureTime(curve.posted().temperature().in(Unit.CELSIUS), tc90);
  }

  private void add(Curve curve) {
    Posted posted = curve.posted();
    jdbc.sql(
            """
            insert into cure_meter_curve (id, component_id, fact_key, temperature,
              temperature_unit, lot, measured_at, source, points, posted_by, recorded_at)
            values (:id, :component, :key, :temperature, :unit, :lot, :measured, :source, :points,
              :by, :at)
            """)
        .param("id", curve.id())
        .param("component", curve.componentId())
        .param("key", posted.key())
        .param("temperature", posted.temperature().value())
        .param("unit", posted.temperature().unit())
        .param("lot", posted.lot(), Types.VARCHAR)
        .param("measured", SqlTime.of(posted.measuredAt()))
        .param("source", posted.source())
        .param("points", json.writeValueAsString(posted.points()))
        .param("by", curve.postedBy())
        .param("at", SqlTime.of(curve.recordedAt()))
        .update();
  }

  private List<Curve> found(String where, Object... values) {
    return jdbc.sql("select * from cure_meter_curve where " + where)
        .params(values)
        .query(this::curve)
        .list();
  }

  private Curve curve(ResultSet row, int number) throws SQLException {
    BigDecimal temperature = row.getBigDecimal("temperature").stripTrailingZeros();
    return new Curve(
        row.getLong("id"),
        row.getLong("component_id"),
        new Posted(
            row.getString("fact_key"),
            new Quantity(
                temperature.scale() < 0 ? temperature.setScale(0) : temperature,
                row.getString("temperature_unit")),
            row.getString("lot"),
            SqlTime.get(row, "measured_at"),
            json.readValue(row.getString("points"), POINTS),
            row.getString("source")),
        row.getString("posted_by"),
        SqlTime.get(row, "recorded_at"));
  }
}
