package org.tarebook.schedule;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ScheduleFloor.object;
import static org.tarebook.fixtures.ScheduleFloor.quantity;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ScheduleFloor;
import tools.jackson.databind.JsonNode;

/** What a schedule would do, as it is and changed. */
@OnBothDatabases
class DryRunHttpTests {

  private static final Duration WRITTEN = Duration.ofMinutes(25);

  private final RunningTarebook tarebook;
  private ScheduleFloor floor;

  DryRunHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-02T12:00:00Z");
    floor = new ScheduleFloor(tarebook);
    floor.revision("r1", "2026-01-01T00:00:00Z", floor.definition()).expect(201);
  }

  @Test
  void tellsEveryPlaceAtTargetsAndAtLowerLimits() {
    Answer answer = floor.quality().post(address(), "{}").expect(200);
    assertThat(answer.at("/revision").asInt()).isEqualTo(1);
    assertThat(answer.at("/caution").asString()).contains("thermocouples");
    assertThat(answer.at("/runs")).hasSize(1);
    JsonNode run = answer.at("/runs/0");
    assertThat(run.has("change")).isFalse();
    assertThat(run.has("shortest")).isFalse();
    assertThat(run.get("metAtTarget").asBoolean()).isTrue();
    // slowest and fastest to release, opening and the end of cooling; least and most
    assertThat(run.get("atTarget")).hasSize(8);
    for (JsonNode figure : run.get("atTarget")) {
      String place = figure.get("place").asString();
      double lower = minutes(run.get("atLowerLimits"), place, figure.get("until").asString());
      assertThat(lower).as(place).isPositive().isLessThan(figure.get("minutes").asDouble());
      assertThat(figure.get("layer").asString()).isIn("carcass", "tread");
      assertThat(figure.get("depth").asDouble()).isBetween(0.0, 20.0);
      assertThat(figure.get("depthUnit").asString()).isEqualTo("mm");
    }
    JsonNode target = run.get("atTarget");
    assertThat(minutes(target, "SLOWEST", "RELEASE"))
        .isLessThan(minutes(target, "SLOWEST", "OPENING"));
    assertThat(minutes(target, "SLOWEST", "OPENING")).isLessThan(minutes(target, "SLOWEST", "END"));
    assertThat(minutes(target, "FASTEST", "OPENING"))
        .isGreaterThan(minutes(target, "SLOWEST", "OPENING"));
    assertThat(minutes(target, "least", "OPENING"))
        .isEqualTo(minutes(target, "SLOWEST", "OPENING"));
  }

  @Test
  void givesMoreWhenHotterAndLessWhenShorter() {
    JsonNode runs =
        runs(
            object("insideHotterBy", quantity("5", "K{difference}")),
            object("outsideHotterBy", quantity("9", "[degR]{difference}")),
            object("step", "WATER", "shorterBy", "PT5M"),
            object("step", "WATER", "shorterBy", "PT-5M"));
    for (JsonNode figure : runs.at("/0/atTarget")) {
      String place = figure.get("place").asString();
      String until = figure.get("until").asString();
      double written = figure.get("minutes").asDouble();
      assertThat(minutes(runs.at("/1/atTarget"), place, until)).as(place).isGreaterThan(written);
      assertThat(minutes(runs.at("/2/atTarget"), place, until)).as(place).isGreaterThan(written);
      assertThat(minutes(runs.at("/3/atTarget"), place, until)).as(place).isLessThan(written);
      assertThat(minutes(runs.at("/4/atTarget"), place, until)).as(place).isGreaterThan(written);
    }
    assertThat(runs.at("/3/change/shorterBy").asString()).isEqualTo("PT5M");
    assertThat(runs.at("/1/shortest").isMissingNode()).isTrue();
    Duration shortest = Duration.parse(runs.at("/3/shortest").asString());
    assertThat(runs.at("/4/shortest").asString()).isEqualTo(shortest.toString());
  }

  @Test
  void findsTheShortestTimeThatMeetsTheMinimum() {
    shortestMeets("WATER", WRITTEN);
    shortestMeets("SHAPE", Duration.ofMinutes(1));
  }

  private void shortestMeets(String step, Duration written) {
    for (String hotter : List.of("0", "-4", "2.5")) {
      Map<String, Object> inside = quantity(hotter, "K{difference}");
      JsonNode asked = runs(object("step", step, "insideHotterBy", inside)).get(1);
      Duration shortest = Duration.parse(asked.get("shortest").asString());
      Duration by = written.minus(shortest);
      JsonNode runs =
          runs(
              object("step", step, "shorterBy", by.toString(), "insideHotterBy", inside),
              object(
                  "step",
                  step,
                  "shorterBy",
                  by.plusSeconds(2).toString(),
                  "insideHotterBy",
                  inside));
      if (shortest.getSeconds() > 2) {
        assertThat(least(runs.get(2))).as("%s %s K, %s", step, hotter, shortest).isFalse();
      }
      assertThat(least(runs.get(1))).as("%s %s K, %s", step, hotter, shortest).isTrue();
    }
  }

  /** The rubber goes above 120 °C, where kinetics of a range that ends there promise no more. */
  @Test
  @SuppressWarnings("unchecked")
  void whatIsMetOnlyBeyondTheRangeOfTheKineticsIsNotMet() {
    String stated = ScheduleFloor.kinetics("k2");
    String ranged =
        stated.substring(0, stated.length() - 1)
            + ",\"range\":{\"lowest\":100,\"highest\":120,\"unit\":\"Cel\"}}";
    floor.quality().post("/api/v1/compounds/" + floor.compound() + "/kinetics", ranged).expect(201);
    Map<String, Object> definition = floor.definition();
    Map<String, Object> section = (Map<String, Object>) definition.get("section");
    for (Object layer : (List<Object>) section.get("layers")) {
      Map<String, Object> members = (Map<String, Object>) layer;
      if (members.containsKey("compound")) {
        members.put("revision", 2);
      }
    }
    Answer refused = floor.revision("r2", "2026-02-01T00:00:00Z", definition).expect(422);
    assertThat(refused.problem()).isEqualTo("rule-broken");
    String compound = floor.compound();
    assertThat(refused.at("/errors"))
        .satisfiesExactlyInAnyOrder(
            least ->
                assertThat(least.toString())
                    .contains("/definition/wanted/0/minimum", "wanted at least 6", "but at least")
                    .contains("they give 8.", compound + " (100 to 120 °C)", "send doubtReason"),
            most ->
                assertThat(most.toString())
                    .contains("/definition/wanted/1/maximum", "wanted at most 60")
                    .contains("no known most", compound + " (100 to 120 °C)", "send doubtReason"),
            blow -> assertThat(blow.toString()).contains("/definition/blowPoint", "4.2"));
    Answer accepted = floor.doubtful("r2", "2026-02-01T00:00:00Z", definition).expect(201);
    assertThat(accepted.at("/doubtReason").asString()).contains("next week");
    assertThat(floor.doubtful("r2", "2026-02-01T00:00:00Z", definition).expect(200).json())
        .isEqualTo(accepted.json());
    Answer other = floor.revision("r2", "2026-02-01T00:00:00Z", definition).expect(422);
    assertThat(other.problem()).isEqualTo("key-reused");
    assertThat(other.at("/errors/0/pointer").asString()).isEqualTo("/doubtReason");
    JsonNode run = floor.quality().post(address(), "{}").expect(200).at("/runs/0");
    assertThat(run.get("metAtTarget").asBoolean()).isFalse();
    int only = 0;
    for (JsonNode figure : run.get("atTarget")) {
      boolean met = figure.get("met").asBoolean();
      boolean wanted = figure.has("minimum") || figure.has("maximum");
      assertThat(met && figure.get("onlyExtrapolated").asBoolean()).isFalse();
      assertThat(met || wanted).isTrue();
      only += figure.get("onlyExtrapolated").asBoolean() ? 1 : 0;
    }
    assertThat(only).isEqualTo(2); // the minimum, and the maximum above the range
    JsonNode before = floor.quality().post(address(), "{\"revision\":1}").expect(200).at("/runs/0");
    assertThat(before.get("metAtTarget").asBoolean()).isTrue();
    for (JsonNode figure : before.get("atTarget")) {
      assertThat(figure.get("onlyExtrapolated").asBoolean()).isFalse();
    }
  }

  @Test
  void findsNoShortestTimeWhereTwiceTheTimeIsNotEnough() {
    JsonNode runs =
        runs(
            object(
                "step",
                "DRAIN",
                "insideHotterBy",
                quantity("-45", "K{difference}"),
                "outsideHotterBy",
                quantity("-45", "K{difference}")));
    assertThat(runs.get(1).has("shortest")).isFalse();
    assertThat(runs.at("/1/metAtTarget").asBoolean()).isFalse();
  }

  @Test
  void refusesChangesThatCannotBeTried() {
    refused("/changes/0/step", "is no step", object("step", "STEAM"));
    refused("/changes/0/step", "which step", object("shorterBy", "PT1M"));
    refused(
        "/changes/0/insideHotterBy/value",
        "50 K",
        object("insideHotterBy", quantity("51", "K{difference}")));
    refused("/changes/0/outsideHotterBy/unit", "", object("outsideHotterBy", quantity("5", "Cel")));
    refused("/changes/0/hotterBy", "", object("hotterBy", 5));
    floor.quality().post(address(), json("revision", 2)).expect(404);
    floor.quality().post("/api/v1/cure-schedules/NONE/dry-runs", "{}").expect(404);
    Map<String, Object> none = object("step", "WATER");
    floor.quality().post(address(), json("changes", Collections.nCopies(11, none))).expect(400);
    assertThat(floor.quality().post(address(), json("revision", 1)).expect(200).at("/runs"))
        .hasSize(1);
  }

  @Test
  void refusesAScheduleWithoutASection() {
    Map<String, Object> bare = floor.definition();
    List.of("section", "wanted", "blowPoint", "minimumHolds").forEach(bare::remove);
    floor.revision("r2", "2026-02-01T00:00:00Z", bare).expect(201);
    Answer refused = floor.quality().post(address(), "{}").expect(422);
    assertThat(refused.at("/detail").asString()).contains("Revision 2", "no section");
    floor.quality().post(address(), json("revision", 1)).expect(200);
  }

  /** By hand: 25 minutes of water of 168 °C are 70 at 150 °C with 90 kJ/mol, less its settling. */
  @Test
  void tellsTheMinutesOfAMediumWithoutASection() {
    Map<String, Object> bare = floor.onlyWater("RELEASE", 60, 80);
    Answer recorded = floor.revision("r2", "2026-02-01T00:00:00Z", bare).expect(201);
    assertThat(recorded.at("/definition/media/0/revision").asInt()).isEqualTo(1);
    JsonNode run = runs(object("step", "WATER")).get(1);
    assertThat(run.get("atTarget")).hasSize(2);
    JsonNode least = run.get("atTarget").get(0);
    assertThat(least.get("minutes").asDouble()).isBetween(66.0, 71.0);
    assertThat(least.has("layer")).isFalse();
    assertThat(least.has("depth")).isFalse();
    assertThat(least.get("met").asBoolean()).isTrue();
    assertThat(run.at("/atLowerLimits/0/met").asBoolean()).isFalse();
    Duration shortest = Duration.parse(run.get("shortest").asString());
    assertThat(shortest).isBetween(Duration.ofMinutes(25), Duration.ofMinutes(29));
  }

  /** Ten minutes of heating: one trapezoid over them would count more than half as much again. */
  @Test
  void aRampIsCountedAsItRuns() {
    Map<String, Object> bare = floor.onlyWater("RELEASE", null, 56);
    List<?> steps = (List<?>) bare.get("steps");
    Map<?, ?> water = (Map<?, ?>) steps.get(1);
    @SuppressWarnings("unchecked")
    Map<String, Object> hot = (Map<String, Object>) ((List<?>) water.get("setPoints")).get(0);
    hot.put("settle", "PT10M");
    floor.revision("r2", "2026-02-01T00:00:00Z", bare).expect(201);
    JsonNode figure = runs().get(0).get("atTarget").get(0);
    double sum = 0;
    double green = 20;
    for (double at = 0.5; at < 1500; at++) {
      double celsius = at < 600 ? green + (168 - green) * at / 600 : 168;
      sum += Math.exp(90_000 / 8.31446261815324 * (1 / 423.15 - 1 / (celsius + 273.15))) / 60;
    }
    assertThat(figure.get("minutes").asDouble()).isBetween(sum, sum + 1);
  }

  @Test
  void isOpenToReadersWithAStandingRevisionOnly() {
    ScheduleFloor empty = new ScheduleFloor(tarebook);
    empty
        .quality()
        .post("/api/v1/cure-schedules/" + empty.schedule() + "/dry-runs", "{}")
        .expect(404);
    tarebook.anonymous().post(address(), "{}").expect(401);
  }

  private String address() {
    return "/api/v1/cure-schedules/" + floor.schedule() + "/dry-runs";
  }

  @SafeVarargs
  private JsonNode runs(Map<String, Object>... changes) {
    return floor
        .quality()
        .post(address(), json("changes", List.of(changes)))
        .expect(200)
        .at("/runs");
  }

  private static double minutes(JsonNode figures, String place, String until) {
    for (JsonNode figure : figures) {
      if (figure.get("place").asString().equals(place)
          && figure.get("until").asString().equals(until)) {
        return figure.get("minutes").asDouble();
      }
    }
    throw new AssertionError("No " + place + " to " + until + " in " + figures);
  }

  /** Whether the minimum at the slowest place and the blow point are reached at lower limits. */
  private static boolean least(JsonNode run) {
    return minutes(run.get("atLowerLimits"), "least", "OPENING") >= 6
        && minutes(run.get("atLowerLimits"), "SLOWEST", "RELEASE") >= 3.5 * 1.2;
  }

  private void refused(String pointer, String words, Map<String, Object> change) {
    Answer answer = floor.quality().post(address(), json("changes", List.of(change)));
    assertThat(answer.status()).as(answer.text()).isIn(400, 422);
    assertThat(answer.at("/errors/0/pointer").asString()).as(answer.text()).isEqualTo(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words).isNotBlank();
  }
}
