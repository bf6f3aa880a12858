package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.CyclicBarrier;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.springframework.dao.DuplicateKeyException;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

@OnBothDatabases
@Timeout(300)
class TransactionsTests {

  private final Transactions transactions;
  private final JdbcClient sql;
  private final String table = Codes.fresh("probe").replace('-', '_');
  private final ExecutorService threads = Executors.newFixedThreadPool(2);

  TransactionsTests(RunningTarebook tarebook) {
    transactions = tarebook.bean(Transactions.class);
    sql = tarebook.sql();
  }

  @BeforeEach
  void createTable() {
    sql.sql("create table " + table + " (code varchar(10) primary key, turns integer not null)")
        .update();
  }

  @AfterEach
  void dropTable() {
    threads.shutdownNow();
    sql.sql("drop table " + table).update();
  }

  @Test
  void ofTwoWhoWriteTheSameKeyOneFindsWhatTheOtherWrote() throws Exception {
    AtomicInteger attempts = new AtomicInteger();
    CyclicBarrier bothLooked = new CyclicBarrier(2);
    Callable<String> writer =
        () ->
            transactions.write(
                () -> {
                  boolean firstTry = attempts.incrementAndGet() <= 2;
                  if (turns("K") != null) {
                    return "found";
                  }
                  if (firstTry) {
                    await(bothLooked);
                  }
                  insert("K");
                  return "wrote";
                });

    assertThat(together(writer, writer)).containsExactlyInAnyOrder("wrote", "found");
    assertThat(attempts).hasValue(3);
    assertThat(turns("K")).isZero();
  }

  @RepeatedTest(3)
  void ofTwoWhoWaitForEachOtherBothGetThrough() throws Exception {
    insert("A");
    insert("B");
    AtomicInteger attempts = new AtomicInteger();
    CyclicBarrier bothHoldOne = new CyclicBarrier(2);

    assertThat(
            together(
                () -> turnInOrder("A", "B", attempts, bothHoldOne),
                () -> turnInOrder("B", "A", attempts, bothHoldOne)))
        .containsExactly("turned", "turned");
    assertThat(attempts).as("only one of both was sent back").hasValue(3);
    assertThat(turns("A")).isEqualTo(2);
    assertThat(turns("B")).isEqualTo(2);
  }

  private String turnInOrder(
      String first, String second, AtomicInteger attempts, CyclicBarrier bothHoldOne) {
    return transactions.write(
        () -> {
          boolean firstTry = attempts.incrementAndGet() <= 2;
          turn(first);
          if (firstTry) {
            await(bothHoldOne);
          }
          turn(second);
          return "turned";
        });
  }

  @Test
  void conflictThatStaysIsToldInTheEnd() {
    insert("K");
    AtomicInteger attempts = new AtomicInteger();
    assertThatThrownBy(
            () ->
                transactions.write(
                    () -> {
                      attempts.incrementAndGet();
                      insert("K");
                      return "wrote";
                    }))
        .isInstanceOf(DuplicateKeyException.class);
    assertThat(attempts.get()).isBetween(2, 8); // fewer where the machine is slow
  }

  @Test
  void workThatRestsOnSomethingThatChangesIsRunAgainMoreOftenThanAConflict() {
    AtomicInteger attempts = new AtomicInteger();
    String outcome =
        transactions.write(
            () -> {
              if (attempts.incrementAndGet() < 20) {
                throw new Transactions.Again("changed meanwhile");
              }
              return "wrote";
            });
    assertThat(outcome).isEqualTo("wrote");
    assertThat(attempts).hasValue(20);
  }

  @Test
  void anyOtherFailureIsToldAtOnceAndLeavesNothing() {
    AtomicInteger attempts = new AtomicInteger();
    assertThatThrownBy(
            () ->
                transactions.write(
                    () -> {
                      attempts.incrementAndGet();
                      insert("K");
                      throw new IllegalArgumentException("a rule of the plant");
                    }))
        .hasMessage("a rule of the plant");
    assertThat(attempts).hasValue(1);
    assertThat(turns("K")).isNull();
  }

  @Test
  void aWriteInsideAWriteIsRunAgainWithTheOuterOne() {
    insert("K");
    AtomicInteger outer = new AtomicInteger();
    String outcome =
        transactions.write(
            () -> {
              insert("OUTER");
              if (outer.incrementAndGet() == 1) {
                return transactions.write(
                    () -> {
                      insert("K");
                      return "wrote";
                    });
              }
              return "second time";
            });
    assertThat(outcome).isEqualTo("second time");
    assertThat(outer).hasValue(2);
    assertThat(turns("OUTER")).isZero();
  }

  @Test
  void aSnapshotDoesNotSeeWhatIsCommittedMeanwhile() {
    insert("K");
    List<Integer> seen =
        transactions.snapshot(
            () -> {
              Integer before = turns("K");
              await(threads.submit(() -> transactions.write(() -> turn("K"))));
              return List.of(before, turns("K"));
            });
    assertThat(seen).containsExactly(0, 0);
    assertThat(turns("K")).isEqualTo(1);
  }

  private List<String> together(Callable<String> one, Callable<String> other) throws Exception {
    Future<String> first = threads.submit(one);
    Future<String> second = threads.submit(other);
    return List.of(first.get(), second.get());
  }

  private static void await(CyclicBarrier barrier) {
    try {
      barrier.await(120, TimeUnit.SECONDS);
    } catch (Exception failure) {
      throw new IllegalStateException(failure);
    }
  }

  private static void await(Future<?> future) {
    try {
      future.get();
    } catch (Exception failure) {
      throw new IllegalStateException(failure);
    }
  }

  private void insert(String code) {
    sql.sql("insert into " + table + " (code, turns) values (?, 0)").param(code).update();
  }

  private int turn(String code) {
    return sql.sql("update " + table + " set turns = turns + 1 where code = ?")
        .param(code)
        .update();
  }

  private Integer turns(String code) {
    return sql.sql("select turns from " + table + " where code = ?")
        .param(code)
        .query(Integer.class)
        .optional()
        .orElse(null);
  }
}
