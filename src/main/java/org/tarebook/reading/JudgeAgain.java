package org.tarebook.reading;

import java.sql.Types;
import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Charts;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.JudgedReadings;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.WriteLocks;

/**
 * Judges stored readings again when a specification or a measuring uncertainty is recorded or
 * withdrawn, or an instrument was in order after all. The first result stays in its row; a
 * successor takes its place.
 */
@Component
class JudgeAgain implements JudgedReadings {

  private static final int PAGE = 1000;

  /** A column of the result in force: the last successor's, else the first result's. */
  private static final String IN_FORCE =
      "(case when exists (select 1 from successor_result s where s.reading_id = r.id)"
          + " then (select s.%1$s from successor_result s where s.reading_id = r.id"
          + " order by s.sequence desc fetch first 1 row only) else r.%1$s end)";

  private static final Instant OPEN_END = Instant.parse("2200-01-01T00:00:00Z");

  private final JdbcClient client;
  private final JdbcTemplate jdbc;
  private final Charts charts;
  private final Plans plans;
  private final WriteLocks locks;
  private final Facts facts;
  private final Clock clock;

  JudgeAgain(
      JdbcClient client,
      JdbcTemplate jdbc,
      Charts charts,
      Plans plans,
      WriteLocks locks,
      Facts facts,
      Clock clock) {
    this.client = client;
    this.jdbc = jdbc;
    this.charts = charts;
    this.plans = plans;
    this.locks = locks;
    this.facts = facts;
    this.clock = clock;
  }

  /** A result that takes the place of an earlier one. */
  private record Successor(Reading reading, int sequence, Reading.Judged judged, long version) {}

  @Override
  public void lock(long characteristicId) {
    TreeSet<Long> ids = new TreeSet<>(List.of(characteristicId));
    for (Chart chart : charts.ofCharacteristic(characteristicId)) {
      ids.add(chart.id());
    }
    locks.take(ids);
  }

  @Override
  public long count(long characteristicId, Instant from, @Nullable Instant before) {
    return client
        .sql(
            "select count(*) from reading where characteristic_id = ? and measured_at >= ?"
                + " and measured_at < ?")
        .param(characteristicId)
        .param(SqlTime.of(from))
        .param(SqlTime.of(before == null ? OPEN_END : before))
        .query(Long.class)
        .single();
  }

  @Override
  public long judgeAgain(
      long characteristicId, Instant from, @Nullable Instant before, String cause) {
    return inPages(
        "r.characteristic_id = :subject", characteristicId, from, before, plans.fresh(), cause);
  }

  @Override
  public boolean judgedWithUncertainty(long characteristicId, long stationId, Instant from) {
    return client
            .sql(
                "select count(*) from reading r where r.characteristic_id = ? and r.station_id = ?"
                    + " and r.measured_at >= ? and "
                    + IN_FORCE.formatted("uncertainty_id")
                    + " is not null")
            .param(characteristicId)
            .param(stationId)
            .param(SqlTime.of(from))
            .query(Long.class)
            .single()
        > 0;
  }

  @Override
  public long judgeAgain(
      long characteristicId, long stationId, Instant from, @Nullable Instant before, String cause) {
    return inPages(
        "r.characteristic_id = :subject and r.station_id = "
            + stationId
            + " and ("
            + IN_FORCE.formatted("uncertainty_id")
            + " is not null or "
            + IN_FORCE.formatted("not_judged")
            + " = 'NO_UNCERTAINTY')",
        characteristicId,
        from,
        before,
        plans.fresh(),
        cause);
  }

  /** Judges the readings of an instrument again that were not judged because it had failed. */
  long judgeInstrumentAgain(
      long instrumentId, Instant from, @Nullable Instant before, String cause) {
    return inPages(
        "r.not_judged = 'INSTRUMENT_FAILED' and r.instrument_id = :subject",
        instrumentId,
        from,
        before,
        plans.current(),
        cause);
  }

  private long inPages(
      String which, long subject, Instant from, @Nullable Instant before, Plan plan, String cause) {
    long written = 0;
    Instant at = from;
    long behind = 0;
    while (true) {
      List<Reading> page =
          client
              .sql(
                  "select "
                      + ReadingStore.COLUMNS
                      + " from reading r where "
                      + which
                      + " and r.measured_at >= :at and (r.measured_at > :at or r.id > :behind)"
                      + " and r.measured_at < :before order by r.measured_at, r.id"
                      + " fetch first "
                      + PAGE
                      + " rows only")
              .param("subject", subject)
              .param("at", SqlTime.of(at))
              .param("behind", behind)
              .param("before", SqlTime.of(before == null ? OPEN_END : before))
              .query((row, number) -> ReadingStore.read(row))
              .list();
      if (page.isEmpty()) {
        return written;
      }
      written += judge(plan, page, cause);
      Reading last = page.get(page.size() - 1);
      at = last.event().measuredAt();
      behind = last.id();
    }
  }

  private long judge(Plan plan, List<Reading> page, String cause) {
    List<Successor> successors = new ArrayList<>();
    Map<Long, Long> versions = versions(page);
    for (Facts.Fact fact : facts.of(page)) {
      Reading reading = fact.reading();
      if (reading.shown().value() == null || !canBeJudged(fact)) {
        continue;
      }
      Characteristic characteristic = plan.characteristics().get(reading.characteristicId());
      Reading.Judged now =
          Judge.bySpecification(
              plan,
              reading.event().stationId(),
              characteristic,
              reading.shown(),
              reading.shown().value(),
              reading.event().measuredAt());
      if (!now.equals(fact.judged())) {
        successors.add(
            new Successor(
                reading,
                fact.successors() + 1,
                now,
                versions.getOrDefault(reading.lockId(), reading.lockVersion())));
      }
    }
    insert(successors, cause);
    return successors.size();
  }

  private static boolean canBeJudged(Facts.Fact fact) {
    NotJudged why = fact.judged().notJudged();
    return why == null
        || why == NotJudged.NO_SPECIFICATION
        || why == NotJudged.NO_UNCERTAINTY
        || (why == NotJudged.INSTRUMENT_FAILED && !fact.causes().contains(Cause.INSTRUMENT_FAILED));
  }

  private Map<Long, Long> versions(List<Reading> readings) {
    Map<Long, Long> versions = new TreeMap<>();
    readings.forEach(
        reading -> versions.computeIfAbsent(reading.lockId(), id -> locks.version(id)));
    return versions;
  }

  private void insert(List<Successor> successors, String cause) {
    Instant now = clock.instant();
    jdbc.batchUpdate(
        "insert into successor_result (reading_id, sequence, result, direction, not_judged,"
            + " specification_id, uncertainty_id, cause, lock_version, recorded_at)"
            + " values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        successors,
        Math.max(1, successors.size()),
        (statement, successor) -> {
          Reading.Judged judged = successor.judged();
          statement.setLong(1, successor.reading().id());
          statement.setInt(2, successor.sequence());
          statement.setString(3, judged.result().name());
          statement.setString(4, judged.direction() == null ? null : judged.direction().name());
          statement.setString(5, judged.notJudged() == null ? null : judged.notJudged().name());
          statement.setObject(6, judged.specificationId(), Types.BIGINT);
          statement.setObject(7, judged.uncertaintyId(), Types.BIGINT);
          statement.setString(8, cause);
          statement.setLong(9, successor.version());
          statement.setObject(10, SqlTime.of(now));
        });
  }
}
