package org.tarebook.plant;

import java.sql.Types;
import java.time.Instant;
import java.util.List;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.storage.SqlTime;

/** Changes of shift calendars that cut readings again, in the database. */
@Repository
class ShiftCalendarChangeStore {

  private final JdbcClient jdbc;

  ShiftCalendarChangeStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  void insert(ShiftCalendarChange change) {
    jdbc.sql(
            "insert into shift_calendar_change (id, shift_calendar_id, action, reason, person,"
                + " recorded_at, cut_from, cut_before)"
                + " values (:id, :calendar, :action, :reason, :person, :recorded, :from, :before)")
        .param("id", change.id())
        .param("calendar", change.calendarId())
        .param("action", change.action().name())
        .param("reason", change.reason())
        .param("person", change.person())
        .param("recorded", SqlTime.of(change.recordedAt()))
        .param("from", SqlTime.of(change.cutFrom()))
        .param("before", SqlTime.ofNullable(change.cutBefore()), Types.TIMESTAMP_WITH_TIMEZONE)
        .update();
  }

  /** What has not counted so far counts from a version and moment on. */
  void settle(long version, Instant at) {
    jdbc.sql("update shift_calendar_change set version = ?, in_use_at = ? where version is null")
        .params(version, SqlTime.of(at))
        .update();
  }

  /** Every change, in the order in which they were made. */
  List<ShiftCalendarChange> all() {
    return jdbc.sql("select * from shift_calendar_change order by recorded_at, id")
        .query(
            (row, number) ->
                new ShiftCalendarChange(
                    row.getLong("id"),
                    row.getLong("shift_calendar_id"),
                    ShiftCalendarChange.Action.valueOf(row.getString("action")),
                    row.getString("reason"),
                    row.getString("person"),
                    SqlTime.get(row, "recorded_at"),
                    SqlTime.get(row, "cut_from"),
                    SqlTime.find(row, "cut_before"),
                    SqlTime.find(row, "in_use_at")))
        .list();
  }
}
