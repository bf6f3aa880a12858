package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.tarebook.storage.DatabaseFailure.AWAY;
import static org.tarebook.storage.DatabaseFailure.BUSY;
import static org.tarebook.storage.DatabaseFailure.UNCONFIRMED;

import java.sql.BatchUpdateException;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.SQLTransientConnectionException;
import java.sql.Statement;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.springframework.dao.DataIntegrityViolationException;
import org.springframework.dao.DuplicateKeyException;
import org.springframework.jdbc.CannotGetJdbcConnectionException;
import org.springframework.jdbc.UncategorizedSQLException;
import org.springframework.orm.ObjectOptimisticLockingFailureException;
import org.springframework.orm.jpa.JpaSystemException;
import org.springframework.transaction.CannotCreateTransactionException;
import org.tarebook.fixtures.TestDatabase;

class DatabaseFailureTests {

  @ParameterizedTest
  @CsvSource({
    "08001, AWAY", "08006, AWAY", "28P01, AWAY", "3D000, AWAY", "53100, AWAY", "53300, AWAY",
    "57P01, AWAY", "57P03, AWAY", "58030, AWAY", "25006, AWAY", "XX001, AWAY", "90098, AWAY",
    "90028, AWAY", "90031, AWAY", "90121, AWAY", "90135, AWAY", "90020, AWAY", "40001, BUSY",
    "40P01, BUSY", "55P03, BUSY", "57014, BUSY", "HYT00, BUSY", "90131, BUSY"
  })
  void isKnownByItsStateHoweverDeepItLies(String state, DatabaseFailure kind) {
    SQLException sql = new SQLException("x", state);
    assertThat(DatabaseFailure.of(sql)).contains(kind);
    assertThat(DatabaseFailure.of(new JpaSystemException(new RuntimeException("wrapped", sql))))
        .contains(kind);
    assertThat(DatabaseFailure.of(new UncategorizedSQLException("t", "select", sql)))
        .contains(kind);
    assertThat(DatabaseFailure.of(new IllegalStateException(sql))).contains(kind);
  }

  @Test
  void aRowOfH2ThatOtherWorkHoldsIsBusy() throws SQLException {
    TestDatabase database = TestDatabase.create(Vendor.H2);
    try (Connection one = database.dataSource().getConnection();
        Connection other = database.dataSource().getConnection();
        Statement first = one.createStatement();
        Statement second = other.createStatement()) {
      first.execute("create table held (id int primary key, n int)");
      first.execute("insert into held values (1, 0)");
      one.setAutoCommit(false);
      first.execute("update held set n = 1");
      second.execute("set lock_timeout 10");
      assertThatThrownBy(() -> second.execute("update held set n = 2"))
          .hasRootCauseInstanceOf(Exception.class)
          .satisfies(
              held -> assertThat(DatabaseFailure.of(held)).as(held.toString()).contains(BUSY));
      one.rollback();
    }
  }

  @Test
  void isFoundAmongTheFailuresOfABatch() {
    BatchUpdateException batch = new BatchUpdateException("batch", "HY000", new int[0]);
    batch.setNextException(new SQLException("x", "57P01"));
    assertThat(DatabaseFailure.of(new IllegalStateException(batch))).contains(AWAY);
  }

  @Test
  void isKnownByKindWhereThereIsNoState() {
    assertThat(DatabaseFailure.of(new SQLException("Connection is closed"))).contains(AWAY);
    assertThat(
            DatabaseFailure.of(
                new CannotGetJdbcConnectionException(
                    "t", new SQLTransientConnectionException("no connection"))))
        .contains(AWAY);
    assertThat(
            DatabaseFailure.of(
                new CannotCreateTransactionException(
                    "t", new SQLTransientConnectionException("no connection"))))
        .contains(AWAY);
    assertThat(DatabaseFailure.of(new ObjectOptimisticLockingFailureException("Line", 1)))
        .contains(BUSY);
  }

  @Test
  void aCommitThatWasNotConfirmedIsNeitherDoneNorUndone() {
    assertThat(DatabaseFailure.of(new UnconfirmedCommit(new SQLException("x", "08006"))))
        .contains(UNCONFIRMED);
  }

  @ParameterizedTest
  @ValueSource(strings = {"23505", "23503", "42601", "22003", "22P02", "42P01"})
  void aFaultOfTheServiceOrOfARequestIsNotTheDatabases(String state) {
    assertThat(DatabaseFailure.of(new SQLException("x", state))).isEmpty();
    assertThat(DatabaseFailure.of(new DuplicateKeyException("x", new SQLException("x", state))))
        .isEmpty();
    assertThat(DatabaseFailure.of(new DataIntegrityViolationException("x"))).isEmpty();
    assertThat(DatabaseFailure.of(new IllegalStateException("x"))).isEmpty();
  }
}
