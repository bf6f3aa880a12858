package org.tarebook.check;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalStateException;

import java.math.BigDecimal;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.plant.Instruments;
import org.tarebook.plant.Stations;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.CatchUp;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;

/** What recording checks does to doubts, to readings and to the state of instruments. */
@OnBothDatabases
class InstrumentChecksTests {

  private static final String GOOD = "'asFound':[10.000]";
  private static final String BAD = "'asFound':[10.100]";
  private static final String MENDED = "'asFound':[10.100],'asLeft':[10.000]";
  private static final String TEN_GRAMS = "'permissibleError':0.010,'permissibleErrorUnit':'kg'";
  private static final Actor SOMEONE = new Actor("someone", Actor.Kind.PERSON, null);

  private final RunningTarebook tarebook;
  private final List<String> told = new ArrayList<>();
  private CheckBench bench;

  InstrumentChecksTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-02T20:00:00Z");
    bench = CheckBench.withPlannedScale(tarebook, TEN_GRAMS);
  }

  @Test
  void makesReadingsSinceTheLastGoodCheckSuspectAndLeavesTheirResults() {
    bench.check("1", "2026-03-02T06:00:00Z", GOOD).expect(201);
    for (String time : List.of("05:59", "06:00", "08:00", "09:59", "10:00", "13:00")) {
      bench.reading(time, "2026-03-02T" + time + ":00Z");
    }
    Answer failed = bench.check("2", "2026-03-02T10:00:00Z", BAD).expect(201);
    assertThat(failed.at("/suspectReadings").asLong()).isEqualTo(3);
    assertThat(failed.at("/doubt").asString())
        .startsWith(
            "It opened a doubt: readings measured from 2026-03-02T06:00:00Z until just before"
                + " 2026-03-02T10:00:00Z are suspect;");
    assertThat(standingOfReadings("INSTRUMENT_SUSPECT")).containsExactly("06:00", "08:00", "09:59");
    assertThat(standingOfReadings("INSTRUMENT_FAILED")).containsExactly("10:00", "13:00");

    Answer right = bench.check("3", "2026-03-02T12:00:00Z", GOOD).expect(201);
    assertThat(right.at("/suspectReadings").asLong()).isZero();
    assertThat(right.at("/doubt").asString())
        .startsWith("It closed the doubt of 2026-03-02T10:00:00Z");
    assertThat(standingOfReadings("INSTRUMENT_SUSPECT")).containsExactly("06:00", "08:00", "09:59");
    assertThat(standingOfReadings("INSTRUMENT_FAILED")).containsExactly("10:00");
  }

  @Test
  void hasTheReadingsFollowOnceInTheWindowThatChanged() {
    CheckIntake intake = intake(this::tell);
    record(intake, "1", "06:00", "10.000");
    assertThat(told).isEmpty();
    assertThat(suspect(record(intake, "2", "10:00", "10.100"))).isEqualTo(7);
    assertThat(told).containsExactly("2026-03-02T06:00:00Z null");
    assertThat(suspect(record(intake, "3", "11:00", "10.100"))).isZero();
    assertThat(suspect(record(intake, "4", "12:00", "10.000"))).isEqualTo(7);
    assertThat(told).containsExactly("2026-03-02T06:00:00Z null", "2026-03-02T12:00:00Z null");
    record(intake, "5", "08:00", "10.000");
    assertThat(told).hasSize(3).endsWith("2026-03-02T06:00:00Z 2026-03-02T08:00:00Z");
    assertThat(record(intake, "5", "08:00", "10.0").replayed()).isTrue();
    assertThat(told).hasSize(3);
  }

  @Test
  void recomputesDoubtsWhenAnEarlierCheckArrivesLate() {
    bench.check("1", "2026-03-02T06:00:00Z", GOOD);
    bench.check("2", "2026-03-02T10:00:00Z", MENDED);
    assertThat(bench.state().suspectAt(at("07:00"))).isTrue();

    Answer late = bench.check("3", "2026-03-02T08:00:00Z", GOOD).expect(201);
    assertThat(late.at("/doubt").asString())
        .isEqualTo("It is the last good check before the doubt of 2026-03-02T10:00:00Z.");
    assertThat(bench.state().suspectAt(at("07:00"))).isFalse();
    assertThat(bench.state().suspectAt(at("08:00"))).isTrue();

    Answer lateBad = bench.check("4", "2026-03-02T09:00:00Z", BAD).expect(201);
    assertThat(lateBad.at("/doubt").asString()).startsWith("It opened a doubt");
    assertThat(bench.state().doubts()).hasSize(1);
    assertThat(bench.state().failedAt(at("09:30"))).isPresent();
    assertThat(bench.state().failedAt(at("10:00"))).isEmpty();
  }

  @Test
  void tellsTheDoubtAMomentLiesIn() {
    bench.check("1", "2026-03-02T06:00:00Z", GOOD);
    bench.check("2", "2026-03-02T10:00:00Z", BAD);
    bench.check("3", "2026-03-02T12:00:00Z", GOOD);
    InstrumentState state = bench.state();
    assertThat(state.suspectAt(at("05:59"))).isFalse();
    assertThat(state.suspectAt(at("06:00"))).isTrue();
    assertThat(state.suspectAt(at("09:59"))).isTrue();
    assertThat(state.suspectAt(at("10:00"))).isFalse();
    assertThat(state.failedAt(at("09:59"))).isEmpty();
    assertThat(state.failedAt(at("10:00")).orElseThrow().failedAt()).isEqualTo(at("10:00"));
    assertThat(state.failedAt(at("11:59"))).isPresent();
    assertThat(state.failedAt(at("12:00"))).isEmpty();
    assertThat(state.unverifiedFrom()).isEmpty();
  }

  @Test
  void leavesReadingsUnverifiedOnceACheckIsOverdue() {
    bench = CheckBench.withPlannedScale(tarebook, TEN_GRAMS + ",'checkEveryMinutes':480");
    bench.planRow("Q-#", "g", "'checkEveryMinutes':240");
    bench.planRow("R-#", "mm", "'checkEveryMinutes':1");
    assertThat(bench.state().unverifiedFrom()).contains(Instant.EPOCH);
    bench.check("1", "2026-03-02T06:00:00Z", GOOD);
    assertThat(bench.state().unverifiedFrom()).contains(at("10:00"));
    bench.check("late", "2026-03-02T05:00:00Z", GOOD);
    bench.check("2", "2026-03-02T11:00:00Z", BAD);
    assertThat(bench.state().unverifiedFrom()).contains(at("10:00"));
    bench.check("3", "2026-03-02T12:00:00Z", "'asLeft':[10.000]");
    assertThat(bench.state().unverifiedFrom()).contains(at("16:00"));
  }

  @Test
  void forgetsNoInstrumentOfABatchAndMixesNone() {
    CheckBench other = new CheckBench(tarebook, "'kind':'SCALE','unit':'kg'");
    bench.check("1", "2026-03-02T10:00:00Z", BAD);
    Plan plan = tarebook.bean(Plans.class).current();
    InstrumentChecks checks = tarebook.bean(InstrumentChecks.class);
    long mine = bench.instrument().id();
    long others = other.instrument().id();
    Map<Long, InstrumentState> states = checks.states(plan, List.of(mine, others));
    assertThat(states).containsOnlyKeys(mine, others);
    assertThat(states.get(mine).suspectAt(at("09:00"))).isTrue();
    assertThat(states.get(others).suspectAt(at("09:00"))).isFalse();
    assertThat(checks.states(plan, List.of())).isEmpty();
  }

  @Test
  void keepsNothingWhenTheReadingsCannotFollow() {
    CheckIntake broken =
        intake(
            (by, instrument, from, before) -> {
              throw new IllegalStateException("the readings' side is broken");
            });
    assertThatIllegalStateException().isThrownBy(() -> record(broken, "1", "10:00", "10.100"));
    assertThat(outcomes()).isEmpty();
    assertThat(bench.state().doubts()).isEmpty();
    assertThat(record(intake(this::tell), "1", "10:00", "10.100").replayed()).isFalse();
    assertThat(outcomes()).hasSize(1);
  }

  @Test
  void takesTheLockOfTheStationAndNoOther() {
    long stationId = bench.instrument().stationId();
    long others = lockVersions("station_id <> ?", stationId);
    long before = lockVersions("station_id = ?", stationId);
    bench.check("1", "2026-03-02T10:00:00Z", GOOD).expect(201);
    assertThat(lockVersions("station_id = ?", stationId)).isEqualTo(before + 1);
    assertThat(lockVersions("station_id <> ?", stationId)).isEqualTo(others);
  }

  @Test
  void keepsDoubtsAsTheChecksSayWhenSeveralPostAtOnce() throws Exception {
    List<Callable<Answer>> posts = new ArrayList<>();
    for (int i = 0; i < 24; i++) {
      String key = "k" + i;
      String time = "2026-03-02T%02d:%02d:00Z".formatted(6 + i % 12, 10 + i);
      String phases = i % 3 == 0 ? BAD : i % 3 == 1 ? GOOD : MENDED;
      posts.add(() -> bench.check(key, time, phases));
    }
    for (Answer answer : atOnce(posts)) {
      answer.expect(201);
    }
    assertThat(outcomes()).hasSize(24);
    assertThat(bench.state().doubts())
        .isEqualTo(new CheckHistory(outcomes()).doubts().all())
        .isNotEmpty();
  }

  @Test
  void storesACheckOnceWhenItsRetryRunsAtTheSameTime() throws Exception {
    Callable<Answer> post = () -> bench.check("same", "2026-03-02T10:00:00Z", BAD);
    assertThat(atOnce(List.of(post, post, post, post)))
        .extracting(Answer::status)
        .containsExactlyInAnyOrder(201, 200, 200, 200);
    assertThat(outcomes()).hasSize(1);
  }

  private DoubtedReadings.Effect tell(
      DoubtedReadings.By by,
      org.tarebook.plant.Instrument instrument,
      Instant from,
      Instant before) {
    told.add(from + " " + before);
    return new DoubtedReadings.Effect(9, 8, 7);
  }

  private long suspect(CheckIntake.Recorded recorded) {
    return tarebook
        .bean(DoubtStore.class)
        .effect(new DoubtedReadings.By(recorded.check().id(), false))
        .orElseThrow()
        .suspect();
  }

  /** The intake with another readings' side. */
  private CheckIntake intake(Told readings) {
    return new CheckIntake(
        tarebook.bean(InstrumentChecks.class),
        tarebook.bean(CheckStore.class),
        tarebook.bean(DoubtStore.class),
        readings,
        tarebook.bean(Instruments.class),
        tarebook.bean(Stations.class),
        tarebook.bean(Plans.class),
        tarebook.bean(Transactions.class),
        tarebook.bean(Audit.class),
        tarebook.bean(Ids.class),
        tarebook.bean(Clock.class),
        Duration.ofMinutes(2));
  }

  private CheckIntake.Recorded record(
      CheckIntake intake, String key, String time, String indication) {
    return intake.record(
        bench.instrument(),
        new InstrumentCheck.Posted(
            bench.fill("#-" + key),
            at(time),
            "weight A",
            "C-1",
            new BigDecimal("10.0002"),
            Unit.KILOGRAM,
            List.of(new BigDecimal(indication)),
            List.of(),
            false,
            null),
        SOMEONE);
  }

  private List<CheckOutcome> outcomes() {
    return tarebook.bean(CheckStore.class).outcomes(bench.instrument().id());
  }

  private List<String> standingOfReadings(String cause) {
    return tarebook
        .sql()
        .sql(
            "select r.event_key from reading r join uncounted u on u.reading_id = r.id"
                + " where r.instrument_id = ? and u.cause = ? and u.until_version is null"
                + " order by r.measured_at")
        .param(bench.instrument().id())
        .param(cause)
        .query(String.class)
        .list();
  }

  private long lockVersions(String where, long stationId) {
    return tarebook
        .sql()
        .sql("select coalesce(sum(version), 0) from station_lock where " + where)
        .param(stationId)
        .query(Long.class)
        .single();
  }

  private static List<Answer> atOnce(List<Callable<Answer>> posts) throws Exception {
    ExecutorService pool = Executors.newFixedThreadPool(4);
    try {
      List<Answer> answers = new ArrayList<>();
      for (Future<Answer> answer : pool.invokeAll(posts)) {
        answers.add(answer.get());
      }
      return answers;
    } finally {
      pool.shutdownNow();
    }
  }

  private static Instant at(String time) {
    return Instant.parse("2026-03-02T" + time + ":00Z");
  }

  /** What is asked of readings, of which none is left for later. */
  private interface Told extends DoubtedReadings {
    @Override
    default Optional<CatchUp.Progress> progress(
        DoubtedReadings.By by, org.tarebook.plant.Instrument instrument) {
      return Optional.empty();
    }
  }
}
