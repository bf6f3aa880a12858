package org.tarebook.reading;

import java.sql.Types;
import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Charts;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.check.InstrumentState;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.JudgedReadings;
import org.tarebook.storage.CatchUp;
import org.tarebook.storage.CatchUps;
import org.tarebook.storage.MasterVersion;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.WriteLocks;

/**
 * Judges stored readings again when a specification or a measuring uncertainty is recorded or
 * withdrawn, or an instrument was in order after all. The first result stays in its row; a
 * successor takes its place.
 *
 * <p>After a change of specifications or uncertainties this is a catch-up of the characteristic: a
 * piece is a page of readings in the order of measuring. It takes no lock of a chart: a reading
 * written after the change is judged by the new plan when it is posted, and one written before is
 * found.
 */
@Component
class JudgeAgain implements JudgedReadings, CatchUp {

  /** Goes by the index of characteristics; H2 does so only if the order names its first column. */
  static final String PAGE =
      "select "
          + ReadingStore.COLUMNS
          + " from reading r where r.characteristic_id = :characteristic and r.measured_at >= :at"
          + " and (r.measured_at > :at or r.id > :id) and r.measured_at < :before"
          + " order by r.characteristic_id, r.measured_at, r.id fetch first :rows rows only";

  private static final String WHAT = Plans.JUDGING_AGAIN;
  private static final int ROWS = 1000;
  private static final Instant OPEN_END = Instant.parse("2200-01-01T00:00:00Z");

  private final JdbcClient client;
  private final JdbcTemplate jdbc;
  private final Charts charts;
  private final Plans plans;
  private final WriteLocks locks;
  private final Facts facts;
  private final ReadingStore store;
  private final CatchUps catchUps;
  private final MasterVersion masterVersion;
  private final Clock clock;

  JudgeAgain(
      JdbcClient client,
      JdbcTemplate jdbc,
      Charts charts,
      Plans plans,
      WriteLocks locks,
      Facts facts,
      ReadingStore store,
      CatchUps catchUps,
      MasterVersion masterVersion,
      Clock clock) {
    this.client = client;
    this.jdbc = jdbc;
    this.charts = charts;
    this.plans = plans;
    this.locks = locks;
    this.facts = facts;
    this.store = store;
    this.catchUps = catchUps;
    this.masterVersion = masterVersion;
    this.clock = clock;
  }

  /**
   * A result that takes the place of an earlier one.
   *
   * @param version of the lock it is written under; absent in a catch-up
   */
  private record Successor(
      Reading reading, int sequence, Reading.Judged judged, @Nullable Long version) {}

  /** What a catch-up is to do, as its row holds it. */
  private record Wish(Instant from, Instant before, @Nullable Long stationId, String cause) {

    static Wish read(String text) {
      String[] parts = text.split(" ", 4);
      return new Wish(
          Instant.parse(parts[0]),
          Instant.parse(parts[1]),
          parts[2].equals("-") ? null : Long.valueOf(parts[2]),
          parts[3]);
    }

    String text() {
      return from + " " + before + " " + (stationId == null ? "-" : stationId) + " " + cause;
    }

    /** Of one station only those that rest on its uncertainty or wait for one. */
    boolean concerns(Facts.Fact fact) {
      return stationId == null
          || (fact.reading().event().stationId() == stationId
              && (fact.judged().uncertaintyId() != null
                  || fact.judged().notJudged() == NotJudged.NO_UNCERTAINTY));
    }
  }

  @Override
  public void lock(long characteristicId) {
    locks.take(locks(characteristicId));
  }

  @Override
  public Collection<Long> locks(long characteristicId) {
    TreeSet<Long> lockIds = new TreeSet<>(List.of(characteristicId));
    for (Chart chart : charts.ofCharacteristic(characteristicId)) {
      lockIds.add(chart.id());
    }
    return lockIds;
  }

  @Override
  public long count(long characteristicId, Instant from, @Nullable Instant before) {
    return client
        .sql(
            "select count(*) from reading where characteristic_id = ? and measured_at >= ?"
                + " and measured_at < ?")
        .params(characteristicId, SqlTime.of(from), SqlTime.of(before == null ? OPEN_END : before))
        .query(Long.class)
        .single();
  }

  @Override
  public boolean any(
      long characteristicId, @Nullable Long stationId, Instant from, @Nullable Instant before) {
    return client
        .sql(
            "select r.id from reading r where r.characteristic_id = :characteristic"
                + (stationId == null ? "" : " and r.station_id = " + stationId)
                + " and r.measured_at >= :from and r.measured_at < :before"
                + " fetch first 1 row only")
        .param("characteristic", characteristicId)
        .param("from", SqlTime.of(from))
        .param("before", SqlTime.of(before == null ? OPEN_END : before))
        .query(Long.class)
        .optional()
        .isPresent();
  }

  @Override
  public void judgeAgain(Again wish) {
    Instant end = wish.before() == null ? OPEN_END : wish.before();
    catchUps.ask(
        WHAT,
        wish.characteristicId(),
        wish.askedBy(),
        new Wish(wish.from(), end, wish.stationId(), wish.cause()).text());
  }

  @Override
  public Map<String, CatchUp.Progress> judgingAgain(long characteristicId) {
    return catchUps.of(WHAT, characteristicId);
  }

  /** The plan no longer names the characteristic. */
  @Override
  public void finish(long characteristicId, WriteLocks.Together together) {
    masterVersion.bump();
  }

  @Override
  public boolean judgedWith(
      Set<Long> uncertaintyIds, long characteristicId, long stationId, Instant from) {
    if (uncertaintyIds.isEmpty()) {
      return false;
    }
    if (catchUps.unfinished(WHAT).contains(characteristicId)) {
      return any(characteristicId, stationId, from, null);
    }
    return client
        .sql(
            "select r.id from reading r where r.characteristic_id = :characteristic"
                + " and r.station_id = :station and r.measured_at >= :from"
                + " and (case when exists (select 1 from successor_result s"
                + " where s.reading_id = r.id) then (select s.uncertainty_id"
                + " from successor_result s where s.reading_id = r.id"
                + " order by s.sequence desc fetch first 1 row only)"
                + " else r.uncertainty_id end) in (:uncertainties) fetch first 1 row only")
        .param("characteristic", characteristicId)
        .param("station", stationId)
        .param("from", SqlTime.of(from))
        .param("uncertainties", uncertaintyIds)
        .query(Long.class)
        .optional()
        .isPresent();
  }

  @Override
  public String what() {
    return WHAT;
  }

  @Override
  public long total(Task task) {
    Wish wish = Wish.read(task.text());
    return count(task.scope(), wish.from(), wish.before());
  }

  @Override
  public Piece next(Task task) {
    Wish wish = Wish.read(task.text());
    String place = task.place() == null ? wish.from() + " 0" : task.place();
    int gap = place.indexOf(' ');
    List<Reading> page =
        client
            .sql(PAGE)
            .param("characteristic", task.scope())
            .param("at", SqlTime.of(Instant.parse(place.substring(0, gap))))
            .param("id", Long.valueOf(place.substring(gap + 1)))
            .param("before", SqlTime.of(wish.before()))
            .param("rows", ROWS)
            .query((row, number) -> ReadingStore.read(row))
            .list();
    List<Successor> successors = judge(plans.current(), page, Map.of(), wish::concerns);
    insert(successors, wish.cause(), task.id());
    Reading last = page.isEmpty() ? null : page.get(page.size() - 1);
    return new Piece(
        last == null || page.size() < ROWS ? null : last.event().measuredAt() + " " + last.id(),
        page.size(),
        successors.size());
  }

  /**
   * Judges the readings of an instrument again that were not judged because it had failed, under
   * the locks that the caller has taken.
   */
  void judgeInstrumentAgain(long instrumentId, Instant from, Instant before, String cause) {
    List<Long> ids =
        client
            .sql(
                "select r.id from reading r where r.instrument_id = ? and r.measured_at >= ?"
                    + " and r.measured_at < ? and (r.not_judged in ('INSTRUMENT_FAILED',"
                    + " 'ABOVE_CAPACITY') or exists (select 1 from successor_result s"
                    + " where s.reading_id = r.id and s.not_judged = 'INSTRUMENT_FAILED'))"
                    + " order by r.id")
            .params(instrumentId, SqlTime.of(from), SqlTime.of(before))
            .query(Long.class)
            .list();
    Plan plan = plans.current();
    for (int at = 0; at < ids.size(); at += ROWS) {
      List<Reading> page = store.findByIds(ids.subList(at, Math.min(ids.size(), at + ROWS)));
      insert(
          judge(
              plan,
              page,
              versions(page),
              fact -> fact.judged().notJudged() == NotJudged.INSTRUMENT_FAILED),
          cause,
          null);
    }
  }

  /**
   * Takes the results of readings back whose instrument had failed when they were measured, as is
   * known now, under the locks that the caller has taken.
   */
  void judgeFailed(List<Long> ids, @Nullable InstrumentState instrument, String cause) {
    Plan plan = plans.current();
    for (int at = 0; at < ids.size(); at += ROWS) {
      List<Reading> page = store.findByIds(ids.subList(at, Math.min(ids.size(), at + ROWS)));
      Map<Long, Reading.Judged> judged = new TreeMap<>();
      for (Reading reading : page) {
        judged.put(
            reading.id(),
            Judge.judge(
                plan,
                reading.event().stationId(),
                plan.characteristics().get(reading.characteristicId()),
                reading.shown(),
                reading.event().measuredAt(),
                instrument));
      }
      int unused = judgeAgain(page, judged, cause);
    }
  }

  /**
   * Judges readings anew whose instrument's capacity changed, under the locks that the caller has
   * taken.
   *
   * @param now what each is judged to be, by its id
   * @return how many are judged otherwise than before
   */
  int judgeAgain(List<Reading> page, Map<Long, Reading.Judged> now, String cause) {
    Map<Long, Long> versions = versions(page);
    List<Successor> successors = new ArrayList<>();
    for (Facts.Fact fact : facts.toCome(page)) {
      Reading reading = fact.reading();
      Reading.Judged judged = now.getOrDefault(reading.id(), fact.judged());
      if (!judged.equals(fact.judged())) {
        successors.add(
            new Successor(reading, fact.successors() + 1, judged, versions.get(reading.lockId())));
      }
    }
    insert(successors, cause, null);
    return successors.size();
  }

  private List<Successor> judge(
      Plan plan, List<Reading> page, Map<Long, Long> versions, Predicate<Facts.Fact> which) {
    List<Successor> successors = new ArrayList<>();
    for (Facts.Fact fact : facts.toCome(page)) {
      Reading reading = fact.reading();
      if (reading.shown().value() == null || !which.test(fact) || !canBeJudged(fact)) {
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
            new Successor(reading, fact.successors() + 1, now, versions.get(reading.lockId())));
      }
    }
    return successors;
  }

  private static boolean canBeJudged(Facts.Fact fact) {
    NotJudged why = fact.judged().notJudged();
    return why == null
        || why == NotJudged.NO_SPECIFICATION
        || why == NotJudged.NO_UNCERTAINTY
        || why == NotJudged.CENSORED
        || (why == NotJudged.INSTRUMENT_FAILED && !fact.causes().contains(Cause.INSTRUMENT_FAILED));
  }

  private Map<Long, Long> versions(List<Reading> readings) {
    Map<Long, Long> versions = new TreeMap<>();
    readings.forEach(
        reading -> versions.computeIfAbsent(reading.lockId(), id -> locks.version(id)));
    return versions;
  }

  private void insert(List<Successor> successors, String cause, @Nullable Long catchUpId) {
    Instant now = clock.instant();
    jdbc.batchUpdate(
        "insert into successor_result (reading_id, sequence, result, direction, not_judged,"
            + " specification_id, uncertainty_id, cause, lock_version, catch_up_id,"
            + " recorded_at) values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
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
          statement.setObject(9, successor.version(), Types.BIGINT);
          statement.setObject(10, catchUpId, Types.BIGINT);
          statement.setObject(11, SqlTime.of(now));
        });
  }
}
