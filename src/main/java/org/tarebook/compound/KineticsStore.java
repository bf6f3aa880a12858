package org.tarebook.compound;

import java.math.BigDecimal;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.compound.KineticsRequest.StatedTime;
import org.tarebook.compound.RecordedKinetics.Energy;
import org.tarebook.compound.RecordedKinetics.UsedTime;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.SqlTime;

/** Kinetics in the database: added, never edited or deleted. */
@Component
class KineticsStore {

  private final JdbcClient jdbc;

  KineticsStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /** Adds a revision. */
  void add(RecordedKinetics kinetics) {
    KineticsRequest stated = kinetics.stated();
    Energy energy = kinetics.energy();
    KineticsRequest.Range range = stated.range();
    JdbcClient.StatementSpec insert =
        jdbc.sql(
                """
                insert into kinetics (id, compound_id, revision, fact_key, law,
                  reference_temperature, reference_temperature_unit, activation_energy,
                  activation_energy_unit, uncertainty, uncertainty_unit, energy, energy_error,
                  factor, per, per_unit, induction, induction_unit, t90, t90_unit, diffusivity,
                  diffusivity_unit, diffusivity_uncertainty, diffusivity_uncertainty_unit,
                  conductivity, conductivity_unit, lowest, highest, range_unit, trial, source, person,
                  recorded_at)
                values (:id, :compound, :revision, :key, :law,
                  :reference_temperature, :reference_temperature_unit, :activation_energy,
                  :activation_energy_unit, :uncertainty, :uncertainty_unit, :energy, :energyError,
                  :factor, :per, :per_unit, :induction, :induction_unit, :t90, :t90_unit,
                  :diffusivity, :diffusivity_unit, :diffusivity_uncertainty,
                  :diffusivity_uncertainty_unit, :conductivity, :conductivity_unit, :lowest,
                  :highest, :rangeUnit, :trial, :source, :person, :recordedAt)
                """)
            .param("id", kinetics.id())
            .param("compound", kinetics.compoundId())
            .param("revision", kinetics.revision())
            .param("key", stated.key())
            .param("law", stated.law().name())
            .param("energy", energy == null ? null : energy.joulesPerMole(), Types.DOUBLE)
            .param("energyError", energy == null ? null : energy.error(), Types.DOUBLE)
            .param("factor", stated.factor(), Types.NUMERIC)
            .param("lowest", range == null ? null : range.lowest(), Types.NUMERIC)
            .param("highest", range == null ? null : range.highest(), Types.NUMERIC)
            .param("rangeUnit", range == null ? null : range.unit(), Types.VARCHAR)
            .param("trial", stated.onTrial())
            .param("source", stated.source())
            .param("person", kinetics.person())
            .param("recordedAt", SqlTime.of(kinetics.recordedAt()));
    bind(insert, "reference_temperature", stated.referenceTemperature());
    bind(insert, "activation_energy", stated.activationEnergy());
    bind(insert, "uncertainty", stated.uncertainty());
    bind(insert, "per", stated.per());
    bind(insert, "induction", stated.induction());
    bind(insert, "t90", stated.t90());
    bind(insert, "diffusivity", stated.diffusivity());
    bind(insert, "diffusivity_uncertainty", stated.diffusivityUncertainty());
    bind(insert, "conductivity", stated.conductivity());
    insert.update();
    for (int place = 0; place < kinetics.used().size(); place++) {
      add(kinetics.id(), place, kinetics.used().get(place));
    }
  }

  private void add(long kinetics, int place, UsedTime time) {
    boolean stated = time.curve() == null;
    JdbcClient.StatementSpec insert =
        jdbc.sql(
                """
                insert into kinetics_cure_time
                  (kinetics_id, place, curve_id, temperature, temperature_unit, t90, t90_unit)
                values (:kinetics, :place, :curve, :temperature, :temperature_unit, :t90, :t90_unit)
                """)
            .param("kinetics", kinetics)
            .param("place", place)
            .param("curve", time.curve(), Types.BIGINT);
    bind(insert, "temperature", stated ? time.temperature() : null);
    bind(insert, "t90", stated ? time.t90() : null);
    insert.update();
  }

  /** The number of a compound's latest revision; 0 where it has none. */
  int latest(long compoundId) {
    return jdbc.sql("select coalesce(max(revision), 0) from kinetics where compound_id = ?")
        .param(compoundId)
        .query(Integer.class)
        .single();
  }

  /** The revisions of a compound, the first one first. */
  List<RecordedKinetics> of(long compoundId) {
    return found("compound_id = ? order by revision", compoundId);
  }

  Optional<RecordedKinetics> find(long id) {
    return found("id = ?", id).stream().findFirst();
  }

  Optional<RecordedKinetics> find(long compoundId, int revision) {
    return found("compound_id = ? and revision = ?", compoundId, revision).stream().findFirst();
  }

  /** The revision somebody sent under this key. */
  Optional<RecordedKinetics> find(String person, String key) {
    return found("person = ? and fact_key = ?", person, key).stream().findFirst();
  }

  private List<RecordedKinetics> found(String which, Object... values) {
    return jdbc.sql("select * from kinetics where " + which)
        .params(values)
        .query((row, number) -> kinetics(row))
        .list();
  }

  private RecordedKinetics kinetics(ResultSet row) throws SQLException {
    List<UsedTime> used = used(row.getLong("id"));
    double energy = row.getDouble("energy");
    boolean arrhenius = !row.wasNull();
    double error = row.getDouble("energy_error");
    @Nullable Double known = row.wasNull() ? null : error;
    return new RecordedKinetics(
        row.getLong("id"),
        row.getLong("compound_id"),
        row.getInt("revision"),
        stated(row, used),
        used,
        arrhenius ? new Energy(energy, known) : null,
        row.getString("person"),
        SqlTime.get(row, "recorded_at"));
  }

  private static KineticsRequest stated(ResultSet row, List<UsedTime> used) throws SQLException {
    List<StatedTime> times =
        used.stream()
            .filter(time -> time.curve() == null)
            .map(time -> new StatedTime(time.temperature(), time.t90()))
            .toList();
    List<String> curves =
        used.stream()
            .filter(time -> time.curve() != null)
            .map(time -> String.valueOf(time.curve()))
            .toList();
    String rangeUnit = row.getString("range_unit");
    return new KineticsRequest(
        row.getString("fact_key"),
        KineticsRequest.Law.valueOf(row.getString("law")),
        quantity(row, "reference_temperature"),
        optional(row, "activation_energy"),
        optional(row, "uncertainty"),
        times.isEmpty() ? null : times,
        curves.isEmpty() ? null : curves,
        row.getBigDecimal("factor") == null ? null : plain(row, "factor"),
        optional(row, "per"),
        optional(row, "induction"),
        optional(row, "t90"),
        quantity(row, "diffusivity"),
        quantity(row, "diffusivity_uncertainty"),
        quantity(row, "conductivity"),
        rangeUnit == null
            ? null
            : new KineticsRequest.Range(plain(row, "lowest"), plain(row, "highest"), rangeUnit),
        row.getBoolean("trial"),
        row.getString("source"));
  }

  private List<UsedTime> used(long kinetics) {
    return jdbc.sql(
            """
            select time.curve_id, curve.tc90,
              coalesce(time.temperature, curve.temperature) as temperature,
              coalesce(time.temperature_unit, curve.temperature_unit) as temperature_unit,
              time.t90, time.t90_unit
            from kinetics_cure_time time left join cure_meter_curve curve on curve.id = time.curve_id
            where time.kinetics_id = ? order by time.place
            """)
        .param(kinetics)
        .query(
            (row, number) -> {
              long curve = row.getLong("curve_id");
              boolean stated = row.wasNull();
              return new UsedTime(
                  quantity(row, "temperature"),
                  stated
                      ? quantity(row, "t90")
                      : new Quantity(BigDecimal.valueOf(row.getDouble("tc90")), Unit.MINUTE.code()),
                  stated ? null : curve);
            })
        .list();
  }

  private static void bind(
      JdbcClient.StatementSpec insert, String column, @Nullable Quantity quantity) {
    insert.param(column, quantity == null ? null : quantity.value(), Types.NUMERIC);
    insert.param(column + "_unit", quantity == null ? null : quantity.unit(), Types.VARCHAR);
  }

  private static @Nullable Quantity optional(ResultSet row, String column) throws SQLException {
    return row.getBigDecimal(column) == null ? null : quantity(row, column);
  }

  private static Quantity quantity(ResultSet row, String column) throws SQLException {
    return new Quantity(plain(row, column), row.getString(column + "_unit"));
  }

  /** Without the zeros the column pads it with. */
  private static BigDecimal plain(ResultSet row, String column) throws SQLException {
    return Decimals.plain(row.getBigDecimal(column));
  }
}
