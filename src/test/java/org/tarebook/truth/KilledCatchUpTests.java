package org.tarebook.truth;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.CopiedRows;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/**
 * A service that is killed while it judges readings again: on H2 it goes on when it is started
 * again, on PostgreSQL another copy that runs beside it takes over.
 */
@OnBothDatabases
@Timeout(900)
class KilledCatchUpTests {

  private static final int READINGS = 40_000;

  /** What a service answers on a machine too slow for its database; it asks to be asked again. */
  private static final int BUSY = 503;

  @Test
  void goesOnWhereTheKilledServiceWas(TestDatabase database) throws Exception {
    String token;
    String path;
    try (RunningTarebook tarebook = RunningTarebook.start(database)) {
      ShopFloor floor = new ShopFloor(tarebook, "kg");
      floor.specification(floor.mass(), "5.6", "6", "kg");
      long id =
          floor
              .post(floor.posting(new BigDecimal("5.5"), "kg", "2026-02-02T00:00:00Z"))
              .expect(201)
              .at("/id")
              .asLong();
      CopiedRows.repeatReading(tarebook, id, READINGS);
      token = tarebook.quality().token();
      path = "/api/v1/characteristics/" + floor.mass() + "/specifications/1";
    }
    Path logs = Files.createDirectories(Path.of("target/killed"));
    KillableService first = service(database, logs.resolve(database.vendor() + "-1.log"));
    KillableService second = service(database, logs.resolve(database.vendor() + "-2.log"));
    try {
      first.start();
      if (database.vendor() == Vendor.POSTGRESQL) {
        second.start();
      }
      new Wire(first.base(), token)
          .post(path + "/withdrawal", "application/json", "{\"reason\":\"Wrong drawing\"}");
      JsonNode killedAt = progress(first, token, path, "done", 3_000);
      first.kill();
      assertThat(killedAt.get("state").asString()).isEqualTo("RUNNING");
      if (database.vendor() == Vendor.H2) {
        second.start();
      }
      JsonNode end = progress(second, token, path, "finishedAt", 1);
      assertThat(end.get("state").asString()).isEqualTo("FINISHED");
      assertThat(end.get("done").asLong()).isEqualTo(READINGS + 1);
      assertThat(end.get("changed").asLong()).isEqualTo(READINGS + 1);
    } finally {
      first.kill();
      second.kill();
    }
    JdbcClient sql = database.sql();
    assertThat(
            sql.sql(
                    "select count(*) from successor_result s join catch_up c on c.id = s.catch_up_id"
                        + " where s.sequence = 1 and s.not_judged = 'NO_SPECIFICATION'"
                        + " and c.version is not null")
                .query(Long.class)
                .single())
        .isEqualTo(READINGS + 1);
  }

  private static KillableService service(TestDatabase database, Path log) throws Exception {
    return new KillableService(database.url(), database.user(), database.password(), log);
  }

  /** Asks until a number has been reached, or a member is there at all. */
  private static JsonNode progress(
      KillableService service, String token, String path, String member, long least)
      throws Exception {
    Wire wire = new Wire(service.base(), token);
    while (true) {
      Wire.Reply reply = wire.get(path, "application/json");
      if (reply.status() != BUSY) {
        assertThat(reply.status()).as(reply.text()).isEqualTo(200);
        JsonNode again = reply.json().get("judgingAgain");
        JsonNode reached = again.get(member);
        if (reached != null && (!reached.isNumber() || reached.asLong() >= least)) {
          return again;
        }
      }
      Thread.sleep(50);
    }
  }
}
