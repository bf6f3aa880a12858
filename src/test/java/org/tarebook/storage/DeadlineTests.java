package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;

@OnBothDatabases
class DeadlineTests {

  @AfterEach
  void noDeadlineIsLeft() {
    Deadline.end();
  }

  @Test
  void aStatementOfAReportEndsThenAndLeavesNoTimeOutToOthers(Vendor vendor) throws SQLException {
    String hours =
        vendor == Vendor.H2
            ? "select sum(a.x * b.x) from system_range(1, 1000000) a, system_range(1, 1000000) b"
            : "select pg_sleep(3600)";
    try (RunningTarebook tarebook =
        RunningTarebook.start(
            TestDatabase.create(vendor), "--spring.datasource.hikari.maximum-pool-size=1")) {
      Transactions transactions = tarebook.bean(Transactions.class);
      JdbcClient sql = tarebook.bean(JdbcClient.class);
      Deadline.begin(Duration.ofMillis(300));
      assertThatThrownBy(
              () -> transactions.snapshot(() -> sql.sql(hours).query().listOfRows().size()))
          .isInstanceOfSatisfying(
              Deadline.Passed.class,
              passed -> assertThat(passed.longest()).isEqualTo(Duration.ofMillis(300)));
      assertThatThrownBy(Deadline::require).isInstanceOf(Deadline.Passed.class);
      Deadline.end();
      Deadline.require();
      try (Connection connection = tarebook.dataSource().getConnection();
          Statement statement = connection.createStatement()) {
        assertThat(statement.getQueryTimeout()).isZero();
      }
    }
  }

  @Test
  void aStudyThatTakesTooLongIsToldSo(Vendor vendor) {
    try (RunningTarebook tarebook =
        RunningTarebook.start(
            TestDatabase.create(vendor), "--tarebook.longest-study=PT0.000001S")) {
      Answer answer =
          tarebook
              .reader()
              .get(
                  "/api/v1/reject-rates?measuredFrom=2026-01-01T00:00:00Z"
                      + "&measuredBefore=2026-01-02T00:00:00Z")
              .expect(503);
      assertThat(answer.problem()).isEqualTo("took-too-long");
      assertThat(answer.text()).contains("Ask for a shorter window");
      tarebook.reader().get("/api/v1/readings").expect(200);
    }
  }
}
