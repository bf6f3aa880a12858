package org.tarebook.check;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.storage.SqlTime;

/** Checks and doubts in the database. */
@Component
class CheckStore {

  private final JdbcClient jdbc;

  CheckStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /** The doubts of instruments, the earliest first. */
  Map<Long, List<Doubt>> doubts(Collection<Long> instrumentIds) {
    Map<Long, List<Doubt>> doubts = new HashMap<>();
    jdbc.sql(
            """
            select instrument_id, failed_check_id, suspect_from, failed_at, right_check_id, right_at
            from doubt where instrument_id in (:ids)
            order by instrument_id, failed_at, failed_check_id
            """)
        .param("ids", instrumentIds)
        .query(
            row -> {
              doubts
                  .computeIfAbsent(row.getLong("instrument_id"), id -> new ArrayList<>())
                  .add(doubt(row));
            });
    return doubts;
  }

  /** When each instrument was last known to be right; none for one that never was. */
  Map<Long, Instant> lastRight(Collection<Long> instrumentIds) {
    Map<Long, Instant> moments = new HashMap<>();
    jdbc.sql(
            """
            select i.id, (
              select c.checked_at from instrument_check c
              where c.instrument_id = i.id and coalesce(c.as_left_result, c.as_found_result) = 'PASS'
              order by c.instrument_id desc, c.checked_at desc, c.id desc
              fetch first 1 rows only) as right_at
            from instrument i where i.id in (:ids)
            """)
        .param("ids", instrumentIds)
        .query(
            row -> {
              Instant at = SqlTime.find(row, "right_at");
              if (at != null) {
                moments.put(row.getLong("id"), at);
              }
            });
    return moments;
  }

  private static Doubt doubt(ResultSet row) throws SQLException {
    return new Doubt(
        row.getLong("failed_check_id"),
        SqlTime.get(row, "suspect_from"),
        SqlTime.get(row, "failed_at"),
        row.getObject("right_check_id", Long.class),
        SqlTime.find(row, "right_at"));
  }
}
