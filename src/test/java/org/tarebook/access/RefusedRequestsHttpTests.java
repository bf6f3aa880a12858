package org.tarebook.access;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.springframework.boot.test.system.CapturedOutput;
import org.springframework.boot.test.system.OutputCaptureExtension;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

@OnBothDatabases
@ExtendWith(OutputCaptureExtension.class)
class RefusedRequestsHttpTests {

  private static final String LINES = "/api/v1/lines";

  private final Vendor vendor;

  RefusedRequestsHttpTests(Vendor vendor) {
    this.vendor = vendor;
  }

  @Test
  void whatIsRefusedIsCountedByReasonAndLoggedInOneLineWithoutTheToken(CapturedOutput output) {
    try (RunningTarebook tarebook = RunningTarebook.start(TestDatabase.create(vendor))) {
      Client admin = tarebook.admin();
      String station = Plant.station(tarebook);
      Client terminal = tarebook.station(station);
      Client leaving = tarebook.person(Codes.fresh("leaving"), "READER");
      long revoked = id(tarebook, "leaving");
      admin.post("/api/v1/tokens/" + revoked + "/revocation", "").expect(201);
      tarebook.bean(RefusedRequests.class).tell();

      tarebook.anonymous().get(LINES).expect(401);
      new Client(tarebook.base(), "tb_unknown").get(LINES).expect(401);
      leaving.get(LINES).expect(401);
      terminal.get("/api/v1/capability?line=L").expect(403);
      terminal.post("/api/v1/readings", posting("OTHER-W1")).expect(422);
      terminal.post("/api/v1/readings", posting(Plant.station(tarebook))).expect(403);
      tarebook.anonymous().get("/actuator/health").expect(200);

      for (String reason : List.of("no token", "unknown", "revoked")) {
        assertThat(count(admin, reason)).as(reason).isEqualTo(1);
      }
      assertThat(count(admin, "not allowed")).isEqualTo(2);
      tarebook.bean(RefusedRequests.class).tell();
      tarebook.bean(RefusedRequests.class).tell();
      // another service of this process may write its own line meanwhile
      List<String> told =
          output
              .getAll()
              .lines()
              .filter(line -> line.contains("requests: "))
              .filter(line -> line.contains("(token " + id(tarebook, station) + ")"))
              .toList();
      assertThat(told).hasSize(1);
      assertThat(told.get(0))
          .contains(
              "Refused 5 requests: ",
              "2 not allowed (token " + id(tarebook, station) + ") from 127.0.0.1",
              "1 no token from 127.0.0.1",
              "1 unknown from 127.0.0.1",
              "1 revoked (token " + revoked + ") from 127.0.0.1");
      assertThat(output.getAll()).doesNotContain("tb_unknown");
    }
  }

  @Test
  void anAddressThatKeepsShowingWrongTokensIsBrakedAndItsGoodTokensAreServed() {
    try (RunningTarebook tarebook = RunningTarebook.start(TestDatabase.create(vendor))) {
      tarebook.clock().set("2026-05-04T06:00:00Z");
      Client wrong = new Client(tarebook.base(), "tb_wrong");
      for (int i = 0; i < RefusedRequests.MOST_WRONG; i++) {
        wrong.get(LINES).expect(401);
      }
      Answer braked = wrong.get(LINES).expect(429);
      assertThat(braked.problem()).isEqualTo("too-many-requests");
      assertThat(braked.header("Retry-After")).isEqualTo("61");
      new Client(tarebook.base(), "tb_another").get(LINES).expect(429);
      tarebook.anonymous().get(LINES).expect(401);
      tarebook.reader().get(LINES).expect(200);
      wrong.get("/actuator/health").expect(200);

      tarebook.clock().forward(Duration.ofSeconds(61));
      wrong.get(LINES).expect(401);
    }
  }

  @Test
  void theLastUseOfATokenIsShownAtOnceAndStoredByTheClock() {
    try (RunningTarebook tarebook = RunningTarebook.start(TestDatabase.create(vendor))) {
      Client admin = tarebook.admin();
      String name = Codes.fresh("seldom");
      Client seldom = tarebook.person(name, "READER");
      assertThat(listed(admin, name).has("lastUsedAt")).isFalse();

      tarebook.clock().set("2026-05-04T06:00:59Z");
      seldom.get(LINES).expect(200);
      assertThat(listed(admin, name).get("lastUsedAt").asString())
          .isEqualTo("2026-05-04T06:00:00Z");
      assertThat(stored(tarebook, name)).isZero();
      tarebook.bean(LastUse.class).store();
      assertThat(stored(tarebook, name)).isEqualTo(1);
      assertThat(listed(admin, name).get("lastUsedAt").asString())
          .isEqualTo("2026-05-04T06:00:00Z");

      tarebook.clock().set("2026-05-04T05:00:00Z");
      seldom.get(LINES).expect(200);
      tarebook.bean(LastUse.class).store();
      assertThat(listed(admin, name).get("lastUsedAt").asString())
          .as("another copy whose clock is late takes nothing back")
          .isEqualTo("2026-05-04T06:00:00Z");
    }
  }

  private static tools.jackson.databind.JsonNode listed(Client admin, String name) {
    return admin
        .get("/api/v1/tokens?limit=1000")
        .expect(200)
        .json()
        .get("items")
        .valueStream()
        .filter(item -> item.get("name").asString().equals(name))
        .findFirst()
        .orElseThrow();
  }

  private static long stored(RunningTarebook tarebook, String name) {
    return tarebook
        .sql()
        .sql("select count(*) from access_token where name = ? and last_used_at is not null")
        .param(name)
        .query(Long.class)
        .single();
  }

  private static long id(RunningTarebook tarebook, String name) {
    return tarebook
        .sql()
        .sql("select max(id) from access_token where name like ?")
        .param(name + "%")
        .query(Long.class)
        .single();
  }

  private static double count(Client admin, String reason) {
    return admin
        .get("/actuator/metrics/tarebook.requests.refused?tag=reason:" + reason.replace(" ", "%20"))
        .expect(200)
        .at("/measurements/0/value")
        .asDouble();
  }

  private static String posting(String station) {
    return """
        {"key": "k-1", "station": "%s", "characteristic": "NONE", "value": 1, "unit": "kg",
         "measuredAt": "2026-05-04T06:00:00Z"}
        """
        .formatted(station);
  }
}
