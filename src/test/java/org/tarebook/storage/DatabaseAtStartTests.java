package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.SQLException;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.springframework.boot.jdbc.autoconfigure.JdbcConnectionDetails;
import org.tarebook.fixtures.Cable;
import org.tarebook.fixtures.TestDatabase;

@Timeout(60)
class DatabaseAtStartTests {

  private final TestDatabase database = TestDatabase.create(Vendor.POSTGRESQL);

  @Test
  void aDatabaseThatDoesNotAnswerYetIsWaitedFor() throws Exception {
    try (Cable cable = Cable.to(database)) {
      CompletableFuture<Void> started = CompletableFuture.runAsync(() -> await(cable.far()));
      assertThatThrownBy(() -> started.get(2, TimeUnit.SECONDS)).isNotNull();
      assertThat(started).isNotDone();
      cable.plugIn();
      started.get(20, TimeUnit.SECONDS);
    }
  }

  @Test
  void anUnknownDatabaseIsNotWaitedFor() {
    TestDatabase unknown =
        new TestDatabase(
            Vendor.POSTGRESQL,
            database.url().replaceFirst("/tarebook_[0-9a-f]+", "/tarebook_unknown"),
            database.user(),
            database.password());
    assertThatThrownBy(() -> await(unknown))
        .rootCause()
        .isInstanceOfSatisfying(
            SQLException.class, refused -> assertThat(refused.getSQLState()).isEqualTo("3D000"));
  }

  private static void await(TestDatabase database) {
    try (DatabaseConnections connections =
        new DatabaseConnections(details(database), event -> {}, new Outages())) {
      new DatabaseAtStart(database.url(), connections).await();
    } catch (SQLException | InterruptedException failure) {
      throw new IllegalStateException(failure);
    }
  }

  private static JdbcConnectionDetails details(TestDatabase database) {
    return new JdbcConnectionDetails() {
      @Override
      public String getUsername() {
        return database.user();
      }

      @Override
      public String getPassword() {
        return database.password();
      }

      @Override
      public String getJdbcUrl() {
        return database.url();
      }
    };
  }
}
