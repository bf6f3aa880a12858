package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Clock;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Collections;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.springframework.beans.factory.support.StaticListableBeanFactory;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

/** Two copies of the service and one kind of work, of five pieces each time. */
@OnBothDatabases
@Timeout(120)
class CatchUpTests {

  private final RunningTarebook tarebook;
  private final WriteLocks locks;
  private final Transactions transactions;
  private final Counting work = new Counting();
  private final CatchUps copy;
  private final CatchUps other;
  private final List<Long> lockIds = new ArrayList<>();
  private final ExecutorService threads = Executors.newFixedThreadPool(2);

  CatchUpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.locks = tarebook.bean(WriteLocks.class);
    this.transactions = tarebook.bean(Transactions.class);
    this.copy = copy();
    this.other = copy();
  }

  private CatchUps copy() {
    StaticListableBeanFactory kinds = new StaticListableBeanFactory();
    kinds.addBean("work", work);
    return new CatchUps(
        tarebook.sql(),
        transactions,
        locks,
        tarebook.bean(Ids.class),
        tarebook.bean(Clock.class),
        tarebook.bean(Outages.class),
        kinds.getBeanProvider(CatchUp.class));
  }

  @BeforeEach
  void openLocks() {
    for (int i = 0; i < 2; i++) {
      long id = tarebook.bean(Ids.class).next();
      lockIds.add(id);
      transactions.write(
          () -> {
            locks.open(id);
            return true;
          });
    }
    for (int i = 0; i < 3; i++) {
      transactions.write(() -> locks.take(lockIds.subList(0, 1)));
    }
  }

  @AfterEach
  void leaveNothingBehind() {
    threads.shutdownNow();
    work.breaksAt = -1;
    copy.run();
  }

  /** Counts to five, and keeps what it was asked to do. */
  private final class Counting implements CatchUp {

    private final String what = Codes.fresh("counting");
    private final List<String> acts = Collections.synchronizedList(new ArrayList<>());
    private final CountDownLatch atThree = new CountDownLatch(1);
    private volatile int breaksAt = -1;
    private volatile Runnable beforeLocks = () -> {};
    private volatile CountDownLatch waitAtThree = new CountDownLatch(0);

    @Override
    public String what() {
      return what;
    }

    @Override
    public long total(Task task) {
      return 5;
    }

    @Override
    public Piece next(Task task) {
      int at = task.place() == null ? 0 : Integer.parseInt(task.place());
      if (at == breaksAt) {
        throw new IllegalStateException("broken at " + at);
      }
      if (at == 3) {
        atThree.countDown();
        await(waitAtThree);
      }
      acts.add(task.text() + at);
      return new Piece(at == 4 ? null : String.valueOf(at + 1), 1, 2);
    }

    @Override
    public Collection<Long> locks(long scope) {
      beforeLocks.run();
      return lockIds;
    }
  }

  private static void await(CountDownLatch latch) {
    try {
      assertThat(latch.await(60, TimeUnit.SECONDS)).isTrue();
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException(interrupted);
    }
  }

  private void ask(long scope, String name) {
    transactions.write(
        () -> {
          copy.ask(work.what, scope, "fact " + name, name);
          return true;
        });
  }

  private CatchUp.Progress progress(long scope, String name) {
    return copy.of(work.what, scope).get("fact " + name);
  }

  private List<Long> versions(long scope) {
    return tarebook
        .sql()
        .sql("select version from catch_up where what = ? and scope = ? order by id")
        .params(work.what, scope)
        .query(Long.class)
        .list();
  }

  @Test
  void worksInPiecesAndFinishesUnderOneVersionOfAllLocks() {
    ask(7, "a");
    assertThat(progress(7, "a"))
        .extracting(CatchUp.Progress::state, CatchUp.Progress::total, CatchUp.Progress::done)
        .containsExactly(CatchUp.State.WAITING, null, 0L);
    assertThat(copy.unfinished(work.what)).containsExactly(7L);
    copy.run();
    assertThat(work.acts).containsExactly("a0", "a1", "a2", "a3", "a4");
    CatchUp.Progress done = progress(7, "a");
    assertThat(done.state()).isEqualTo(CatchUp.State.FINISHED);
    assertThat(done.total()).isEqualTo(5);
    assertThat(done.done()).isEqualTo(5);
    assertThat(done.changed()).isEqualTo(10);
    assertThat(copy.unfinished(work.what)).isEmpty();
    assertThat(versions(7)).containsExactly(4L);
    assertThat(locks.versions(lockIds)).containsValues(4L, 4L).hasSize(2);
  }

  @Test
  void whatBrokeInTheMiddleGoesOnThereInAnotherCopy() {
    work.breaksAt = 3;
    ask(7, "a");
    ask(8, "b");
    copy.run();
    assertThat(progress(7, "a").state()).isEqualTo(CatchUp.State.RUNNING);
    assertThat(progress(7, "a").done()).isEqualTo(3);
    assertThat(versions(7)).containsOnlyNulls();
    work.breaksAt = -1;
    other.run();
    assertThat(work.acts.stream().filter(act -> act.startsWith("a")))
        .containsExactly("a0", "a1", "a2", "a3", "a4");
    assertThat(progress(7, "a").state()).isEqualTo(CatchUp.State.FINISHED);
    assertThat(progress(8, "b").state()).isEqualTo(CatchUp.State.FINISHED);
  }

  @Test
  void aSecondOfTheSameScopeWaitsAndBothFinishTogether() {
    work.breaksAt = 3;
    ask(7, "a");
    copy.run();
    ask(7, "b");
    assertThat(progress(7, "b").state()).isEqualTo(CatchUp.State.WAITING);
    work.breaksAt = -1;
    copy.run();
    assertThat(work.acts)
        .containsExactly("a0", "a1", "a2", "a3", "a4", "b0", "b1", "b2", "b3", "b4");
    assertThat(versions(7)).containsExactly(4L, 4L);
  }

  @Test
  void whatIsAskedForBeforeTheLocksAreTakenIsDoneFirst() {
    work.beforeLocks =
        () -> {
          work.beforeLocks = () -> {};
          copy.ask(work.what, 7, "fact b", "b");
        };
    ask(7, "a");
    copy.run();
    assertThat(work.acts).hasSize(10).endsWith("b4");
    assertThat(versions(7)).hasSize(2).doesNotContainNull().containsOnly(versions(7).get(0));
  }

  @Test
  void whileOneCopyIsAtAPieceTheOtherDoesNothing() throws Exception {
    CountDownLatch goOn = new CountDownLatch(1);
    work.waitAtThree = goOn;
    ask(7, "a");
    Future<?> running = threads.submit(copy::run);
    await(work.atThree);
    threads.submit(other::run).get(30, TimeUnit.SECONDS);
    assertThat(work.acts).containsExactly("a0", "a1", "a2");
    goOn.countDown();
    running.get(30, TimeUnit.SECONDS);
    assertThat(work.acts).containsExactly("a0", "a1", "a2", "a3", "a4");
  }

  @Test
  void aStoppedCopyLeavesTheRestToTheNext() {
    ask(7, "a");
    copy.stop();
    copy.run();
    assertThat(work.acts).isEmpty();
    other.run();
    assertThat(work.acts).hasSize(5);
  }
}
