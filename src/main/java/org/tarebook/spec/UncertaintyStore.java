package org.tarebook.spec;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.SqlTime;
import tools.jackson.databind.json.JsonMapper;

/**
 * Measuring uncertainties and their withdrawals in the database: added, never edited or deleted.
 */
@Repository
class UncertaintyStore {

  private static final String SELECT =
      """
      select u.id, u.station_id, u.characteristic_id, u.revision, u.fact_key, u.valid_from,
        u.expanded_uncertainty, u.unit, u.coverage_factor, u.basis,
        case when u.study is null then 0 else 1 end as from_study, u.person, u.recorded_at,
        w.reason as withdrawn_reason, w.person as withdrawn_by, w.recorded_at as withdrawn_at
      from measuring_uncertainty u
      left join measuring_uncertainty_withdrawal w on w.uncertainty_id = u.id
      """;

  private final JdbcClient jdbc;
  private final JsonMapper json;

  UncertaintyStore(JdbcClient jdbc, JsonMapper json) {
    this.jdbc = jdbc;
    this.json = json;
  }

  List<MeasuringUncertainty> every() {
    return jdbc.sql(SELECT).query(UncertaintyStore::read).list();
  }

  List<MeasuringUncertainty> of(long characteristicId) {
    return jdbc.sql(SELECT + " where u.characteristic_id = ? order by u.revision")
        .param(characteristicId)
        .query(UncertaintyStore::read)
        .list();
  }

  Optional<MeasuringUncertainty> find(long id) {
    return jdbc.sql(SELECT + " where u.id = ?").param(id).query(UncertaintyStore::read).optional();
  }

  /** The one somebody sent under this key. */
  Optional<MeasuringUncertainty> find(String person, String key) {
    return jdbc.sql(SELECT + " where u.person = ? and u.fact_key = ?")
        .param(person)
        .param(key)
        .query(UncertaintyStore::read)
        .optional();
  }

  /** A page in the order of ids, narrowed where a station or characteristic is given. */
  List<MeasuringUncertainty> page(
      @Nullable String station, @Nullable String characteristic, long behind, int limit) {
    return jdbc.sql(
            SELECT
                + " where u.id > :behind"
                + (station == null
                    ? ""
                    : " and u.station_id = (select s.id from station s where s.code = :station)")
                + (characteristic == null
                    ? ""
                    : " and u.characteristic_id = (select c.id from characteristic c"
                        + " where c.code = :characteristic)")
                + " order by u.id fetch first :limit rows only")
        .param("behind", behind)
        .param("station", station)
        .param("characteristic", characteristic)
        .param("limit", limit)
        .query(UncertaintyStore::read)
        .list();
  }

  /** The study one was computed from. */
  Optional<CrossedReadings> study(long id) {
    return jdbc.sql("select study from measuring_uncertainty where id = ? and study is not null")
        .param(id)
        .query(String.class)
        .optional()
        .map(text -> json.readValue(text, CrossedReadings.class));
  }

  void add(MeasuringUncertainty fresh, @Nullable CrossedReadings study) {
    jdbc.sql(
            """
            insert into measuring_uncertainty (id, station_id, characteristic_id, revision, fact_key,
              valid_from, expanded_uncertainty, unit, coverage_factor, basis, study, person,
              recorded_at)
            values (:id, :station, :characteristic, :revision, :key,
              :from, :expanded, :unit, :factor, :basis, :study, :person, :at)
            """)
        .param("id", fresh.id())
        .param("station", fresh.stationId())
        .param("characteristic", fresh.characteristicId())
        .param("revision", fresh.revision())
        .param("key", fresh.key())
        .param("from", SqlTime.of(fresh.validFrom()))
        .param("expanded", fresh.expanded())
        .param("unit", fresh.unit().code())
        .param("factor", fresh.coverageFactor())
        .param("basis", fresh.basis())
        .param("study", study == null ? null : json.writeValueAsString(study), Types.VARCHAR)
        .param("person", fresh.person())
        .param("at", SqlTime.of(fresh.recordedAt()))
        .update();
  }

  void withdraw(long id, MeasuringUncertainty.Withdrawal withdrawal) {
    jdbc.sql(
            "insert into measuring_uncertainty_withdrawal (uncertainty_id, reason, person,"
                + " recorded_at) values (?, ?, ?, ?)")
        .param(id)
        .param(withdrawal.reason())
        .param(withdrawal.person())
        .param(SqlTime.of(withdrawal.recordedAt()))
        .update();
  }

  private static MeasuringUncertainty read(ResultSet row, int number) throws SQLException {
    String withdrawnReason = row.getString("withdrawn_reason");
    return new MeasuringUncertainty(
        row.getLong("id"),
        row.getLong("station_id"),
        row.getLong("characteristic_id"),
        row.getInt("revision"),
        row.getString("fact_key"),
        SqlTime.get(row, "valid_from"),
        Decimals.plain(row.getBigDecimal("expanded_uncertainty")),
        Unit.of(row.getString("unit")),
        Decimals.plain(row.getBigDecimal("coverage_factor")),
        row.getString("basis"),
        row.getInt("from_study") == 1,
        row.getString("person"),
        SqlTime.get(row, "recorded_at"),
        withdrawnReason == null
            ? null
            : new MeasuringUncertainty.Withdrawal(
                withdrawnReason, row.getString("withdrawn_by"), SqlTime.get(row, "withdrawn_at")));
  }
}
