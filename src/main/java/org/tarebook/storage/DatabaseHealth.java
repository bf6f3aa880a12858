package org.tarebook.storage;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import org.springframework.boot.health.contributor.Health;
import org.springframework.boot.health.contributor.HealthIndicator;

/**
 * Whether the database answers, asked on a connection beside the pool, so that a pool without a
 * connection to spare does not look like a database that is away. All who ask within a second get
 * one answer.
 */
final class DatabaseHealth implements HealthIndicator {

  private static final long SECOND = 1_000_000_000L;

  private final DatabaseConnections connections;
  private Health last = Health.unknown().build();
  private long asked = System.nanoTime() - 2 * SECOND;

  DatabaseHealth(DatabaseConnections connections) {
    this.connections = connections;
  }

  @Override
  public synchronized Health health() {
    if (System.nanoTime() - asked > SECOND) {
      last = ask();
      asked = System.nanoTime();
    }
    return last;
  }

  private Health ask() {
    try (Connection connection = connections.open();
        Statement statement = connection.createStatement()) {
      statement.execute("select version from master_version");
      return Health.up().build();
    } catch (SQLException failure) {
      return Health.down().build();
    }
  }
}
