package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Figures of verdicts become readings of charts, and successors take their place. */
@OnBothDatabases
class VerdictChartHttpTests {

  private static final String END = "2026-03-02T06:30:00Z";

  private final RunningTarebook tarebook;
  private CureFloor floor;
  private Client quality;
  private String minutes;

  VerdictChartHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    floor = new CureFloor(tarebook);
    quality = floor.quality();
    floor
        .planned()
        .revision("r1", "2026-01-01T00:00:00Z", floor.planned().definition())
        .expect(201);
    minutes = charted("min");
  }

  @Test
  void chartsFiguresAsReadingsOfTheCavity() {
    chart("SLOWEST_TO_OPENING", minutes).expect(201);
    String seconds = charted("s");
    chart("SOAK", seconds).expect(201);
    String kelvin = charted("K{difference}");
    chart("DOME_DEPRESSION", kelvin).expect(201);
    String id = run();
    JsonNode verdict = floor.close(id, END).expect(201).json();
    JsonNode cure = quality.get("/api/v1/cures/" + id).json();
    Map<Integer, JsonNode> shown = byCavity(minutes);
    assertThat(shown.keySet()).containsExactly(1, 2, 3, 4);
    for (int cavity = 1; cavity <= 4; cavity++) {
      JsonNode reading = shown.get(cavity);
      assertThat(reading.get("item"))
          .isEqualTo(cure.at("/cavities/" + (cavity - 1) + "/load/greenTyre"));
      assertThat(reading.get("station").asString()).isEqualTo(floor.station());
      assertThat(reading.get("unit").asString()).isEqualTo("min");
      assertThat(reading.get("value").decimalValue())
          .isEqualByComparingTo(slowest(verdict, cavity).decimalValue());
    }
    assertThat(byCavity(seconds).get(3).get("value").decimalValue())
        .isEqualByComparingTo(verdict.at("/cavities/2/figures/soak").decimalValue());
    assertThat(byCavity(kelvin)).hasSize(4);
    floor.close(id, END).expect(200);
    assertThat(byCavity(minutes)).isEqualTo(shown);
  }

  @Test
  void replacesOnlyTheFiguresThatChanged() {
    chart("SLOWEST_TO_OPENING", minutes).expect(201);
    String id = run();
    floor.close(id, END).expect(201);
    Map<Integer, JsonNode> before = byCavity(minutes);
    String warmer = warmer("IT-4", 600, 900);
    floor.samples(id, "key=2&lateBecause=found", "text/csv", warmer).expect(201);
    Map<Integer, JsonNode> after = byCavity(minutes);
    for (int cavity = 1; cavity <= 3; cavity++) {
      assertThat(after.get(cavity)).isEqualTo(before.get(cavity));
    }
    assertThat(after.get(4).get("id")).isNotEqualTo(before.get(4).get("id"));
    JsonNode second = quality.get("/api/v1/cures/" + id + "/verdicts/2").json();
    assertThat(after.get(4).get("value").decimalValue())
        .isEqualByComparingTo(slowest(second, 4).decimalValue());
    String address = "/api/v1/readings/" + before.get(4).get("id").asString();
    assertThat(quality.get(address).expect(200).at("/standing").asString()).isEqualTo("VOIDED");
  }

  /** As a reading it would pass or fail, and the cavity did neither. */
  @Test
  void chartsNothingOfACavityThatWasNotJudged() {
    chart("SLOWEST_TO_OPENING", minutes).expect(201);
    String id = run();
    String other = "at,IT-1\n2026-03-02T06:10:00Z,150.0\n";
    floor.samples(id, "key=other", "text/csv", other).expect(201);
    JsonNode verdict = floor.close(id, END).expect(201).json();
    assertThat(verdict.at("/cavities/0/verdict").asString()).isEqualTo("NOT_JUDGED");
    assertThat(byCavity(minutes).keySet()).containsExactly(2, 3, 4);
  }

  @Test
  void voidsWhatHasNoSuccessorAndStillTakesWhatComesLater() {
    chart("SLOWEST_TO_OPENING", minutes).expect(201);
    String id = run();
    floor.close(id, END).expect(201);
    quality
        .post(
            "/api/v1/cure-schedules/" + floor.planned().schedule() + "/revisions/1/withdrawal",
            json("reason", "wrong tyre"))
        .expect(200);
    tarebook.bean(JudgingAgain.class).run();
    assertThat(byCavity(minutes)).isEmpty();
    floor.samples(id, "key=2&lateBecause=found", "text/csv", warmer("IT-4", 600, 900)).expect(201);
    assertThat(quality.get("/api/v1/cures/" + id + "/verdicts").at("/items")).hasSize(3);
    assertThat(byCavity(minutes)).isEmpty();
  }

  @Test
  void letsStandWhatAPersonHasVoided() {
    chart("SLOWEST_TO_OPENING", minutes).expect(201);
    String id = run();
    floor.close(id, END).expect(201);
    for (int cavity : List.of(1, 4)) {
      quality
          .post(
              "/api/v1/readings/"
                  + byCavity(minutes).get(cavity).get("id").asString()
                  + "/amendments",
              json("key", "void" + cavity, "kind", "VOID", "reason", "couple was out"))
          .expect(201);
    }
    floor.samples(id, "key=2&lateBecause=found", "text/csv", warmer("IT-4", 600, 900)).expect(201);
    assertThat(byCavity(minutes).keySet()).containsExactly(2, 3, 4);
  }

  @Test
  void refusesWhatCannotBeCharted() {
    chart("SLOWEST_TO_OPENING", minutes).expect(201);
    assertThat(chart("SLOWEST_TO_OPENING", minutes).expect(200).header("Idempotent-Replayed"))
        .isEqualTo("true");
    assertThat(quality.get("/api/v1/verdict-charts").text()).contains(floor.press(), minutes);
    Answer other = chart("SLOWEST_TO_OPENING", charted("min"));
    assertThat(other.status()).isEqualTo(409);
    assertThat(other.at("/detail").asString()).contains(minutes);
    Answer unit = chart("SOAK", charted("kg")).expect(422);
    assertThat(unit.problem()).isEqualTo("unit-mismatch");
    assertThat(unit.at("/errors/0/pointer").asString()).isEqualTo("/characteristic");
    assertThat(chart("SOAK", "NONE").problem()).isEqualTo("unknown-code");
    chart("WARMTH", minutes).expect(400);
    floor
        .controller()
        .post(
            "/api/v1/verdict-charts",
            json("press", floor.press(), "figure", "SOAK", "characteristic", minutes))
        .expect(403);
  }

  /** A characteristic in a unit with its row of the control plan. */
  private String charted(String unit) {
    String code = Codes.fresh("FIGURE");
    quality
        .post(
            "/api/v1/characteristics",
            json(
                "code",
                code,
                "name",
                "Figure of cures",
                "component",
                floor.planned().compound(),
                "kind",
                "MEASURED",
                "unit",
                unit))
        .expect(201);
    quality
        .post(
            "/api/v1/control-plan",
            json(
                "code",
                Codes.fresh("CHART"),
                "name",
                "Cures",
                "characteristic",
                code,
                "line",
                floor.line(),
                "method",
                "cure verdict",
                "sampleSize",
                1,
                "frequency",
                "every load",
                "kind",
                "INDIVIDUALS",
                "subgroupSize",
                1,
                "strata",
                List.of("DIE"),
                "response",
                "Hold the tyres and look at the trap."))
        .expect(201);
    return code;
  }

  private Answer chart(String figure, String characteristic) {
    return quality.post(
        "/api/v1/verdict-charts",
        json("press", floor.press(), "figure", figure, "characteristic", characteristic));
  }

  private String run() {
    String id = floor.start(floor.cure());
    floor.samples(id, "key=1", "text/csv", HealthyLog.whole().csv()).expect(201);
    return id;
  }

  /** Samples between those of the log, a little warmer. */
  private static String warmer(String channel, int from, int until) {
    StringBuilder csv = new StringBuilder("at," + channel + "\n");
    for (int at = from; at < until; at += 5) {
      csv.append(HealthyLog.instant(at + 2.5)).append(",168.9\n");
    }
    return csv.toString();
  }

  private static JsonNode slowest(JsonNode verdict, int cavity) {
    for (JsonNode one : verdict.at("/cavities/" + (cavity - 1) + "/figures/equivalents")) {
      if (one.get("place").asString().equals("SLOWEST")
          && one.get("until").asString().equals("OPENING")) {
        return one.get("minutes");
      }
    }
    throw new AssertionError("No equivalents of cavity " + cavity + " in " + verdict);
  }

  /** The readings that stand, by their die. */
  private Map<Integer, JsonNode> byCavity(String characteristic) {
    Map<Integer, JsonNode> found = new TreeMap<>();
    Answer readings = quality.get("/api/v1/readings?characteristic=" + characteristic).expect(200);
    for (JsonNode reading : readings.at("/items")) {
      assertThat(found.put(reading.get("die").asInt(), reading)).isNull();
    }
    return found;
  }
}
