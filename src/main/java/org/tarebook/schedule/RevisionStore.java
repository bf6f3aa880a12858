package org.tarebook.schedule;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.List;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.storage.SqlTime;
import tools.jackson.databind.json.JsonMapper;

/** Revisions of schedules in the database. */
@Component
class RevisionStore {

  private final JdbcClient jdbc;
  private final JsonMapper json;

  RevisionStore(JdbcClient jdbc, JsonMapper json) {
    this.jdbc = jdbc;
    this.json = json;
  }

  List<ScheduleRevision> of(long scheduleId) {
    return jdbc.sql("select * from cure_schedule_revision where schedule_id = ? order by revision")
        .param(scheduleId)
        .query(this::revision)
        .list();
  }

  ScheduleRevision byId(long id) {
    return jdbc.sql("select * from cure_schedule_revision where id = ?")
        .param(id)
        .query(this::revision)
        .single();
  }

  /** The number of a revision, without reading its definition. */
  int number(long id) {
    return jdbc.sql("select revision from cure_schedule_revision where id = ?")
        .param(id)
        .query(Integer.class)
        .single();
  }

  /** Keeps others from recording or withdrawing revisions of a schedule until the end. */
  void lock(long scheduleId) {
    jdbc.sql("select id from cure_schedule where id = ? for update")
        .param(scheduleId)
        .query(Long.class)
        .single();
  }

  void add(ScheduleRevision fresh) {
    jdbc.sql(
            """
            insert into cure_schedule_revision (id, schedule_id, revision, fact_key, valid_from,
              definition, reason, doubt_reason, person, recorded_at)
            values (:id, :schedule, :revision, :key, :from, :definition, :reason, :doubt, :person, :at)
            """)
        .param("id", fresh.id())
        .param("schedule", fresh.scheduleId())
        .param("revision", fresh.revision())
        .param("key", fresh.key())
        .param("from", SqlTime.of(fresh.validFrom()))
        .param("definition", json.writeValueAsString(fresh.definition()))
        .param("reason", fresh.reason())
        .param("doubt", fresh.doubtReason(), Types.VARCHAR)
        .param("person", fresh.person())
        .param("at", SqlTime.of(fresh.recordedAt()))
        .update();
  }

  void withdraw(long id, ScheduleRevision.Withdrawal withdrawal) {
    jdbc.sql(
            "update cure_schedule_revision set withdrawn_at = ?, withdrawn_by = ?,"
                + " withdrawn_reason = ? where id = ?")
        .param(SqlTime.of(withdrawal.at()))
        .param(withdrawal.person())
        .param(withdrawal.reason())
        .param(id)
        .update();
  }

  private ScheduleRevision revision(ResultSet row, int number) throws SQLException {
    Instant withdrawnAt = SqlTime.find(row, "withdrawn_at");
    return new ScheduleRevision(
        row.getLong("id"),
        row.getLong("schedule_id"),
        row.getInt("revision"),
        row.getString("fact_key"),
        SqlTime.get(row, "valid_from"),
        json.readValue(row.getString("definition"), ScheduleDefinition.class),
        row.getString("reason"),
        row.getString("doubt_reason"),
        row.getString("person"),
        SqlTime.get(row, "recorded_at"),
        withdrawnAt == null
            ? null
            : new ScheduleRevision.Withdrawal(
                withdrawnAt, row.getString("withdrawn_by"), row.getString("withdrawn_reason")));
  }
}
