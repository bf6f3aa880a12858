package org.tarebook.truth;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.CopiedRows;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.EmbeddedFile;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/**
 * A service that is killed while it judges readings again, cuts them into other shifts, or takes
 * them out after a failed check: on H2 it goes on when it is started again, on PostgreSQL another
 * copy that runs beside it takes over.
 */
@OnBothDatabases
@Timeout(900)
class KilledCatchUpTests {

  private static final int READINGS = 40_000;
  private static final int DAYS = 800;

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
    JsonNode end =
        killed(
            database,
            token,
            new Asked(
                path + "/withdrawal",
                "{\"reason\":\"Wrong drawing\"}",
                path,
                "/judgingAgain",
                3_000));
    assertThat(end.get("done").asLong()).isEqualTo(READINGS + 1);
    assertThat(end.get("changed").asLong()).isEqualTo(READINGS + 1);
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

  @Test
  void goesOnCuttingShiftsWhereTheKilledServiceWas(TestDatabase database) throws Exception {
    String token;
    try (RunningTarebook tarebook = RunningTarebook.start(database)) {
      ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
      Instant from = Instant.parse("2020-01-01T00:00:00Z");
      List<String> values = new ArrayList<>();
      for (int i = 0; i < 30; i++) {
        values.add("4.3" + (i * 37 % 89 + 10));
      }
      bench.postAll(values, "kg", from, Duration.ofHours(1));
      bench.freeze(Codes.fresh("L"), from, from.plus(Duration.ofDays(2))).expect(201);
      long id = bench.post("4.9", from.plus(Duration.ofDays(3))).at("/id").asLong();
      CopiedRows.repeatReading(tarebook, id, DAYS, "1' day");
      token = tarebook.quality().token();
    }
    JsonNode end =
        killed(
            database,
            token,
            new Asked(
                "/api/v1/shift-calendars",
                """
                {"code":"C","name":"Three shifts","validFrom":"2020-01-02","zone":"UTC",
                "reason":"Agreed since","shifts":[{"name":"early","startsAt":"06:00:00"},
                {"name":"late","startsAt":"14:00:00"},{"name":"night","startsAt":"22:00:00"}]}""",
                "/api/v1/shift-calendars/C",
                "/changes/0/cuttingAgain",
                100));
    assertThat(end.get("done").asLong()).isEqualTo(end.get("total").asLong()).isGreaterThan(DAYS);
    JdbcClient sql = database.sql();
    String atTheSwitch =
        "select count(*) from signal s join catch_up c on c.version = s.raised_version"
            + " where s.withdrawn_at is null and s.rule = 'BEYOND_LIMITS' and s.completed_at > '";
    assertThat(sql.sql(atTheSwitch + "2020-01-05'").query(Long.class).single()).isEqualTo(DAYS - 1);
    assertThat(sql.sql("select count(*) from signal_to_come").query(Long.class).single()).isZero();
    assertThat(
            sql.sql(
                    "select count(*) from shift_calendar_change k join catch_up c"
                        + " on c.version = k.version join shift_calendar_standing g"
                        + " on g.since = k.in_use_at where g.until is null")
                .query(Long.class)
                .single())
        .isEqualTo(1);
  }

  @Test
  void goesOnApplyingDoubtsWhereTheKilledServiceWas(TestDatabase database) throws Exception {
    String token;
    String scale;
    try (RunningTarebook tarebook = RunningTarebook.start(database)) {
      ChartBench bench =
          new ChartBench(
              tarebook,
              "kg",
              "NOT",
              "INDIVIDUALS",
              1,
              Map.of("permissibleError", 0.01, "permissibleErrorUnit", "kg"));
      scale = bench.floor().scale();
      long id = bench.post("5.5", Instant.parse("2020-02-02T00:00:00Z")).at("/id").asLong();
      CopiedRows.repeatReading(tarebook, id, READINGS, "10' minute");
      token = tarebook.quality().token();
    }
    JsonNode end =
        killed(
            database,
            token,
            new Asked(
                "/api/v1/instrument-checks",
                """
                {"key":"1","instrument":"%s","checkedAt":"2026-01-01T00:00:00Z","standard":"W",
                "certificate":"C","standardValue":5,"unit":"kg","asFound":[6]}"""
                    .formatted(scale),
                "/api/v1/instrument-checks/{id}",
                "/applyingDoubts",
                3_000));
    assertThat(end.get("done").asLong()).isEqualTo(end.get("total").asLong());
    JdbcClient sql = database.sql();
    assertThat(
            sql.sql("select count(*) from uncounted where cause = 'INSTRUMENT_SUSPECT'")
                .query(Long.class)
                .single())
        .isEqualTo(READINGS + 1);
  }

  /**
   * A request that long work follows.
   *
   * @param shownAt where its progress is shown; {@code {id}} is what the answer was named
   * @param progress where in that answer
   * @param least so many readings are done before the service is killed
   */
  private record Asked(String path, String body, String shownAt, String progress, long least) {}

  /** Kills the service in the middle of what was asked for; gives the last progress. */
  private static JsonNode killed(TestDatabase database, String token, Asked asked)
      throws Exception {
    Path logs = Files.createDirectories(Path.of("target/killed"));
    KillableService first = service(database, logs.resolve(database.vendor() + "-1.log"));
    KillableService second = service(database, logs.resolve(database.vendor() + "-2.log"));
    try {
      first.start();
      if (database.vendor() == Vendor.POSTGRESQL) {
        second.start();
      }
      Wire.Reply reply =
          new Wire(first.base(), token).post(asked.path(), "application/json", asked.body());
      assertThat(reply.status()).as(reply.text()).isBetween(200, 299);
      String shownAt = asked.shownAt().replace("{id}", reply.json().path("id").asString(""));
      JsonNode killedAt = progress(first, token, shownAt, asked.progress(), "done", asked.least());
      first.kill();
      assertThat(killedAt.get("state").asString()).isEqualTo("RUNNING");
      if (database.vendor() == Vendor.H2) {
        second.start();
      }
      JsonNode end = progress(second, token, shownAt, asked.progress(), "finishedAt", 1);
      assertThat(end.get("state").asString()).isEqualTo("FINISHED");
      Wire.Reply later = // what was read is on the disk when a later write is answered
          new Wire(second.base(), token)
              .post(
                  "/api/v1/lines",
                  "application/json",
                  "{\"code\":\""
                      + Codes.fresh("LATER")
                      + "\",\"name\":\"n\",\"kind\":\"TREAD_EXTRUSION\"}");
      assertThat(later.status()).as(later.text()).isEqualTo(201);
      return end;
    } finally {
      first.kill();
      second.kill();
      // as a start does: opened by H2 at once, a killed file may lose its newest commits
      EmbeddedFile.of(database.url()).ifPresent(EmbeddedFile::prepare);
    }
  }

  private static KillableService service(TestDatabase database, Path log) throws Exception {
    return new KillableService(database.url(), database.user(), database.password(), log);
  }

  /** Asks until a number has been reached, or a member is there at all. */
  private static JsonNode progress(
      KillableService service,
      String token,
      String shownAt,
      String place,
      String member,
      long least)
      throws Exception {
    Wire wire = new Wire(service.base(), token);
    while (true) {
      Wire.Reply reply = wire.get(shownAt, "application/json");
      if (reply.status() != BUSY) {
        assertThat(reply.status()).as(reply.text()).isEqualTo(200);
        JsonNode again = reply.json().at(place);
        JsonNode reached = again.get(member);
        if (reached != null && (!reached.isNumber() || reached.asLong() >= least)) {
          return again;
        }
      }
      Thread.sleep(50);
    }
  }
}
