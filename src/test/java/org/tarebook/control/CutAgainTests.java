package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.tarebook.chart.Plans;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.reading.Posting;
import org.tarebook.storage.CatchUpByHand;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.Vendor;
import org.tarebook.storage.WriteLocks;
import tools.jackson.databind.JsonNode;

/** Signals while shifts are cut again, and after. */
@OnBothDatabases
class CutAgainTests {

  private static final Instant EARLIEST = MovedShifts.FROM.minus(Duration.ofDays(1));
  private static final Instant LATEST = MovedShifts.FROM.plus(Duration.ofDays(60));

  private final RunningTarebook tarebook;

  CutAgainTests(Vendor vendor) {
    tarebook = RunningTarebook.start(TestDatabase.create(vendor), CatchUpByHand.SETTING);
    MovedShifts.calendar(tarebook, "C1", "2024-01-01", "A 06:00", "B 14:00", "C 22:00").expect(201);
  }

  @AfterEach
  void close() {
    tarebook.close();
  }

  @Test
  void aSignalThatHoldsByBothCalendarsStaysWithItsResponse() {
    ChartBench bench = MovedShifts.bench(tarebook);
    bench
        .freeze(Codes.fresh("L"), MovedShifts.FROM, MovedShifts.FROM.plus(Duration.ofDays(10)))
        .expect(201);
    bench.post("5.5", MovedShifts.FROM.plus(Duration.ofDays(12)).plusSeconds(60));
    for (int i = 0; i < 3; i++) {
      bench.post("5.5", MovedShifts.FROM.plus(Duration.ofDays(12)).plusSeconds(120 + i));
    }
    List<Long> ids = new ArrayList<>();
    for (JsonNode signal : bench.signals("&limit=1000")) {
      ids.add(signal.at("/id").asLong());
      tarebook
          .quality()
          .post(
              "/api/v1/signals/" + signal.at("/id").asLong() + "/responses",
              json("key", Codes.fresh("R"), "cause", "Die", "action", "Cleaned"))
          .expect(201);
    }
    String body = MovedShifts.body("C2", "2024-05-13", "Moved", "A 06:00", "B 15:00", "C 22:00");
    tarebook.quality().post(MovedShifts.CALENDARS, body).expect(201);
    CatchUpByHand.run(tarebook);
    int kept = 0;
    int fresh = 0;
    for (JsonNode signal : bench.signals("&limit=1000")) {
      boolean known = ids.contains(signal.at("/id").asLong());
      assertThat(signal.at("/responses")).hasSize(known ? 1 : 0);
      if (!signal.at("/completedAt").asString().startsWith("2024-05-0")) {
        kept += known ? 1 : 0;
        fresh += known ? 0 : 1;
      }
    }
    assertThat(kept).isPositive();
    assertThat(fresh).isPositive();
    assertThat(ComparedSignals.stored(tarebook, bench, EARLIEST, LATEST))
        .isEqualTo(ComparedSignals.recomputed(tarebook, bench, EARLIEST, LATEST));
  }

  /**
   * Whatever is posted, voided, frozen or withdrawn before, while and after shifts are cut again.
   */
  @Test
  void signalsAreThoseOfAllPointsJudgedAtOnceWhateverComesMeanwhile() throws Exception {
    ExecutorService threads = Executors.newSingleThreadExecutor();
    for (long seed = 1; seed <= 4; seed++) {
      Random random = new Random(seed);
      String kind = seed % 2 == 0 ? "XBAR_S" : "INDIVIDUALS";
      ChartBench bench = new ChartBench(tarebook, "kg", "NOT", kind, seed % 2 == 0 ? 2 : 1, "DIE");
      ChartBench last = new ChartBench(tarebook, "INDIVIDUALS", 1);
      last.postAll(List.of("4.31", "4.33", "4.32"), "kg", MovedShifts.FROM, Duration.ofHours(1));
      last.freeze(Codes.fresh("L"), MovedShifts.FROM, MovedShifts.FROM.plus(Duration.ofDays(1)))
          .expect(201);
      bench.record(postings(bench, random, 200, 40));
      bench
          .freeze(Codes.fresh("L"), MovedShifts.FROM, MovedShifts.FROM.plus(Duration.ofDays(9)))
          .expect(201);
      String wrong = Codes.fresh("L");
      bench
          .freeze(
              wrong,
              MovedShifts.FROM,
              MovedShifts.FROM.plus(Duration.ofDays(9)),
              "inForceFrom",
              MovedShifts.FROM.plus(Duration.ofDays(7)).toString())
          .expect(201);
      String body =
          MovedShifts.body(
              Codes.fresh("CAL"),
              "2024-05-" + (11 + seed),
              "Moved",
              "A 0" + (3 + seed) + ":30",
              "B 11:00",
              "C 17:00",
              "D 23:00");
      List<String> earlier = ComparedSignals.recomputed(tarebook, bench, EARLIEST, LATEST);
      tarebook.quality().post(MovedShifts.CALENDARS, body).expect(201);
      assertThat(ComparedSignals.stored(tarebook, bench, EARLIEST, LATEST))
          .isEqualTo(earlier)
          .isEqualTo(ComparedSignals.recomputed(tarebook, bench, EARLIEST, LATEST))
          .isNotEmpty();
      change(bench, random, 60);
      assertThat(ComparedSignals.stored(tarebook, bench, EARLIEST, LATEST))
          .isEqualTo(ComparedSignals.recomputed(tarebook, bench, EARLIEST, LATEST));
      Future<?> held =
          tarebook
              .bean(Transactions.class)
              .write(
                  () -> {
                    tarebook.bean(WriteLocks.class).hold(id(last));
                    Future<?> gaveUp = threads.submit(() -> CatchUpByHand.run(tarebook));
                    return finished(gaveUp); // at the last chart, after all others
                  });
      assertThat(held).isDone();
      assertThat(tarebook.bean(Plans.class).current().toCome()).isPresent();
      bench.withdraw(wrong).expect(201);
      String ofDie = Codes.fresh("L");
      bench
          .freeze(
              ofDie,
              MovedShifts.FROM,
              MovedShifts.FROM.plus(Duration.ofDays(9)),
              "stratum",
              "DIE=D2",
              "inForceFrom",
              MovedShifts.FROM.plus(Duration.ofDays(5)).toString())
          .expect(201);
      change(bench, random, 60);
      assertThat(ComparedSignals.stored(tarebook, bench, EARLIEST, LATEST))
          .isEqualTo(ComparedSignals.recomputed(tarebook, bench, EARLIEST, LATEST));
      Future<?> running = threads.submit(() -> CatchUpByHand.run(tarebook));
      change(bench, random, 30);
      bench.withdraw(ofDie).expect(201);
      change(bench, random, 30);
      running.get(120, TimeUnit.SECONDS);
      CatchUpByHand.run(tarebook);
      assertThat(ComparedSignals.stored(tarebook, bench, EARLIEST, LATEST))
          .isEqualTo(ComparedSignals.recomputed(tarebook, bench, EARLIEST, LATEST))
          .isNotEmpty();
      change(bench, random, 40);
      assertThat(ComparedSignals.stored(tarebook, bench, EARLIEST, LATEST))
          .isEqualTo(ComparedSignals.recomputed(tarebook, bench, EARLIEST, LATEST));
    }
    threads.shutdown();
    assertThat(tarebook.sql().sql("select count(*) from signal_to_come").query(Long.class).single())
        .isZero();
  }

  private long id(ChartBench bench) {
    return tarebook.bean(Plans.class).current().charts().find(bench.chart()).orElseThrow().id();
  }

  private static Future<?> finished(Future<?> work) {
    try {
      work.get(120, TimeUnit.SECONDS);
      return work;
    } catch (InterruptedException | ExecutionException | TimeoutException failure) {
      throw new IllegalStateException(failure);
    }
  }

  private void change(ChartBench bench, Random random, int count) {
    List<Posting> postings = postings(bench, random, count, 40);
    for (int i = 0; i < postings.size(); ) {
      int size = Math.min(postings.size() - i, 1 + random.nextInt(8));
      bench.record(postings.subList(i, i + size));
      i += size;
      if (random.nextInt(5) == 0) {
        JsonNode points =
            bench
                .points(MovedShifts.FROM, MovedShifts.FROM.plus(Duration.ofDays(40)))
                .at("/points");
        long id = points.get(random.nextInt(points.size())).at("/lastReading").asLong();
        bench
            .engineer()
            .post(
                "/api/v1/readings/" + id + "/amendments",
                json("key", Codes.fresh("V"), "kind", "VOID", "reason", "test"))
            .expect(201);
      }
    }
  }

  private static List<Posting> postings(ChartBench bench, Random random, int count, int days) {
    List<Posting> postings = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      int minutes = random.nextInt(days * 1440 / 30) * 30;
      int drift = minutes > 9 * 1440 ? 7 : 0;
      int value = 4385 + (int) Math.round(random.nextGaussian() * 8) + drift;
      postings.add(
          new Posting(
              Codes.fresh("K"),
              bench.floor().station(),
              bench.characteristic(),
              BigDecimal.valueOf(value, 3),
              null,
              "kg",
              MovedShifts.FROM.plus(Duration.ofMinutes(minutes)),
              null,
              null,
              null,
              null,
              null,
              random.nextBoolean() ? "D1" : "D2",
              null,
              random.nextInt(4) > 0 ? null : "S-" + random.nextInt(2),
              null,
              null,
              null,
              null,
              null,
              null,
              null));
    }
    Collections.shuffle(postings, random);
    return postings;
  }
}
