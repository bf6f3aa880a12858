package org.tarebook.check;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
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

  /**
   * What is known of an instrument.
   *
   * @param lastRight when it was last known to be right; absent where it never was
   */
  record Known(Doubts doubts, @Nullable Instant lastRight) {}

  /** The doubts of one instrument. */
  Doubts of(Instrument instrument) {
    return Objects.requireNonNull(known(List.of(instrument.id())).get(instrument.id())).doubts();
  }

  /** What is known of instruments, for every id given, in one query. */
  Map<Long, Known> known(Collection<Long> instrumentIds) {
    Map<Long, List<Doubt>> doubts = new HashMap<>();
    Map<Long, @Nullable Instant> lastRight = new HashMap<>();
    instrumentIds.forEach(id -> doubts.put(id, new ArrayList<>()));
    if (!instrumentIds.isEmpty()) {
      jdbc.sql(
              """
              select i.id, k.right_at as last_right, d.failed_check_id, d.suspect_from,
                d.failed_at, d.right_check_id, d.right_at
              from instrument i left join known_right k on k.instrument_id = i.id
                left join doubt d on d.instrument_id = i.id
              where i.id in (:ids)
              order by d.failed_at, d.failed_check_id
              """)
          .param("ids", instrumentIds)
          .query(
              row -> {
                long id = row.getLong("id");
                lastRight.put(id, SqlTime.find(row, "last_right"));
                if (row.getObject("failed_check_id") != null) {
                  Objects.requireNonNull(doubts.get(id)).add(doubt(row));
                }
              });
    }
    Map<Long, Known> known = new HashMap<>();
    doubts.forEach((id, all) -> known.put(id, new Known(new Doubts(all), lastRight.get(id))));
    return known;
  }

  private static Doubt doubt(ResultSet row) throws SQLException {
    return new Doubt(
        row.getLong("failed_check_id"),
        SqlTime.get(row, "suspect_from"),
        SqlTime.get(row, "failed_at"),
        row.getObject("right_check_id", Long.class),
        SqlTime.find(row, "right_at"));
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

  /** Notes when an instrument was last known to be right; absent where it never was. */
  void noteRight(long instrumentId, @Nullable Instant at) {
    if (at == null) {
      jdbc.sql("delete from known_right where instrument_id = ?").param(instrumentId).update();
      return;
    }
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

  /** Notes that a change of doubts has begun to act on readings. */
  void noteEffect(DoubtedReadings.By by) {
    jdbc.sql(
            "insert into doubt_effect (check_id, by_voiding, done, changed, suspect)"
                + " values (?, ?, 0, 0, 0)")
        .params(by.checkId(), by.voiding())
        .update();
  }

  /** Adds to what a change of doubts has come to. */
  void addEffect(DoubtedReadings.By by, DoubtedReadings.Effect more) {
    jdbc.sql(
            "update doubt_effect set done = done + ?, changed = changed + ?, suspect = suspect + ?"
                + " where check_id = ? and by_voiding = ?")
        .params(more.done(), more.changed(), more.suspect(), by.checkId(), by.voiding())
        .update();
  }

  /** What a change of doubts has come to so far; empty where an earlier schema did not keep it. */
  Optional<DoubtedReadings.Effect> effect(DoubtedReadings.By by) {
    return jdbc.sql(
            "select done, changed, suspect from doubt_effect where check_id = ? and by_voiding = ?")
        .params(by.checkId(), by.voiding())
        .query(
            (row, number) ->
                new DoubtedReadings.Effect(
                    row.getLong("done"), row.getLong("changed"), row.getLong("suspect")))
        .optional();
  }
}
