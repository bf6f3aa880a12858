package org.tarebook.check;

import java.sql.Types;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.plant.Instrument;
import org.tarebook.storage.SqlTime;

/** Doubts in the database, and the last moment each instrument was known to be right. */
@Component
class DoubtStore {

  private final JdbcClient jdbc;

  DoubtStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /** The doubts of one instrument. */
  Doubts of(Instrument instrument) {
    return Objects.requireNonNull(doubts(List.of(instrument.id())).get(instrument.id()));
  }

  /** The doubts of instruments, for every id given. */
  Map<Long, Doubts> doubts(Collection<Long> instrumentIds) {
    Map<Long, List<Doubt>> found = new HashMap<>();
    instrumentIds.forEach(id -> found.put(id, new ArrayList<>()));
    if (!instrumentIds.isEmpty()) {
      jdbc.sql(
              """
              select * from doubt where instrument_id in (:ids)
              order by failed_at, failed_check_id
              """)
          .param("ids", instrumentIds)
          .query(
              row -> {
                found
                    .getOrDefault(row.getLong("instrument_id"), new ArrayList<>())
                    .add(
                        new Doubt(
                            row.getLong("failed_check_id"),
                            SqlTime.get(row, "suspect_from"),
                            SqlTime.get(row, "failed_at"),
                            row.getObject("right_check_id", Long.class),
                            SqlTime.find(row, "right_at")));
              });
    }
    Map<Long, Doubts> doubts = new HashMap<>();
    found.forEach((id, list) -> doubts.put(id, new Doubts(list)));
    return doubts;
  }

  /** Replaces the doubts of an instrument that are not as they should be. */
  void replace(long instrumentId, Doubts stored, Doubts wanted) {
    for (Doubt doubt : stored.all()) {
      if (!wanted.all().contains(doubt)) {
        jdbc.sql("delete from doubt where failed_check_id = ?")
            .param(doubt.failedCheckId())
            .update();
      }
    }
    for (Doubt doubt : wanted.all()) {
      if (!stored.all().contains(doubt)) {
        jdbc.sql(
                """
                insert into doubt (failed_check_id, instrument_id, suspect_from, failed_at,
                  right_check_id, right_at)
                values (?, ?, ?, ?, ?, ?)
                """)
            .param(doubt.failedCheckId())
            .param(instrumentId)
            .param(SqlTime.of(doubt.suspectFrom()))
            .param(SqlTime.of(doubt.failedAt()))
            .param(5, doubt.rightCheckId(), Types.BIGINT)
            .param(6, SqlTime.ofNullable(doubt.rightAt()), Types.TIMESTAMP_WITH_TIMEZONE)
            .update();
      }
    }
  }

  /**
   * When each instrument was last known to be right; without those that never were. Naming all
   * columns of the index in the order lets both databases stop at the first row that fits.
   */
  Map<Long, Instant> lastRight(Collection<Long> instrumentIds) {
    Map<Long, Instant> moments = new HashMap<>();
    if (instrumentIds.isEmpty()) {
      return moments;
    }
    jdbc.sql(
            """
            select i.id, (
              select c.checked_at from instrument_check c
              where c.instrument_id = i.id
                and coalesce(c.as_left_result, c.as_found_result) = 'PASS'
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
}
