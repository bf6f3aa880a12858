package org.tarebook.reading;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.List;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.storage.SqlTime;

/** Amendments in the database: added, never edited or deleted. */
@Repository
class AmendmentStore {

  private static final String SELECT =
      "select id, reading_id, kind, replacement_id, fact_key, reason, person, recorded_at"
          + " from amendment where ";

  private final JdbcClient jdbc;

  AmendmentStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  void insert(Amendment amendment) {
    jdbc.sql(
            "insert into amendment (id, reading_id, kind, replacement_id, fact_key, reason, person,"
                + " recorded_at) values (?, ?, ?, ?, ?, ?, ?, ?)")
        .param(1, amendment.id())
        .param(2, amendment.readingId())
        .param(3, amendment.kind().name())
        .param(4, amendment.replacementId(), Types.BIGINT)
        .param(5, amendment.key())
        .param(6, amendment.reason())
        .param(7, amendment.person())
        .param(8, SqlTime.of(amendment.recordedAt()))
        .update();
  }

  /** The amendments of a reading: one, or none. */
  List<Amendment> of(long readingId) {
    return jdbc.sql(SELECT + "reading_id = ?").param(readingId).query(AmendmentStore::read).list();
  }

  /** What a person recorded under a key: one, or none. */
  List<Amendment> byKey(String person, String key) {
    return jdbc.sql(SELECT + "person = ? and fact_key = ?")
        .params(person, key)
        .query(AmendmentStore::read)
        .list();
  }

  /**
   * Amendments of all readings in the order they were recorded, after the one with the id {@code
   * id} that was recorded at {@code at}.
   */
  List<Amendment> page(Instant from, Instant before, Instant at, long id, int limit) {
    return jdbc.sql(
            SELECT
                + "recorded_at >= :from and recorded_at < :before and recorded_at >= :at"
                + " and (recorded_at > :at or id > :id)"
                + " order by recorded_at, id fetch first :limit rows only")
        .param("from", SqlTime.of(from))
        .param("before", SqlTime.of(before))
        .param("at", SqlTime.of(at))
        .param("id", id)
        .param("limit", limit)
        .query(AmendmentStore::read)
        .list();
  }

  /**
   * The standing readings that bear no name of their own and measure again what an event measured
   * first, in order.
   */
  List<Reading> findUnnamed(long rootEventId, long characteristicId) {
    return jdbc.sql(
            "select "
                + ReadingStore.COLUMNS
                + " from reading r where r.root_event_id = ? and r.root_event_id <> r.event_id"
                + " and r.characteristic_id = ? and r.item_label is null"
                + " and r.remeasures_key is not null"
                + " and not exists (select 1 from amendment a where a.reading_id = r.id)"
                + " order by r.root_event_id, r.measured_at, r.id")
        .params(rootEventId, characteristicId)
        .query((row, number) -> ReadingStore.read(row))
        .list();
  }

  private static Amendment read(ResultSet row, int number) throws SQLException {
    return new Amendment(
        row.getLong("id"),
        row.getLong("reading_id"),
        Amendment.Kind.valueOf(row.getString("kind")),
        row.getObject("replacement_id", Long.class),
        row.getString("fact_key"),
        row.getString("reason"),
        row.getString("person"),
        SqlTime.get(row, "recorded_at"));
  }
}
