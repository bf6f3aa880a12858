package org.tarebook.storage;

import java.io.IOException;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.SQLTransientConnectionException;
import java.sql.Statement;
import java.time.Duration;
import java.util.Optional;
import java.util.Properties;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.FutureTask;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.locks.ReentrantLock;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.boot.jdbc.autoconfigure.JdbcConnectionDetails;
import org.springframework.context.ApplicationEventPublisher;
import org.springframework.dao.DataAccessResourceFailureException;
import org.springframework.jdbc.datasource.AbstractDriverBasedDataSource;
import org.springframework.jdbc.datasource.DriverManagerDataSource;

/**
 * Opens the connections of the service: for its pool, and beside the pool for who wants to know
 * whether the database answers. Each waits for a lock, and on PostgreSQL for an answer, a bounded
 * time only.
 *
 * <p>H2 closes a file for good after a write that failed, but holds the closed one until its last
 * user has gone. One connection of our own, the witness, says whether the file is still open. If it
 * is not, what is left of it is shut down, and the file opened again with growing back-off.
 */
final class DatabaseConnections implements AutoCloseable {

  /**
   * How long a statement waits for a lock. Short, since who waits holds a connection of the pool;
   * {@link Transactions} tries again. Longer than the second after which PostgreSQL looks for two
   * that wait for each other: it then sends one of them back, where this would end both.
   */
  private static final Duration LOCK_WAIT = Duration.ofMillis(1500);

  /** How long PostgreSQL may take to accept a connection. */
  private static final Duration CONNECT = Duration.ofSeconds(3);

  /** How long PostgreSQL may send nothing while a statement runs. */
  private static final Duration SILENCE = Duration.ofSeconds(10);

  /** How long H2 may take to force its file to disk, or to let go of one that failed. */
  private static final Duration PATIENCE = Duration.ofSeconds(30);

  private static final long LONGEST_PAUSE = TimeUnit.SECONDS.toNanos(8);
  private static final long SHORTEST_PAUSE = TimeUnit.SECONDS.toNanos(1);
  private static final long STEADY = TimeUnit.MINUTES.toNanos(1);

  private static final Logger log = LoggerFactory.getLogger(DatabaseConnections.class);

  private final AbstractDriverBasedDataSource driver;
  private final boolean embedded;
  private final ApplicationEventPublisher events;
  private final Outages outages;
  private final DiskSpace space;
  private final Duration patience;
  private final ReentrantLock opening = new ReentrantLock();
  private @Nullable Connection witness;
  private volatile boolean away;

  /** H2 may lose sight of a file that it holds open, and then refuses everybody else. */
  private boolean detached;

  private long opened = System.nanoTime();
  private long pause = SHORTEST_PAUSE;
  private long notBefore = opened;

  DatabaseConnections(
      JdbcConnectionDetails details, ApplicationEventPublisher events, Outages outages) {
    this(details, events, outages, PATIENCE);
  }

  DatabaseConnections(
      JdbcConnectionDetails details,
      ApplicationEventPublisher events,
      Outages outages,
      Duration patience) {
    this.patience = patience;
    String url = details.getJdbcUrl();
    space = new DiskSpace(details);
    driver = new DriverManagerDataSource(url);
    driver.setUsername(details.getUsername());
    driver.setPassword(details.getPassword());
    embedded = url.startsWith("jdbc:h2:");
    this.events = events;
    this.outages = outages;
    if (url.startsWith("jdbc:postgresql:")) {
      Properties limits = new Properties();
      limits.setProperty("connectTimeout", String.valueOf(CONNECT.toSeconds()));
      limits.setProperty("loginTimeout", String.valueOf(CONNECT.toSeconds()));
      limits.setProperty("socketTimeout", String.valueOf(SILENCE.toSeconds()));
      driver.setConnectionProperties(limits);
    }
  }

  /** Opens a connection; the caller closes it. */
  Connection open() throws SQLException {
    return embedded ? openEmbedded() : openOverNetwork();
  }

  /** Notes that a connection of the pool found the database away. */
  void lost() {
    away = true;
  }

  private Connection openOverNetwork() throws SQLException {
    try {
      Connection connection = connect("set lock_timeout = " + LOCK_WAIT.toMillis());
      if (away) {
        away = false;
        tellOfReturn();
      }
      return connection;
    } catch (SQLException failure) {
      away = true;
      throw failure;
    }
  }

  private Connection openEmbedded() throws SQLException {
    if (!takeTurn()) {
      throw notNow("The database file is being opened");
    }
    try {
      Connection known = witness;
      if (known == null) {
        witness = driver.getConnection();
      } else if (detached || !forces(known)) {
        reopen(known);
        detached = false;
      }
      return connect("set lock_timeout " + LOCK_WAIT.toMillis());
    } catch (SQLException failure) {
      detached = true;
      throw failure;
    } finally {
      opening.unlock();
    }
  }

  private boolean takeTurn() throws SQLException {
    try {
      return opening.tryLock(CONNECT.toMillis(), TimeUnit.MILLISECONDS);
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
      throw new SQLException("Interrupted while the database file was being opened", interrupted);
    }
  }

  private void reopen(Connection dead) throws SQLException {
    long now = System.nanoTime();
    if (now - notBefore < 0) {
      throw notNow("The database file has failed and is opened again soon");
    }
    if (now - opened > STEADY) {
      pause = SHORTEST_PAUSE;
    }
    opened = now;
    notBefore = now + pause;
    pause = Math.min(LONGEST_PAUSE, 2 * pause);
    try {
      space.require();
    } catch (DataAccessResourceFailureException full) {
      throw notNow(String.valueOf(full.getMessage()));
    }
    shutDown(dead);
    recover();
    Connection fresh = driver.getConnection();
    witness = fresh;
    try (Statement statement = fresh.createStatement()) {
      statement.execute("update master_version set version = version");
    }
    if (!forces(fresh)) {
      throw notNow("The database file was opened and failed again");
    }
    tellOfReturn();
  }

  private void recover() throws SQLException {
    Optional<EmbeddedFile> file = EmbeddedFile.of(String.valueOf(driver.getUrl()));
    if (file.isPresent()) {
      try {
        file.get().recover();
      } catch (IOException unreadable) {
        throw new SQLException("The database file cannot be read", unreadable);
      }
    }
  }

  private void tellOfReturn() {
    events.publishEvent(new DatabaseReopened());
    outages.over();
  }

  private static SQLException notNow(String why) {
    return new SQLTransientConnectionException(why, "08001");
  }

  /** Whether the file is open and what is written to it reaches the disk. */
  private boolean forces(Connection connection) throws SQLException {
    return succeedsInTime(connection, "checkpoint sync");
  }

  private void shutDown(Connection dead) throws SQLException {
    try (dead) {
      succeedsInTime(dead, "shutdown immediately");
    } catch (SQLException closedAlready) {
      log.trace("Closed", closedAlready);
    }
  }

  /**
   * Whether H2 does what it is told. A store that failed was seen to hold whoever uses it without
   * end; then only another process can open the file, and all that was acknowledged is on the disk.
   */
  private boolean succeedsInTime(Connection connection, String statement) throws SQLException {
    FutureTask<Boolean> task = new FutureTask<>(() -> succeeds(connection, statement));
    Thread thread = new Thread(task, "asking-h2");
    thread.setDaemon(true);
    thread.start();
    try {
      return task.get(patience.toMillis(), TimeUnit.MILLISECONDS);
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
      throw new SQLException("Interrupted while the database file was asked", interrupted);
    } catch (ExecutionException failure) {
      throw new SQLException("The database file was not asked", failure);
    } catch (TimeoutException stuck) {
      log.error("H2 does not let go of the database file. Tarebook exits; start it again.");
      System.err.println(
          "Tarebook exits: H2 does not let go of the database file. Start it again.");
      Runtime.getRuntime().halt(1);
      throw new IllegalStateException(stuck);
    }
  }

  private static boolean succeeds(Connection connection, String statement) {
    try (Statement asked = connection.createStatement()) {
      asked.execute(statement);
      return true;
    } catch (SQLException closed) {
      return false;
    }
  }

  private Connection connect(String limit) throws SQLException {
    Connection connection = driver.getConnection();
    try (Statement statement = connection.createStatement()) {
      statement.execute(limit);
      return connection;
    } catch (SQLException failure) {
      try (connection) {
        throw failure;
      }
    }
  }

  @Override
  public void close() throws SQLException {
    opening.lock();
    try {
      if (witness != null) {
        witness.close();
        witness = null;
      }
    } finally {
      opening.unlock();
    }
  }
}
