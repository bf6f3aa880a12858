package org.tarebook.truth;

import java.io.IOException;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.ThreadLocalRandom;
import java.util.concurrent.locks.LockSupport;

/** Everybody at work on a site at once, round after round, and the quiet between. */
final class Stress {

  private final Site site;
  private final Ledger ledger;
  private final Asking asking;
  private final Random random;
  private final Floor floor;
  private final List<Worker> workers = new ArrayList<>();

  /** Who works, and how long a pause is at most, in milliseconds. */
  private record Worker(Runnable act, int pause) {}

  /**
   * Records a floor and hires.
   *
   * @param stations workers at each station
   */
  Stress(Site site, long seed, int stations) throws IOException, SQLException {
    this.site = site;
    this.random = new Random(seed);
    this.floor = Floor.record(site);
    this.ledger = new Ledger(site);
    this.asking = new Asking(site, floor, random.nextLong());
    for (int i = 0; i < stations; i++) {
      for (String station : Floor.STATIONS) {
        StationWork work = new StationWork(site, floor, ledger, station, random.nextLong());
        workers.add(new Worker(work, 40));
      }
    }
    workers.add(new Worker(new QualityWork(site, floor, ledger, random.nextLong()), 400));
    workers.add(new Worker(asking, 20));
  }

  /** Works for a while; meanwhile something may happen. */
  void work(Duration time, Runnable meanwhile) {
    long end = System.nanoTime() + time.toNanos();
    List<Thread> threads = new ArrayList<>();
    for (Worker worker : workers) {
      Thread thread = new Thread(() -> workUntil(worker, end));
      thread.start();
      threads.add(thread);
    }
    meanwhile.run();
    threads.forEach(Stress::join);
  }

  private void workUntil(Worker worker, long end) {
    while (System.nanoTime() < end) {
      try {
        worker.act().run();
        Thread.sleep(ThreadLocalRandom.current().nextInt(worker.pause()));
      } catch (InterruptedException interrupted) {
        Thread.currentThread().interrupt();
        return;
      } catch (RuntimeException fault) {
        site.wrong("the harness itself failed: " + fault + " at " + fault.getStackTrace()[0]);
      }
    }
  }

  private static void join(Thread thread) {
    try {
      thread.join();
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(interrupted);
    }
  }

  /** Repeats what was cut off, then holds the whole record and many answers against the truth. */
  void quiet(int questions) throws IOException, SQLException {
    ledger.repeatCutOff(random);
    while (site.look(Stress::unfinished) > 0) {
      LockSupport.parkNanos(50_000_000);
    }
    ledger.check();
    asking.whileQuiet(questions);
  }

  /** Long work that follows requests: when it finishes, it gives charts a new version. */
  private static long unfinished(Connection sql) throws SQLException {
    return Facts.list(
            sql, "select count(*) from catch_up where finished_at is null", row -> row.getLong(1))
        .get(0);
  }

  /** Remembers how everything stands now, to ask for it later. */
  void remember(Instant moment) throws SQLException {
    asking.remember(moment);
  }

  /** Freezes control limits, so that signals are watched from now on. */
  void freezeLimits() throws IOException {
    floor.freezeLimits();
  }

  /** Cuts the last days into other shifts, so that no segment built before can be used. */
  void changeShifts() throws IOException {
    floor.changeShifts();
  }

  Counts counts() {
    return new Counts(
        ledger.posted.get(),
        ledger.replays.get(),
        ledger.refusals.get(),
        ledger.cut.get(),
        asking.quiet.get(),
        asking.underLoad.get(),
        asking.asOf.get(),
        asking.notComparable.get(),
        asking.points.get(),
        asking.searches.get());
  }

  /** What was done so far. */
  record Counts(
      long facts,
      long replays,
      long refusals,
      long cutOff,
      long quietAnswers,
      long answersUnderLoad,
      long answersAsOf,
      long notComparable,
      long points,
      long searches) {}
}
