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

/** What follows from the checks, in the database: doubts, and when each instrument was right. */
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

  /** When each instrument was last known to be right; without those that never were. */
  Map<Long, Instant> lastRight(Collection<Long> instrumentIds) {
    Map<Long, Instant> moments = new HashMap<>();
    if (!instrumentIds.isEmpty()) {
      jdbc.sql("select instrument_id, right_at from known_right where instrument_id in (:ids)")
          .param("ids", instrumentIds)
          .query(
              row -> {
                moments.put(row.getLong("instrument_id"), SqlTime.get(row, "right_at"));
              });
    }
    return moments;
  }

  /** Notes when an instrument was last known to be right. */
  void noteRight(long instrumentId, Instant at) {
    int known =
        jdbc.sql("update known_right set right_at = ? where instrument_id = ?")
            .param(SqlTime.of(at))
            .param(instrumentId)
            .update();
    if (known == 0) {
      jdbc.sql("insert into known_right (instrument_id, right_at) values (?, ?)")
          .param(instrumentId)
          .param(SqlTime.of(at))
          .update();
    }
  }
}
