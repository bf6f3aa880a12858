package org.tarebook.schedule;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ScheduleFloor.quantity;
import static org.tarebook.fixtures.ShopFloor.json;
import static org.tarebook.schedule.ScheduleRefusalTests.part;
import static org.tarebook.schedule.ScheduleRefusalTests.pointers;

import java.util.Map;
import java.util.function.Consumer;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ScheduleFloor;

/** A revision whose own targets leave in doubt what it wants is recorded only with a reason. */
@OnBothDatabases
class OwnTargetsTests {

  private final RunningTarebook tarebook;
  private ScheduleFloor floor;

  OwnTargetsTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-02T12:00:00Z");
    floor = new ScheduleFloor(tarebook);
  }

  /** Water of 168 °C at 20 bar, a dome of 150 °C: each limit just met, and just missed. */
  @Test
  void refusesLimitsThatItsOwnTargetsMiss() {
    refused(
        "/definition/mostInsideOutside",
        "step WATER give 18.00 K, wanted at most 17.99 K",
        all -> all.put("mostInsideOutside", quantity("17.99", "K{difference}")));
    refused(
        "/definition/leastWaterMargin",
        "wanted at least 60.00 K",
        all -> all.put("leastWaterMargin", quantity("60", "K{difference}")));
    refused(
        "/definition/mostDomeDepression",
        "wanted at most 1.000 K",
        all -> part(all, "steps", 1, "setPoints", 3).put("target", 148));
    Map<String, Object> met = floor.definition();
    met.put("mostInsideOutside", quantity("18", "K{difference}"));
    met.put("leastWaterMargin", quantity("46", "K{difference}"));
    record(met).expect(201);
  }

  /** A dome that the first step says nothing of has no credit for that step. */
  @Test
  void creditsTheOutsideNothingBeforeItsFirstSetPoint() {
    Map<String, Object> definition = floor.onlyWater("OPENING", 40, null);
    part(definition, "media", 0).put("medium", "OUTSIDE");
    part(definition, "steps", 0).put("target", "PT20M");
    part(definition, "steps", 0).put("most", "PT30M");
    assertThat(pointers(record(definition))).containsExactly("/definition/media/0/minimum");
  }

  @Test
  void refusesABlankDoubtReason() {
    Map<String, Object> definition = floor.definition();
    definition.put("leastWaterMargin", quantity("60", "K{difference}"));
    Answer answer =
        floor
            .quality()
            .post(
                "/api/v1/cure-schedules/" + floor.schedule() + "/revisions",
                json(
                    "key", "r1",
                    "validFrom", "2026-01-01T00:00:00Z",
                    "definition", definition,
                    "reason", "a test",
                    "doubtReason", "  \t "))
            .expect(400);
    assertThat(pointers(answer)).containsExactly("/doubtReason");
    floor.doubtful("r1", "2026-01-01T00:00:00Z", definition).expect(201);
  }

  private void refused(String pointer, String words, Consumer<Map<String, Object>> change) {
    Map<String, Object> definition = floor.definition();
    change.accept(definition);
    Answer answer = record(definition).expect(422);
    assertThat(pointers(answer)).as(answer.text()).containsExactly(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words);
  }

  private Answer record(Map<String, Object> definition) {
    return floor.revision("r1", "2026-01-01T00:00:00Z", definition);
  }
}
