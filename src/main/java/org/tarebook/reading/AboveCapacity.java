package org.tarebook.reading;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.check.InstrumentChecks;
import org.tarebook.check.InstrumentState;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.WeighedReadings;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.WriteLocks;

/**
 * Takes readings out of the figures that lie above a capacity recorded later, and back in that do
 * not lie above it. The caller holds the lock of the instrument's station, so that none of its
 * readings is written meanwhile.
 */
@Component
class AboveCapacity implements WeighedReadings {

  private static final int ROWS = 1000;

  /** So many are judged again in one transaction, which takes some seconds. */
  static final int MOST = 20_000;

  private static final Instant OPEN_END = Instant.parse("2200-01-01T00:00:00Z");

  private final JdbcClient jdbc;
  private final Plans plans;
  private final InstrumentChecks checks;
  private final WriteLocks locks;
  private final ReadingStore store;
  private final UncountedStore uncounted;
  private final Chains chains;
  private final JudgeAgain judgeAgain;
  private final Intake intake;

  AboveCapacity(
      JdbcClient jdbc,
      Plans plans,
      InstrumentChecks checks,
      WriteLocks locks,
      ReadingStore store,
      UncountedStore uncounted,
      Chains chains,
      JudgeAgain judgeAgain,
      Intake intake) {
    this.jdbc = jdbc;
    this.plans = plans;
    this.checks = checks;
    this.locks = locks;
    this.store = store;
    this.uncounted = uncounted;
    this.chains = chains;
    this.judgeAgain = judgeAgain;
    this.intake = intake;
  }

  @Override
  public long capacityChanged(Instrument instrument, Instant from, @Nullable Instant before) {
    BigDecimal capacity = instrument.scale(from).capacity();
    List<Reading> concerned = new ArrayList<>();
    List<Long> ids = ids(instrument, capacity, from, before == null ? OPEN_END : before);
    if (ids.size() > MOST) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/validFrom",
          "would have more than %,d readings judged again at once; record it for a later validFrom first, then for earlier ones"
              .formatted(MOST));
    }
    for (int at = 0; at < ids.size(); at += ROWS) {
      concerned.addAll(store.findByIds(ids.subList(at, Math.min(ids.size(), at + ROWS))));
    }
    if (concerned.isEmpty()) {
      return 0;
    }
    Set<Long> lockIds = new TreeSet<>();
    concerned.forEach(reading -> lockIds.add(reading.lockId()));
    Map<Long, Long> versions = locks.take(lockIds);
    Plan plan = plans.fresh();
    InstrumentState state = checks.states(plan, List.of(instrument.id())).get(instrument.id());
    long judged = 0;
    for (int at = 0; at < concerned.size(); at += ROWS) {
      List<Reading> page = concerned.subList(at, Math.min(concerned.size(), at + ROWS));
      judged += judge(plan, page, state, versions);
    }
    Set<Long> roots = new TreeSet<>();
    for (Reading reading : concerned) {
      roots.add(reading.remeasuresId() == null ? reading.id() : reading.remeasuresId());
    }
    List<Long> all = List.copyOf(roots);
    List<Reading> touched = new ArrayList<>(concerned);
    for (int at = 0; at < all.size(); at += ROWS) {
      touched.addAll(chains.settle(all.subList(at, Math.min(all.size(), at + ROWS)), versions));
    }
    intake.tellFollowers(plan, Intake.changes(plan, touched));
    return judged;
  }

  private int judge(
      Plan plan, List<Reading> page, @Nullable InstrumentState state, Map<Long, Long> versions) {
    Map<Long, Reading.Judged> judged = new HashMap<>();
    List<UncountedStore.Change> begin = new ArrayList<>();
    List<UncountedStore.Change> end = new ArrayList<>();
    Map<Long, Set<Cause>> causes = uncounted.of(page.stream().map(Reading::id).toList());
    for (Reading reading : page) {
      Reading.Judged now =
          Judge.judge(
              plan,
              reading.event().stationId(),
              plan.characteristics().get(reading.characteristicId()),
              reading.shown(),
              reading.event().measuredAt(),
              state);
      judged.put(reading.id(), now);
      boolean above = now.notJudged() == NotJudged.ABOVE_CAPACITY;
      boolean marked =
          causes
              .getOrDefault(reading.id(), EnumSet.noneOf(Cause.class))
              .contains(Cause.ABOVE_CAPACITY);
      if (above != marked) {
        (above ? begin : end)
            .add(
                new UncountedStore.Change(
                    reading,
                    Cause.ABOVE_CAPACITY,
                    versions.getOrDefault(reading.lockId(), reading.lockVersion())));
      }
    }
    uncounted.begin(begin);
    uncounted.end(end);
    return judgeAgain.judgeAgain(page, judged, "capacity of its instrument changed");
  }

  /** The readings that lie above a capacity and are not marked so, or the reverse. */
  private List<Long> ids(
      Instrument instrument, @Nullable BigDecimal capacity, Instant from, Instant before) {
    String marked =
        " exists (select 1 from uncounted u where u.reading_id = r.id"
            + " and u.cause = 'ABOVE_CAPACITY' and u.until_version is null)";
    List<Unit> units =
        Arrays.stream(Unit.values()).filter(unit -> unit.sameKindAs(instrument.unit())).toList();
    StringBuilder most = new StringBuilder();
    for (int i = 0; capacity != null && i < units.size(); i++) {
      most.append(" when :unit").append(i).append(" then cast(:most").append(i);
      most.append(" as numeric(38, 9))");
    }
    String above = "coalesce(r.gross, r.net_value) > case r.unit" + most + " end";
    JdbcClient.StatementSpec statement =
        jdbc.sql(
            "select r.id from reading r where r.instrument_id = :instrument"
                + " and r.measured_at >= :from and r.measured_at < :before"
                + " and r.net_value is not null and "
                + (capacity == null
                    ? marked
                    : "(("
                        + above
                        + " and not"
                        + marked
                        + ") or ("
                        + marked
                        + " and not coalesce("
                        + above
                        + ", false)))")
                + " order by r.measured_at desc, r.id desc fetch first "
                + (MOST + 1L)
                + " rows only");
    statement =
        statement
            .param("instrument", instrument.id())
            .param("from", SqlTime.of(from))
            .param("before", SqlTime.of(before));
    for (int i = 0; capacity != null && i < units.size(); i++) {
      Unit unit = units.get(i);
      statement =
          statement
              .param("unit" + i, unit.code())
              .param("most" + i, floor(Unit.convert(capacity, instrument.unit(), unit)));
    }
    return statement.query(Long.class).list();
  }

  /** Values have nine decimals, so that one above the capacity is above this too. */
  private static BigDecimal floor(BigFraction exact) {
    return new BigDecimal(exact.getNumerator())
        .divide(new BigDecimal(exact.getDenominator()), Decimals.MOST_DECIMALS, RoundingMode.FLOOR);
  }
}
