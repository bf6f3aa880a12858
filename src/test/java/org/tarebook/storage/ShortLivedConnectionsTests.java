package org.tarebook.storage;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import com.zaxxer.hikari.HikariDataSource;
import java.math.BigDecimal;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.fixtures.TestDatabase;

/**
 * The short form of an hour with connections that live for 30 seconds: every connection of the pool
 * is retired between two rounds of facts of each kind, on a database that was made in this run and
 * on the same one opened again.
 */
@OnBothDatabases
class ShortLivedConnectionsTests {

  private final TestDatabase database;

  ShortLivedConnectionsTests(TestDatabase database) {
    this.database = database;
  }

  @Test
  void aDatabaseTakesFactsAfterEveryConnectionWasRetired() throws Exception {
    try (RunningTarebook made = RunningTarebook.start(database)) {
      rounds(made);
    }
    try (RunningTarebook openedAgain = RunningTarebook.start(database)) {
      rounds(openedAgain);
    }
  }

  private static void rounds(RunningTarebook tarebook) throws Exception {
    Client admin = tarebook.admin();
    for (int round = 0; round < 3; round++) {
      oneOfEach(new ShopFloor(tarebook, "kg"), tarebook, admin);
      retireConnections(tarebook.dataSource().unwrap(HikariDataSource.class));
    }
  }

  /** Rows under every check constraint that a request can reach with few postings. */
  private static void oneOfEach(ShopFloor floor, RunningTarebook tarebook, Client admin) {
    Client quality = tarebook.quality();
    floor.specification(floor.mass(), "4.350", "4.420", "kg");
    String chart = floor.chart(floor.mass(), "INDIVIDUALS", 1);
    String now = Instant.now().minusSeconds(60).truncatedTo(ChronoUnit.SECONDS).toString();
    String id =
        floor
            .post(floor.posting(new BigDecimal("4.385"), "kg", now))
            .expect(201)
            .json()
            .get("id")
            .asString();
    floor.post(floor.posting(new BigDecimal("4.500"), "kg", now, "phase", "START_UP")).expect(201);
    quality
        .post(
            "/api/v1/readings/" + id + "/amendments",
            json("key", floor.station() + "-A", "kind", "VOID", "reason", "A hand on the scale"))
        .expect(201);
    String gauge = "G" + floor.scale();
    quality
        .post(
            "/api/v1/instruments",
            json(
                "code",
                gauge,
                "name",
                "Scale of a class",
                "station",
                floor.station(),
                "kind",
                "SCALE",
                "unit",
                "kg",
                "capacity",
                15,
                "verificationInterval",
                new BigDecimal("0.005"),
                "accuracyClass",
                "III"))
        .expect(201);
    quality
        .post(
            "/api/v1/instrument-checks",
            json(
                "key",
                gauge + "-C",
                "instrument",
                gauge,
                "checkedAt",
                now,
                "standard",
                "5 kg",
                "certificate",
                "N-1",
                "standardValue",
                5,
                "unit",
                "kg",
                "asFound",
                List.of(new BigDecimal("5.001"))))
        .expect(201);
    admin
        .post(
            "/api/v1/tokens",
            json("name", "Reader " + floor.line(), "kind", "PERSON", "role", "READER"))
        .expect(201);
    assertThat(quality.get("/api/v1/capability?chart=" + chart).expect(200).json()).isNotNull();
    assertThat(quality.get("/api/v1/audit?limit=5").expect(200).json()).isNotNull();
  }

  /** One stays until another is open: an H2 file that no connection holds is closed. */
  private static void retireConnections(HikariDataSource pool) throws SQLException {
    try (Connection last = pool.getConnection()) {
      pool.getHikariPoolMXBean().softEvictConnections();
      try (Connection fresh = pool.getConnection()) {
        assertThat(fresh.isValid(5)).isTrue();
      }
    }
  }
}
