package org.tarebook.reading;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.check.Doubt;
import org.tarebook.check.DoubtedReadings;
import org.tarebook.check.InstrumentChecks;
import org.tarebook.check.InstrumentState;
import org.tarebook.plant.Instrument;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.WriteLocks;

/**
 * Takes readings out of the figures, and back in, when the checks of their instrument say so. Works
 * on sets of rows in the database, since a doubt may reach back far. The caller holds the lock of
 * the instrument's station, so that none of its readings is written meanwhile.
 */
@Component
class Doubting implements DoubtedReadings {

  private static final Instant OPEN_END = Instant.parse("2200-01-01T00:00:00Z");
  private static final String OF_INSTRUMENT =
      " from reading r where r.instrument_id = :instrument and r.measured_at >= :from"
          + " and r.measured_at < :before";

  private final JdbcClient jdbc;
  private final Plans plans;
  private final InstrumentChecks instrumentChecks;
  private final WriteLocks locks;
  private final Chains chains;
  private final JudgeAgain judgeAgain;
  private final Intake intake;

  Doubting(
      JdbcClient jdbc,
      Plans plans,
      InstrumentChecks instrumentChecks,
      WriteLocks locks,
      Chains chains,
      JudgeAgain judgeAgain,
      Intake intake) {
    this.jdbc = jdbc;
    this.plans = plans;
    this.instrumentChecks = instrumentChecks;
    this.locks = locks;
    this.chains = chains;
    this.judgeAgain = judgeAgain;
    this.intake = intake;
  }

  /** A part of the time line in which readings do not count. */
  private record Part(Cause cause, Instant from, Instant before) {}

  @Override
  public long doubtsChanged(Instrument instrument, Instant from, @Nullable Instant before) {
    Instant end = before == null ? OPEN_END : before;
    Map<Long, Long> versions = locks.take(lockIds(instrument, from, end));
    Plan plan = plans.current();
    InstrumentState state =
        instrumentChecks.states(plan, List.of(instrument.id())).get(instrument.id());
    List<Part> parts = state == null ? List.of() : parts(state, from, end);
    endMarks(instrument, from, end, parts);
    parts.forEach(part -> beginMarks(instrument, part));
    List<Reading> settled = chains.settle(roots(instrument, from, end), versions);
    judgeAgain.judgeInstrumentAgain(
        instrument.id(), from, end, "checks of " + instrument.code() + " changed");
    List<ReadingFollower.Change> changes = new ArrayList<>(changes(plan, instrument, from, end));
    changes.addAll(Intake.changes(plan, settled)); // perhaps shown by others, at other times
    intake.tellFollowers(plan, changes);
    return countSuspect(instrument, from, end);
  }

  private static List<Part> parts(InstrumentState state, Instant from, Instant end) {
    List<Part> parts = new ArrayList<>();
    for (Doubt doubt : state.doubts()) {
      addCut(parts, Cause.INSTRUMENT_SUSPECT, doubt.suspectFrom(), doubt.failedAt(), from, end);
      Instant right = doubt.rightAt() == null ? OPEN_END : doubt.rightAt();
      addCut(parts, Cause.INSTRUMENT_FAILED, doubt.failedAt(), right, from, end);
    }
    return parts;
  }

  private static void addCut(
      List<Part> parts, Cause cause, Instant start, Instant stop, Instant from, Instant end) {
    Instant cutFrom = start.isBefore(from) ? from : start;
    Instant cutBefore = stop.isAfter(end) ? end : stop;
    if (cutFrom.isBefore(cutBefore)) {
      parts.add(new Part(cause, cutFrom, cutBefore));
    }
  }

  private Collection<Long> lockIds(Instrument instrument, Instant from, Instant end) {
    return new TreeSet<>(
        in(
                instrument,
                from,
                end,
                "select distinct coalesce(r.chart_id, r.characteristic_id)" + OF_INSTRUMENT)
            .query(Long.class)
            .list());
  }

  private Collection<Long> roots(Instrument instrument, Instant from, Instant end) {
    return new TreeSet<>(
        in(
                instrument,
                from,
                end,
                "select distinct coalesce(r.remeasures_id, r.id)"
                    + OF_INSTRUMENT
                    + " and (r.remeasures_id is not null or exists"
                    + " (select 1 from reading c where c.remeasures_id = r.id))")
            .query(Long.class)
            .list());
  }

  private void endMarks(Instrument instrument, Instant from, Instant end, List<Part> parts) {
    List<Long> characteristics =
        in(instrument, from, end, "select distinct r.characteristic_id" + OF_INSTRUMENT)
            .query(Long.class)
            .list();
    if (characteristics.isEmpty()) {
      return;
    }
    for (Cause cause : List.of(Cause.INSTRUMENT_SUSPECT, Cause.INSTRUMENT_FAILED)) {
      List<Part> kept = parts.stream().filter(part -> part.cause() == cause).toList();
      StringBuilder sql =
          new StringBuilder(
              "update uncounted set until_version = (select w.version from write_lock w"
                  + " join reading r on w.id = coalesce(r.chart_id, r.characteristic_id)"
                  + " where r.id = uncounted.reading_id)"
                  + " where characteristic_id in (:characteristics)"
                  + " and measured_at >= :from and measured_at < :before"
                  + " and cause = :cause and until_version is null"
                  + " and exists (select 1"
                  + OF_INSTRUMENT
                  + " and r.id = uncounted.reading_id)");
      for (int i = 0; i < kept.size(); i++) {
        sql.append(" and not (measured_at >= :from")
            .append(i)
            .append(" and measured_at < :before")
            .append(i)
            .append(")");
      }
      JdbcClient.StatementSpec statement =
          in(instrument, from, end, sql.toString())
              .param("characteristics", characteristics)
              .param("cause", cause.name());
      for (int i = 0; i < kept.size(); i++) {
        statement =
            statement
                .param("from" + i, SqlTime.of(kept.get(i).from()))
                .param("before" + i, SqlTime.of(kept.get(i).before()));
      }
      statement.update();
    }
  }

  private void beginMarks(Instrument instrument, Part part) {
    in(
            instrument,
            part.from(),
            part.before(),
            "insert into uncounted (reading_id, cause, since_version, until_version,"
                + " characteristic_id, measured_at)"
                + " select r.id, cast(:cause as varchar(20)),"
                + " (select w.version from write_lock w"
                + " where w.id = coalesce(r.chart_id, r.characteristic_id)),"
                + " null, r.characteristic_id, r.measured_at"
                + OF_INSTRUMENT
                + " and not exists (select 1 from uncounted u where u.reading_id = r.id"
                + " and u.cause = :cause and u.until_version is null)")
        .param("cause", part.cause().name())
        .update();
  }

  private long countSuspect(Instrument instrument, Instant from, Instant end) {
    return in(
            instrument,
            from,
            end,
            "select count(*)"
                + OF_INSTRUMENT
                + " and exists (select 1 from uncounted u where u.reading_id = r.id"
                + " and u.cause = 'INSTRUMENT_SUSPECT' and u.until_version is null)")
        .query(Long.class)
        .single();
  }

  private List<ReadingFollower.Change> changes(
      Plan plan, Instrument instrument, Instant from, Instant end) {
    return in(
            instrument,
            from,
            end,
            "select r.chart_id, min(r.measured_at) as first_at, max(r.measured_at) as last_at"
                + OF_INSTRUMENT
                + " and r.chart_id is not null group by r.chart_id")
        .query(
            (row, number) ->
                new ReadingFollower.Change(
                    plan.charts().get(row.getLong("chart_id")),
                    SqlTime.get(row, "first_at"),
                    SqlTime.get(row, "last_at")))
        .list();
  }

  private JdbcClient.StatementSpec in(
      Instrument instrument, Instant from, Instant before, String sql) {
    return jdbc.sql(sql)
        .param("instrument", instrument.id())
        .param("from", SqlTime.of(from))
        .param("before", SqlTime.of(before));
  }
}
