package org.tarebook.check;

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
import org.tarebook.quantity.Unit;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/** Checks in the database: added, never edited or deleted. */
@Component
class CheckStore {

  private static final String COLUMNS =
      "select c.*, v.fact_key as voiding_key, v.reason as voiding_reason, v.person as voided_by,"
          + " v.recorded_at as voided_at";
  private static final String VOIDING = " left join check_voiding v on v.check_id = c.id where ";
  private static final String SELECT = COLUMNS + " from instrument_check c" + VOIDING;

  private final JdbcClient jdbc;
  private final Vendor vendor;

  CheckStore(JdbcClient jdbc, Vendor vendor) {
    this.jdbc = jdbc;
    this.vendor = vendor;
  }

  /** Adds a check. */
  void add(InstrumentCheck check) {
    InstrumentCheck.Posted posted = check.posted();
    jdbc.sql(
            """
            insert into instrument_check (id, instrument_id, fact_key, checked_at, recorded_at,
              standard, certificate, standard_value, unit, as_found, as_left, on_verification,
              permissible_error, permissible_error_unit, limit_from, as_found_result,
              as_left_result, note, posted_by)
            values (:id, :instrument, :key, :checkedAt, :recordedAt,
              :standard, :certificate, :standardValue, :unit, :asFound, :asLeft, :onVerification,
              :error, :errorUnit, :limitFrom, :asFoundResult, :asLeftResult, :note, :postedBy)
            """)
        .param("id", check.id())
        .param("instrument", check.instrument())
        .param("key", posted.key())
        .param("checkedAt", SqlTime.of(posted.checkedAt()))
        .param("recordedAt", SqlTime.of(check.recordedAt()))
        .param("standard", posted.standard())
        .param("certificate", posted.certificate())
        .param("standardValue", posted.standardValue())
        .param("unit", posted.unit().code())
        .param("asFound", text(posted.asFound()), Types.VARCHAR)
        .param("asLeft", text(posted.asLeft()), Types.VARCHAR)
        .param("onVerification", posted.onVerification())
        .param("error", check.limit().value())
        .param("errorUnit", check.limit().unit().code())
        .param("limitFrom", check.limit().from())
        .param("asFoundResult", name(check.asFound()), Types.VARCHAR)
        .param("asLeftResult", name(check.asLeft()), Types.VARCHAR)
        .param("note", posted.note(), Types.VARCHAR)
        .param("postedBy", check.postedBy())
        .update();
  }

  /** The check with this id. */
  Optional<InstrumentCheck> find(long id) {
    return jdbc.sql(SELECT + "c.id = ?").param(id).query((row, number) -> check(row)).optional();
  }

  /** The check somebody sent under this key. */
  Optional<InstrumentCheck> find(String postedBy, String key) {
    return jdbc.sql(SELECT + "c.posted_by = ? and c.fact_key = ?")
        .param(postedBy)
        .param(key)
        .query((row, number) -> check(row))
        .optional();
  }

  /** The check somebody voided under this key. */
  Optional<InstrumentCheck> findVoided(String person, String key) {
    return jdbc.sql(SELECT + "v.person = ? and v.fact_key = ?")
        .param(person)
        .param(key)
        .query((row, number) -> check(row))
        .optional();
  }

  /** Adds that a check is void. */
  void addVoiding(long checkId, InstrumentCheck.Voiding voiding) {
    jdbc.sql(
            "insert into check_voiding (check_id, fact_key, reason, person, recorded_at)"
                + " values (?, ?, ?, ?, ?)")
        .params(
            checkId,
            voiding.key(),
            voiding.reason(),
            voiding.person(),
            SqlTime.of(voiding.recordedAt()))
        .update();
  }

  /** What all checks of an instrument that stand say of it. */
  List<CheckOutcome> outcomes(long instrumentId) {
    return jdbc.sql(
            """
            select id, checked_at, as_found_result, as_left_result
            from instrument_check c where instrument_id = ?
            and not exists (select 1 from check_voiding v where v.check_id = c.id)
            """)
        .param(instrumentId)
        .query(
            (row, number) ->
                new CheckOutcome(
                    row.getLong("id"),
                    SqlTime.get(row, "checked_at"),
                    result(row, "as_found_result"),
                    result(row, "as_left_result")))
        .list();
  }

  /**
   * The checks of an instrument in a window that stand and looked at it as found, in the order of
   * time.
   */
  List<InstrumentCheck> asFound(long instrumentId, Instant from, Instant before) {
    return jdbc.sql(
            SELECT
                + "c.instrument_id = :instrument and c.checked_at >= :from"
                + " and c.checked_at < :before and c.as_found is not null and v.check_id is null"
                + " order by c.checked_at, c.id")
        .param("instrument", instrumentId)
        .param("from", SqlTime.of(from))
        .param("before", SqlTime.of(before))
        .query((row, number) -> check(row))
        .list();
  }

  /**
   * Checks after a place in the list, the newest first.
   *
   * @param instrumentId all instruments where absent
   * @param from not made before this moment
   * @param recordedFrom not recorded before this moment; any where absent
   * @param recordedBefore recorded before this moment; any where absent
   * @param at the list goes on after the check made at this moment with the id {@code id}
   */
  List<InstrumentCheck> page(
      @Nullable Long instrumentId,
      Instant from,
      @Nullable Instant recordedFrom,
      @Nullable Instant recordedBefore,
      Instant at,
      long id,
      int limit) {
    String index = vendor == Vendor.H2 ? " use index (ix_instrument_check_instrument)" : "";
    return jdbc.sql(
            COLUMNS
                + " from instrument_check c"
                + (instrumentId == null ? "" : index) // or H2 takes the one of the foreign key
                + VOIDING
                + "c.checked_at >= :from and c.checked_at <= :at"
                + " and (c.checked_at < :at or c.id < :id)"
                + (instrumentId == null ? "" : " and c.instrument_id = :instrument")
                + (recordedFrom == null ? "" : " and c.recorded_at >= :recordedFrom")
                + (recordedBefore == null ? "" : " and c.recorded_at < :recordedBefore")
                + " order by "
                + (instrumentId == null ? "" : "c.instrument_id desc, ")
                + "c.checked_at desc, c.id desc fetch first :limit rows only")
        .param("from", SqlTime.of(from))
        .param("at", SqlTime.of(at))
        .param("id", id)
        .param("instrument", instrumentId, Types.BIGINT)
        .param("recordedFrom", SqlTime.ofNullable(recordedFrom), Types.TIMESTAMP_WITH_TIMEZONE)
        .param("recordedBefore", SqlTime.ofNullable(recordedBefore), Types.TIMESTAMP_WITH_TIMEZONE)
        .param("limit", limit)
        .query((row, number) -> check(row))
        .list();
  }

  private static InstrumentCheck check(ResultSet row) throws SQLException {
    return new InstrumentCheck(
        row.getLong("id"),
        row.getLong("instrument_id"),
        new InstrumentCheck.Posted(
            row.getString("fact_key"),
            SqlTime.get(row, "checked_at"),
            row.getString("standard"),
            row.getString("certificate"),
            row.getBigDecimal("standard_value"),
            Unit.of(row.getString("unit")),
            numbers(row.getString("as_found")),
            numbers(row.getString("as_left")),
            row.getBoolean("on_verification"),
            row.getString("note")),
        new PermissibleError(
            row.getBigDecimal("permissible_error"),
            Unit.of(row.getString("permissible_error_unit")),
            row.getString("limit_from")),
        result(row, "as_found_result"),
        result(row, "as_left_result"),
        SqlTime.get(row, "recorded_at"),
        row.getString("posted_by"),
        row.getString("voiding_key") == null
            ? null
            : new InstrumentCheck.Voiding(
                row.getString("voiding_key"),
                row.getString("voiding_reason"),
                row.getString("voided_by"),
                SqlTime.get(row, "voided_at")));
  }

  private static @Nullable CheckResult result(ResultSet row, String column) throws SQLException {
    String name = row.getString(column);
    return name == null ? null : CheckResult.valueOf(name);
  }

  private static @Nullable String name(@Nullable CheckResult result) {
    return result == null ? null : result.name();
  }

  private static @Nullable String text(List<BigDecimal> indications) {
    return indications.isEmpty()
        ? null
        : indications.stream().map(BigDecimal::toPlainString).collect(Collectors.joining(" "));
  }

  private static List<BigDecimal> numbers(@Nullable String text) {
    return text == null ? List.of() : Arrays.stream(text.split(" ")).map(BigDecimal::new).toList();
  }
}
