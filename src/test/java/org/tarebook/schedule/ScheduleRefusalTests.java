package org.tarebook.schedule;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ScheduleFloor.object;
import static org.tarebook.fixtures.ScheduleFloor.quantity;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ScheduleFloor;

/** Schedules that cannot be met or understood are refused, with the place. */
@OnBothDatabases
class ScheduleRefusalTests {

  private static final String WATER = "/definition/steps/1";
  private static final String LAYERS = "/definition/section/layers/";

  private final RunningTarebook tarebook;
  private ScheduleFloor floor;

  ScheduleRefusalTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-02T12:00:00Z");
    floor = new ScheduleFloor(tarebook);
  }

  @Test
  void refusesTimesThatCannotBe() {
    refused("/definition/largestGap", "must be positive", all -> all.put("largestGap", "PT0S"));
    refused("/definition/longestFlat", "positive", all -> all.put("longestFlat", "PT-1S"));
    refused(
        "/definition/steps/3/least",
        "must not be negative",
        all -> part(all, "steps", 3).put("least", "PT-1S"));
    refused(
        "/definition/steps/3/least", "PT1M", all -> part(all, "steps", 3).put("least", "PT1M1S"));
    refused(WATER + "/most", "PT25M", all -> part(all, "steps", 1).put("most", "PT24M59S"));
    refused(WATER + "/setPoints/0/settle", "negative", all -> hot(all).put("settle", "PT-1S"));
    refused(WATER + "/setPoints/0/settle", "never", all -> hot(all).put("settle", "PT24M50S"));
    refused(
        WATER + "/setPoints/0/tolerated", "never", all -> hot(all).put("tolerated", "PT24M50S"));
    refused(
        WATER + "/setPoints/0/tolerated", "negative", all -> hot(all).put("tolerated", "PT-1S"));
    refused(
        WATER + "/setPoints/0/toleratedTotal",
        "(PT4S) must be at least as long as tolerated (PT5S)",
        all -> {
          hot(all).put("tolerated", "PT5S");
          hot(all).put("toleratedTotal", "PT4S");
        });
  }

  @Test
  void refusesStepsOutOfOrder() {
    refused(WATER + "/name", "stands twice", all -> part(all, "steps", 1).put("name", "SHAPE"));
    refused(
        "/definition/steps/4/kind",
        "after the press has opened",
        all -> {
          part(all, "steps", 3).put("kind", "OPENING");
          part(all, "steps", 4).put("kind", "RELEASE");
        });
    refused("/definition/steps", "", all -> all.put("steps", List.of()));
    refused(WATER + "/kind", "", all -> part(all, "steps", 1).put("kind", "BAKING"));
  }

  @Test
  void refusesSetPointsThatNoSensorCanMeet() {
    String hot = WATER + "/setPoints/0";
    refused(hot + "/lower", "above the upper", all -> hot(all).put("lower", 172));
    refused(hot + "/target", "outside 165 to 171", all -> hot(all).put("target", 172));
    refused(hot + "/unit", "", all -> hot(all).put("unit", "bar"));
    refused(hot + "/unit", "", all -> hot(all).put("unit", "°C"));
    refused(hot + "/pressure", "belongs to", all -> hot(all).put("pressure", "GAUGE"));
    String dome = WATER + "/setPoints/3";
    refused(dome + "/upper", "0 to 350", all -> setPoint(all, 3).put("upper", 351));
    refused(dome + "/upper", "0 to 350", all -> setPoint(all, 3).put("lower", -1));
    String pressure = WATER + "/setPoints/1";
    refused(
        pressure + "/pressure", "GAUGE or ABSOLUTE", all -> setPoint(all, 1).remove("pressure"));
    refused(
        "/definition/steps/0/setPoints/0/lower",
        "vacuum",
        all -> part(all, "steps", 0, "setPoints", 0).put("lower", -1.02));
    refused(
        "/definition/steps/0/setPoints/0/unit",
        "a force",
        all ->
            part(all, "steps", 0, "setPoints", 0)
                .putAll(object("measured", "CLAMPING", "unit", "kg", "pressure", null)),
        all -> part(all, "steps", 0, "setPoints", 0).remove("pressure"));
  }

  @Test
  void refusesWaterThatWouldBoilAndSteamThatIsNotSaturated() {
    refused(
        WATER + "/setPoints",
        "boils",
        all -> setPoint(all, 1).putAll(object("target", 7, "lower", 6.9, "upper", 7.1)));
    refused(
        WATER + "/setPoints",
        "gauge or absolute",
        all -> setPoint(all, 4).put("pressure", "ABSOLUTE"));
    refused(
        WATER + "/setPoints",
        "saturated steam of that internal pressure",
        all -> part(all, "steps", 1).put("kind", "INTERNAL_STEAM"));
  }

  @Test
  void refusesLimitsAndGreenTyresThatCannotBe() {
    for (String member : List.of("mostInsideOutside", "mostDomeDepression", "leastWaterMargin")) {
      String place = "/definition/" + member;
      refused(
          place + "/value", "negative", all -> all.put(member, quantity("-1", "K{difference}")));
      refused(place + "/unit", "", all -> all.put(member, quantity("1", "Cel")));
    }
    refused(
        "/definition/leastCirculation/unit",
        "pressure",
        all -> all.put("leastCirculation", quantity("1", "K{difference}")));
    refused(
        "/definition/greenTyre/coldest",
        "exchange",
        all -> part(all, "greenTyre").put("coldest", quantity("36", "Cel")));
    refused(
        "/definition/greenTyre",
        "check the units",
        all -> part(all, "greenTyre").put("coldest", quantity("-41", "Cel")));
  }

  @Test
  void refusesAGreatestAgeThatNoGreenTyreHas() {
    for (String age : List.of("PT0S", "PT-1H")) {
      refused(
          "/definition/greenTyre/oldest",
          "must be positive",
          all -> part(all, "greenTyre").put("oldest", age));
    }
  }

  @Test
  void refusesLayersOfZeroAndWithoutWhatTheyNeed() {
    refused(LAYERS + "1/name", "twice", all -> layer(all, 1).put("name", "bladder"));
    refused(LAYERS + "0/thickness/value", "above 0", zero(0, "thickness", "mm"));
    refused(LAYERS + "2/thickness/value", "above 0", zero(2, "thickness", "mm"));
    refused(LAYERS + "0/diffusivity/value", "above 0", zero(0, "diffusivity", "mm2/s"));
    refused(LAYERS + "3/conductivity/value", "above 0", zero(3, "conductivity", "W/(m.K)"));
    refused(LAYERS + "3/conductivity/unit", "", zero(3, "conductivity", "mm2/s"));
    refused(LAYERS + "0/diffusivity", "is needed", all -> layer(all, 0).remove("diffusivity"));
    refused(LAYERS + "1/compound", "is needed", all -> layer(all, 1).remove("compound"));
    refused(LAYERS + "1/compound", "NONE", all -> layer(all, 1).put("compound", "NONE"));
    refused(LAYERS + "1/compound", "", all -> layer(all, 1).put("revision", 9));
    refused(LAYERS + "1/diffusivity", "leave it out", zero(1, "diffusivity", "mm2/s"));
    refused(
        LAYERS + "3/compound", "rubber", all -> layer(all, 3).put("compound", floor.compound()));
    refused(
        LAYERS + "2/kind",
        "side by side",
        all ->
            part(all, "section")
                .put(
                    "layers", List.of(layer(all, 1), layer(all, 0), layer(all, 2), layer(all, 3))));
    refused(
        "/definition/section/layers",
        "no rubber",
        all -> part(all, "section").put("layers", List.of(layer(all, 0), layer(all, 3))));
  }

  @Test
  void refusesFacesAndCoolingThatAreNotSaid() {
    String inside = "/definition/section/inside";
    refused(inside, "errs unsafe", all -> part(all, "section").put("inside", object()));
    refused(inside, "errs", all -> part(all, "section", "inside").put("faceCouple", true));
    refused(
        inside + "/film/value",
        "above 0",
        all -> part(all, "section", "inside").put("film", quantity("0", "W/(m2.K)")));
    String after = "/definition/section/afterOpening";
    refused(after + "/film/value", "above 0", cooling("film", quantity("0", "W/(m2.K)")));
    refused(after + "/air/unit", "temperature", cooling("air", quantity("25", "bar")));
    refused(after + "/duration", "must be positive", cooling("duration", "PT0S"));
  }

  @Test
  void refusesWishesThatContradictThemselves() {
    String first = "/definition/wanted/0";
    refused(
        "/definition/wanted/1/name", "twice", all -> part(all, "wanted", 1).put("name", "least"));
    refused(first + "/minimum", "or maximum", all -> part(all, "wanted", 0).remove("minimum"));
    refused(first + "/minimum", "above", all -> part(all, "wanted", 0).put("maximum", 5));
    refused(first + "/minimum", "", all -> part(all, "wanted", 0).put("minimum", 0));
    refused(first + "/layer", "needed", all -> part(all, "wanted", 0).put("place", "IN_LAYER"));
    refused(first + "/layer", "belongs", all -> part(all, "wanted", 0).put("layer", "tread"));
    refused(
        first + "/layer",
        "must be a rubber layer",
        all -> part(all, "wanted", 0).putAll(object("place", "IN_LAYER", "layer", "mould")));
    refused(
        first + "/until",
        "afterOpening",
        all -> part(all, "wanted", 0).put("until", "END"),
        all -> part(all, "section").remove("afterOpening"));
    Map<String, Object> bare = floor.definition();
    bare.remove("section");
    assertThat(pointers(record(bare)))
        .containsExactly("/definition/wanted", "/definition/blowPoint");
  }

  @Test
  void refusesWhatItsOwnTargetsDoNotGive() {
    refused(
        "/definition/wanted/0/minimum",
        "lengthen the cure",
        all -> part(all, "wanted", 0).put("minimum", 100));
    refused(
        "/definition/wanted/1/maximum",
        "shorten the cure",
        all -> part(all, "wanted", 1).put("maximum", 7));
    refused(
        "/definition/blowPoint",
        "at the slowest place",
        all -> part(all, "blowPoint").put("factor", 30));
    refused(
        "/definition/steps",
        "temperature outside the mould",
        all -> {
          part(all, "steps", 1).put("setPoints", List.of(hot(all), setPoint(all, 1)));
          part(all, "steps", 2).put("setPoints", List.of());
        });
    refused(
        "/definition/steps",
        "temperature inside",
        all -> {
          part(all, "steps", 1).put("setPoints", List.of(setPoint(all, 3)));
          part(all, "steps", 2).put("setPoints", List.of());
        });
  }

  @SuppressWarnings("unchecked")
  static Map<String, Object> part(Map<String, Object> whole, Object... path) {
    Object found = whole;
    for (Object step : path) {
      found =
          step instanceof Integer at
              ? ((List<Object>) found).get(at)
              : ((Map<String, Object>) found).get(step);
    }
    return (Map<String, Object>) found;
  }

  private static Map<String, Object> setPoint(Map<String, Object> all, int at) {
    return part(all, "steps", 1, "setPoints", at);
  }

  @Test
  void refusesWhatCannotBeWantedOfAMedium() {
    String at = "/definition/media/0";
    refused(at + "/minimum", "or maximum is needed", medium("minimum", null));
    refused(at + "/minimum", "above the maximum 50", medium("maximum", 50));
    refused(at + "/until", "RELEASE or OPENING", medium("until", "END"));
    refused(at + "/compound", "", medium("compound", "NO-SUCH"));
    refused(at + "/compound", "", medium("compound", null));
    refused(at + "/medium", "", medium("medium", null));
    refused(at + "/hottest/unit", "is a unit of pressure", medium("hottest", quantity("5", "bar")));
    refused(at + "/minimum", "own targets: they give", medium("minimum", 90));
    refused(at + "/maximum", "own targets: they give", medium("maximum", 65));
    refused(at + "/name", "stands twice", medium("name", "least"));
    refused(at + "/name", "places of the tyre", medium("name", "SLOWEST"));
    refused(at + "/hottest", "is below 171.0 °C", medium("hottest", quantity("16", "Cel")));
    refused(
        at + "/medium",
        "no set point for its temperature",
        medium("medium", "INSIDE"),
        all -> {
          List.of("section", "wanted", "blowPoint").forEach(all::remove);
          for (int step = 1; step <= 2; step++) {
            setPoints(all, step).removeIf(point -> ofInside(point));
          }
        });
    floor.quality().post(kinetics(), ScheduleFloor.kinetics("k2")).expect(201);
    refused(
        at + "/revision",
        "have 2 revisions",
        medium("revision", null),
        all -> List.of("section", "wanted", "blowPoint").forEach(all::remove));
  }

  private String kinetics() {
    return "/api/v1/compounds/" + floor.compound() + "/kinetics";
  }

  private static boolean ofInside(Object point) {
    return ((Map<?, ?>) point).get("measured").equals("INTERNAL_TEMPERATURE");
  }

  @SuppressWarnings("unchecked")
  private static List<Object> setPoints(Map<String, Object> all, int step) {
    List<Object> points = new ArrayList<>((List<Object>) part(all, "steps", step).get("setPoints"));
    part(all, "steps", step).put("setPoints", points);
    return points;
  }

  /** Wants 60 minutes of the water, with one member otherwise. */
  private Consumer<Map<String, Object>> medium(String member, Object value) {
    Object minimum = member.equals("maximum") && value.equals(65) ? null : 60;
    Map<String, Object> wanted = floor.wantedOfWater("OPENING", minimum, null);
    if (value == null) {
      wanted.remove(member);
    } else {
      wanted.put(member, value);
    }
    return all -> all.put("media", List.of(wanted));
  }

  private static Map<String, Object> hot(Map<String, Object> all) {
    return setPoint(all, 0);
  }

  private static Map<String, Object> layer(Map<String, Object> all, int at) {
    return part(all, "section", "layers", at);
  }

  private static Consumer<Map<String, Object>> zero(int layer, String member, String unit) {
    return all -> layer(all, layer).put(member, quantity("0", unit));
  }

  private static Consumer<Map<String, Object>> cooling(String member, Object value) {
    return all -> part(all, "section", "afterOpening").put(member, value);
  }

  @SafeVarargs
  private void refused(String pointer, String words, Consumer<Map<String, Object>>... changes) {
    Map<String, Object> definition = floor.definition();
    for (Consumer<Map<String, Object>> change : changes) {
      change.accept(definition);
    }
    Answer answer = record(definition);
    assertThat(answer.status()).as(pointer + " " + answer.text()).isIn(400, 422);
    assertThat(pointers(answer)).as(answer.text()).containsExactly(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words).isNotBlank();
  }

  private Answer record(Map<String, Object> definition) {
    return floor.revision("r1", "2026-01-01T00:00:00Z", definition);
  }

  static List<String> pointers(Answer answer) {
    return new ArrayList<>(
        StreamSupport.stream(answer.at("/errors").spliterator(), false)
            .map(fault -> fault.get("pointer").asString())
            .toList());
  }
}
