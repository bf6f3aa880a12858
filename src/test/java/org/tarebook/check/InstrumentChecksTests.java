package org.tarebook.check;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.springframework.beans.factory.annotation.Autowired;
import org.springframework.boot.test.context.SpringBootTest;
import org.springframework.boot.webmvc.test.autoconfigure.AutoConfigureMockMvc;
import org.springframework.context.annotation.Import;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.test.web.servlet.MockMvc;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.check.CheckBench.Answer;
import org.tarebook.plant.Instrument;

/** What recording checks does to doubts and to the state of instruments. */
@SpringBootTest(
    properties = "spring.datasource.url=jdbc:h2:mem:checks;LOCK_TIMEOUT=20000;DB_CLOSE_DELAY=-1")
@AutoConfigureMockMvc(addFilters = false)
@Import(CheckBench.Surroundings.class)
class InstrumentChecksTests {

  private static final String GOOD = "'asFound':[10.000]";
  private static final String BAD = "'asFound':[10.100]";
  private static final String MENDED = "'asFound':[10.100],'asLeft':[10.000]";
  private static final String TEN_GRAMS = "'permissibleError':0.010,'permissibleErrorUnit':'kg'";

  @Autowired private MockMvc mvc;
  @Autowired private JdbcClient jdbc;
  @Autowired private InstrumentChecks checks;
  @Autowired private CheckStore checkStore;
  @Autowired private Plans plans;
  @Autowired private CheckBench.Followers readings;
  @Autowired private CheckBench.StoppedClock clock;

  private CheckBench bench;

  @BeforeEach
  void startAnew() {
    clock.now = Instant.parse("2026-03-02T20:00:00Z");
    readings.told.clear();
    readings.failure = null;
    bench = CheckBench.withPlannedScale(mvc, TEN_GRAMS);
  }

  @Test
  void hasTheReadingsFollowOnceForEachChangeOfDoubts() {
    bench.check("1", "2026-03-02T06:00:00Z", GOOD);
    assertThat(readings.told).isEmpty();

    Answer failed = bench.check("2", "2026-03-02T10:00:00Z", BAD);
    assertThat(readings.told).containsExactly(bench.fill("I-# 2026-03-02T06:00:00Z null"));
    assertThat(failed.text("suspectReadings")).isEqualTo("7");
    assertThat(failed.text("doubt"))
        .startsWith("It opened a doubt: readings measured from 2026-03-02T06:00:00Z");

    Answer stillBad = bench.check("3", "2026-03-02T11:00:00Z", BAD);
    assertThat(stillBad.text("suspectReadings")).isEqualTo("0");
    assertThat(readings.told).hasSize(1);

    Answer right = bench.check("4", "2026-03-02T12:00:00Z", GOOD);
    assertThat(readings.told).hasSize(2);
    assertThat(readings.told.get(1)).isEqualTo(bench.fill("I-# 2026-03-02T12:00:00Z null"));
    assertThat(right.text("doubt")).startsWith("It closed the doubt of 2026-03-02T10:00:00Z");
  }

  @Test
  void recomputesDoubtsWhenAnEarlierCheckArrivesLate() {
    bench.check("1", "2026-03-02T06:00:00Z", GOOD);
    bench.check("2", "2026-03-02T10:00:00Z", MENDED);
    assertThat(state().suspectAt(at("07:00"))).isTrue();
    readings.told.clear();

    Answer late = bench.check("3", "2026-03-02T08:00:00Z", GOOD);
    assertThat(readings.told)
        .containsExactly(bench.fill("I-# 2026-03-02T06:00:00Z 2026-03-02T08:00:00Z"));
    assertThat(late.text("doubt"))
        .isEqualTo("It is the last good check before the doubt of 2026-03-02T10:00:00Z.");
    assertThat(state().suspectAt(at("07:00"))).isFalse();
    assertThat(state().suspectAt(at("08:00"))).isTrue();

    Answer lateBad = bench.check("4", "2026-03-02T09:00:00Z", BAD);
    assertThat(lateBad.text("doubt")).startsWith("It opened a doubt");
    assertThat(state().doubts()).hasSize(1);
    assertThat(state().failedAt(at("09:30"))).isPresent();
    assertThat(state().failedAt(at("10:00"))).isEmpty();
  }

  @Test
  void tellsReadingsOfADoubtWhereTheyLie() {
    bench.check("1", "2026-03-02T06:00:00Z", GOOD);
    bench.check("2", "2026-03-02T10:00:00Z", BAD);
    bench.check("3", "2026-03-02T12:00:00Z", GOOD);
    InstrumentState state = state();
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
    bench = CheckBench.withPlannedScale(mvc, TEN_GRAMS + ",'checkEveryMinutes':480");
    bench.planRow("Q-#", "g", "'checkEveryMinutes':240");
    bench.planRow("R-#", "mm", "'checkEveryMinutes':1");
    assertThat(state().unverifiedFrom()).contains(Instant.EPOCH);
    bench.check("1", "2026-03-02T06:00:00Z", GOOD);
    assertThat(state().unverifiedFrom()).contains(at("10:00"));
    bench.check("2", "2026-03-02T11:00:00Z", BAD);
    assertThat(state().unverifiedFrom()).contains(at("10:00"));
    bench.check("3", "2026-03-02T12:00:00Z", "'asLeft':[10.000]");
    assertThat(state().unverifiedFrom()).contains(at("16:00"));
  }

  @Test
  void forgetsNoInstrumentOfABatchAndMixesNone() {
    CheckBench other = CheckBench.with(mvc, "'kind':'SCALE','unit':'kg'");
    bench.check("1", "2026-03-02T10:00:00Z", BAD);
    Plan plan = plans.current();
    long mine = instrument(bench).id();
    long others = instrument(other).id();
    Map<Long, InstrumentState> states = checks.states(plan, List.of(mine, others));
    assertThat(states).containsOnlyKeys(mine, others);
    assertThat(states.get(mine).suspectAt(at("09:00"))).isTrue();
    assertThat(states.get(others).suspectAt(at("09:00"))).isFalse();
    assertThat(checks.states(plan, List.of())).isEmpty();
  }

  @Test
  void tellsHowAnInstrumentStands() {
    bench = CheckBench.withPlannedScale(mvc, TEN_GRAMS + ",'checkEveryMinutes':480");
    assertThat(standing().text("standing")).isEqualTo("UNCHECKED");
    assertThat(standing().text("checkEvery")).isEqualTo("PT8H");
    assertThat(standing().text("nextDue")).isNull();

    bench.check("1", "2026-03-02T13:00:00Z", GOOD);
    assertThat(standing().text("standing")).isEqualTo("IN_ORDER");
    assertThat(standing().text("lastGoodCheck")).isEqualTo("2026-03-02T13:00:00Z");
    assertThat(standing().text("nextDue")).isEqualTo("2026-03-02T21:00:00Z");
    assertThat(standing().text("overdueSince")).isNull();

    clock.now = at("21:00");
    assertThat(standing().text("standing")).isEqualTo("OVERDUE");
    assertThat(standing().text("overdueSince")).isEqualTo("2026-03-02T21:00:00Z");

    bench.check("2", "2026-03-02T20:30:00Z", BAD);
    assertThat(standing().text("standing")).isEqualTo("FAILED");
    assertThat(standing().text("failedSince")).isEqualTo("2026-03-02T20:30:00Z");
    assertThat(standing().text("lastGoodCheck")).isEqualTo("2026-03-02T13:00:00Z");

    bench.check("3", "2026-03-02T20:45:00Z", MENDED);
    assertThat(standing().text("standing")).isEqualTo("IN_ORDER");
    assertThat(standing().text("failedSince")).isNull();
    assertThat(standing().text("nextDue")).isEqualTo("2026-03-03T04:45:00Z");
  }

  @Test
  void keepsNothingWhenTheReadingsCannotFollow() {
    readings.failure = new IllegalStateException("the readings' side is broken");
    assertThat(bench.check("1", "2026-03-02T10:00:00Z", BAD).status()).isEqualTo(500);
    assertThat(checkStore.outcomes(instrument(bench).id())).isEmpty();
    assertThat(state().doubts()).isEmpty();
    readings.failure = null;
    assertThat(bench.check("1", "2026-03-02T10:00:00Z", BAD).status()).isEqualTo(201);
  }

  @Test
  void takesTheLockOfTheStationAndNoOther() {
    long stationId = instrument(bench).stationId();
    long othersBefore = lockVersions("station_id <> ?", stationId);
    long before = lockVersions("station_id = ?", stationId);
    bench.check("1", "2026-03-02T10:00:00Z", GOOD);
    assertThat(lockVersions("station_id = ?", stationId)).isEqualTo(before + 1);
    assertThat(lockVersions("station_id <> ?", stationId)).isEqualTo(othersBefore);
  }

  @Test
  void keepsDoubtsAsTheChecksSayWhenSeveralPostAtOnce() throws Exception {
    ExecutorService pool = Executors.newFixedThreadPool(4);
    try {
      List<Callable<Answer>> posts = new ArrayList<>();
      for (int i = 0; i < 24; i++) {
        String time = "2026-03-02T%02d:%02d:00Z".formatted(6 + i % 12, 10 + i);
        String phases = i % 3 == 0 ? BAD : i % 3 == 1 ? GOOD : MENDED;
        String key = "k" + i;
        posts.add(() -> bench.check(key, time, phases));
      }
      List<Future<Answer>> answers = pool.invokeAll(posts);
      for (Future<Answer> answer : answers) {
        assertThat(answer.get().status()).isEqualTo(201);
      }
      Instrument instrument = instrument(bench);
      assertThat(checkStore.outcomes(instrument.id())).hasSize(24);
      assertThat(state().doubts())
          .isEqualTo(new CheckHistory(checkStore.outcomes(instrument.id())).doubts().all())
          .isNotEmpty();
    } finally {
      pool.shutdownNow();
    }
  }

  @Test
  void storesACheckOnceWhenItsRetryRunsAtTheSameTime() throws Exception {
    ExecutorService pool = Executors.newFixedThreadPool(4);
    try {
      Callable<Answer> post = () -> bench.check("same", "2026-03-02T10:00:00Z", BAD);
      List<Integer> statuses = new ArrayList<>();
      for (Future<Answer> answer : pool.invokeAll(List.of(post, post, post, post))) {
        statuses.add(answer.get().status());
      }
      assertThat(statuses).containsExactlyInAnyOrder(201, 200, 200, 200);
      assertThat(readings.told).hasSize(1);
    } finally {
      pool.shutdownNow();
    }
  }

  @Test
  void keepsTheDatabaseFromHoldingACheckOfNothing() {
    bench.check("1", "2026-03-02T10:00:00Z", GOOD);
    assertThatThrownBy(
            () ->
                jdbc.sql("update instrument_check set as_found = null where instrument_id = ?")
                    .param(instrument(bench).id())
                    .update())
        .hasMessageContaining("CK_INSTRUMENT_CHECK");
  }

  private Answer standing() {
    return bench.read("/api/v1/instruments/I-#/standing");
  }

  private InstrumentState state() {
    Instrument instrument = instrument(bench);
    return checks.states(plans.current(), List.of(instrument.id())).get(instrument.id());
  }

  private Instrument instrument(CheckBench of) {
    return plans.current().instruments().find(of.fill("I-#")).orElseThrow();
  }

  private long lockVersions(String where, long stationId) {
    return jdbc.sql("select coalesce(sum(version), 0) from station_lock where " + where)
        .param(stationId)
        .query(Long.class)
        .single();
  }

  private static Instant at(String time) {
    return Instant.parse("2026-03-02T" + time + ":00Z");
  }
}
