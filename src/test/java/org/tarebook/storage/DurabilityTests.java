package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.BufferedReader;
import java.io.InputStreamReader;
import java.lang.reflect.Proxy;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.springframework.dao.TransientDataAccessResourceException;
import org.springframework.jdbc.datasource.DelegatingDataSource;
import org.springframework.transaction.TransactionExecution;
import org.tarebook.fixtures.TestDatabase;

@Timeout(300)
@Tag("service")
class DurabilityTests {

  private final TestDatabase database = TestDatabase.create(Vendor.H2);
  private final AtomicInteger forces = new AtomicInteger();
  private volatile boolean open = true;

  @Test
  void waitingCommitsShareOneForce() throws Exception {
    CountDownLatch firstIsRunning = new CountDownLatch(1);
    CountDownLatch goOn = new CountDownLatch(1);
    Durability durability =
        new Durability(
            forcing(
                number -> {
                  if (number == 1) {
                    firstIsRunning.countDown();
                    goOn.await(120, TimeUnit.SECONDS);
                  }
                }));
    List<Thread> committers = new ArrayList<>();
    committers.add(committer(durability));
    assertThat(firstIsRunning.await(120, TimeUnit.SECONDS)).isTrue();
    for (int i = 0; i < 7; i++) {
      committers.add(committer(durability));
    }
    for (Thread waiting : committers.subList(1, 8)) {
      while (waiting.getState() != Thread.State.WAITING) {
        Thread.sleep(2);
      }
    }
    goOn.countDown();
    for (Thread committer : committers) {
      committer.join();
    }
    assertThat(forces).hasValue(2);
  }

  @Test
  void aForceOfAFileThatWasOpenedAgainServesNobodyWhoCommittedBefore() throws Exception {
    CountDownLatch forcing = new CountDownLatch(1);
    CountDownLatch goOn = new CountDownLatch(1);
    Durability durability =
        new Durability(
            forcing(
                number -> {
                  forcing.countDown();
                  goOn.await(20, TimeUnit.SECONDS);
                }));
    Thread first = committer(durability);
    assertThat(forcing.await(20, TimeUnit.SECONDS)).isTrue();
    AtomicInteger told = new AtomicInteger();
    List<Thread> waiting = new ArrayList<>();
    for (int i = 0; i < 5; i++) {
      Thread thread =
          new Thread(
              () -> {
                try {
                  durability.afterCommit(commit(false, true), null);
                } catch (TransientDataAccessResourceException failure) {
                  told.incrementAndGet();
                }
              });
      thread.start();
      waiting.add(thread);
    }
    for (Thread thread : waiting) {
      while (thread.getState() != Thread.State.WAITING) {
        Thread.sleep(2);
      }
    }
    open = false;
    goOn.countDown();
    first.join();
    for (Thread thread : waiting) {
      thread.join();
    }
    assertThat(forces).hasValue(2);
    assertThat(told).as("all but the one that forced itself").hasValue(4);
  }

  @Test
  void aForceThatFailsIsToldAndTheNextCommitForcesAgain() {
    Durability durability =
        new Durability(
            forcing(
                number -> {
                  if (number == 1) {
                    throw new SQLException("disk full");
                  }
                }));
    assertThatThrownBy(() -> durability.afterCommit(commit(false, true), null))
        .isInstanceOf(TransientDataAccessResourceException.class);
    durability.afterCommit(commit(false, true), null);
    assertThat(forces).hasValue(2);
  }

  @Test
  void onlyCommitsThatWroteAreForced() {
    Durability durability = new Durability(forcing(number -> {}));
    durability.afterCommit(commit(true, true), null);
    durability.afterCommit(commit(false, false), null);
    durability.afterCommit(commit(false, true), new IllegalStateException("rolled back"));
    assertThat(forces).hasValue(0);
    durability.afterCommit(commit(false, true), null);
    assertThat(forces).hasValue(1);
  }

  /** A process that is killed, not a power cut: that the disk obeys cannot be tested here. */
  @Test
  void whatWasAcknowledgedOutlivesAKilledProcess() throws Exception {
    Process writer =
        process(EndlessWriter.class, database.url())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    long acknowledged = 0;
    try (BufferedReader lines =
        new BufferedReader(
            new InputStreamReader(writer.getInputStream(), StandardCharsets.UTF_8))) {
      String line = lines.readLine();
      while (line != null && Long.parseLong(line) < 200) {
        line = lines.readLine();
      }
      assertThat(writer.toHandle().destroyForcibly()).isTrue();
      for (; line != null; line = lines.readLine()) {
        acknowledged = Long.parseLong(line);
      }
    }
    assertThat(writer.waitFor()).isNotZero();

    assertThat(acknowledged).isGreaterThanOrEqualTo(200);
    assertThat(
            database
                .sql()
                .sql("select count(*) from fact where id <= ?")
                .param(acknowledged)
                .query(Long.class)
                .single())
        .isEqualTo(acknowledged);
  }

  @Test
  void aFileThatH2NeverLetsGoOfEndsTheProcess(@TempDir Path folder) throws Exception {
    Process stuck =
        process(StuckStore.class, folder.resolve("stuck").toString())
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("said").toFile())
            .start();
    try {
      assertThat(stuck.waitFor(120, TimeUnit.SECONDS)).isTrue();
    } finally {
      stuck.destroyForcibly();
    }
    String said = Files.readString(folder.resolve("said"));
    assertThat(stuck.exitValue()).as(said).isEqualTo(1);
    assertThat(said).contains("Tarebook exits", "Start it again");
  }

  private static ProcessBuilder process(Class<?> main, String argument) {
    return new ProcessBuilder(
        Path.of(System.getProperty("java.home"), "bin", "java").toString(),
        "-cp",
        System.getProperty("java.class.path"),
        main.getName(),
        argument);
  }

  private interface Disk {
    void force(int number) throws SQLException, InterruptedException;
  }

  private DelegatingDataSource forcing(Disk disk) {
    return new DelegatingDataSource(database.dataSource()) {
      @Override
      public Connection getConnection() throws SQLException {
        Connection connection = super.getConnection();
        return (Connection)
            Proxy.newProxyInstance(
                getClass().getClassLoader(),
                new Class<?>[] {Connection.class},
                (proxy, method, arguments) -> {
                  if (method.getName().equals("createStatement")) {
                    disk.force(forces.incrementAndGet());
                  }
                  return method.getName().equals("isValid")
                      ? open
                      : method.invoke(connection, arguments);
                });
      }
    };
  }

  private static Thread committer(Durability durability) {
    Thread thread = new Thread(() -> durability.afterCommit(commit(false, true), null));
    thread.start();
    return thread;
  }

  private static TransactionExecution commit(boolean readOnly, boolean outermost) {
    return new TransactionExecution() {
      @Override
      public boolean isReadOnly() {
        return readOnly;
      }

      @Override
      public boolean isNewTransaction() {
        return outermost;
      }
    };
  }
}
