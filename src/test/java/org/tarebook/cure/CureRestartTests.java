package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;

/** A load whose service is started anew while it runs. */
@OnBothDatabases
class CureRestartTests {

  private static final String CSV = "text/csv";

  private final HealthyLog first = new HealthyLog(0, 900);
  private final HealthyLog second = new HealthyLog(900, SyntheticLoad.END + 1);

  @Test
  void losesNothingAndJudgesAsIfNothingHadHappened(TestDatabase database) {
    String id;
    String undisturbed;
    String station;
    String cavities;
    try (RunningTarebook before = RunningTarebook.start(database)) {
      CureFloor floor = new CureFloor(before);
      station = floor.station();
      floor
          .planned()
          .revision("r1", "2026-01-01T00:00:00Z", floor.planned().definition())
          .expect(201);
      undisturbed = floor.start(floor.cure());
      floor.samples(undisturbed, "key=1", CSV, first.csv()).expect(201);
      floor.samples(undisturbed, "key=2", CSV, second.csv()).expect(201);
      cavities = floor.close(undisturbed, "2026-03-02T06:30:00Z").at("/cavities").toString();
      id = floor.start(floor.cure());
      floor.samples(id, "key=1", CSV, first.csv()).expect(201);
    }
    try (RunningTarebook after = RunningTarebook.start(database)) {
      after.clock().set("2026-03-02T12:00:00Z");
      Client controller = after.station(station);
      String path = "/api/v1/cures/" + id;
      assertThat(controller.get(path + "/live").expect(200).at("/step/name").asString())
          .isEqualTo("WATER");
      controller.send("POST", path + "/samples?key=1", CSV, first.csv()).expect(200);
      controller.send("POST", path + "/samples?key=2", CSV, second.csv()).expect(201);
      String close = json("key", "close", "closedAt", "2026-03-02T06:30:00Z");
      Answer verdict = controller.post(path + "/closing", close).expect(201);
      assertThat(verdict.at("/samples").asInt()).isEqualTo(HealthyLog.whole().samples());
      assertThat(verdict.at("/cavities/0/verdict").asString()).isEqualTo("GOOD");
      assertThat(verdict.at("/cavities").toString()).isEqualTo(cavities);
      assertThat(
              controller
                  .get("/api/v1/cures/" + undisturbed + "/verdicts/1")
                  .at("/cavities")
                  .toString())
          .isEqualTo(cavities);
    }
  }
}
