package org.tarebook.truth;

import java.io.IOException;
import java.sql.SQLException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.ThreadLocalRandom;

/** Everybody at work on a site at once, round after round, and the quiet between. */
final class Stress {

  private final Site site;
  private final Ledger ledger;
  private final Asking asking;
  private final Random random;
  private final List<Runnable> workers = new ArrayList<>();

  /**
   * Records a floor and hires.
   *
   * @param stations workers at each station
   */
  Stress(Site site, long seed, int stations) throws IOException, SQLException {
    this.site = site;
    this.random = new Random(seed);
    Floor floor = Floor.record(site);
    this.ledger = new Ledger(site);
    this.asking = new Asking(site, floor, random.nextLong());
    for (int i = 0; i < stations; i++) {
      for (String station : Floor.STATIONS) {
        workers.add(new StationWork(site, floor, ledger, station, random.nextLong()));
      }
    }
    workers.add(new QualityWork(site, floor, ledger, random.nextLong()));
    workers.add(asking);
  }

  /** Works for a while; meanwhile something may happen. */
  void work(Duration time, Runnable meanwhile) {
    long end = System.nanoTime() + time.toNanos();
    List<Thread> threads = new ArrayList<>();
    for (Runnable worker : workers) {
      Thread thread = new Thread(() -> workUntil(worker, end), worker.getClass().getSimpleName());
      thread.start();
      threads.add(thread);
    }
    meanwhile.run();
    threads.forEach(Stress::join);
  }

  private void workUntil(Runnable worker, long end) {
    while (System.nanoTime() < end) {
      try {
        worker.run();
        Thread.sleep(ThreadLocalRandom.current().nextInt(site.disturbed() ? 300 : 30));
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
    ledger.check();
    asking.whileQuiet(questions);
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
