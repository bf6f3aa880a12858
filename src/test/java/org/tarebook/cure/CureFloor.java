package org.tarebook.cure;

import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.json.JsonMapper;

/**
 * A curing line with one press of four cavities, a compound and a schedule, recorded over HTTP
 * under codes never used before. The schedule is an invented one of common practice: hot water of
 * 170 °C at 20 bar inside, steam of 150 °C in the dome.
 */
final class CureFloor {

  static final String START = "2026-03-02T06:00:00Z";

  private static final JsonMapper JSON = new JsonMapper();

  private final RunningTarebook tarebook;
  private final String station = Codes.fresh("PRESS-STATION");
  private final String press = Codes.fresh("PRESS");
  private final String compound = Codes.fresh("COMPOUND");
  private final String schedule = Codes.fresh("CURE");
  private final Client quality;
  private int keys;

  CureFloor(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    tarebook.clock().set("2026-03-02T12:00:00Z");
    quality = tarebook.quality();
    String line = Codes.fresh("CURING");
    quality.post("/api/v1/lines", json("code", line, "name", "Curing", "kind", "CURING"));
    quality
        .post("/api/v1/stations", json("code", station, "name", "Controller", "line", line))
        .expect(201);
    quality
        .post(
            "/api/v1/presses",
            json(
                "code",
                press,
                "name",
                "Press",
                "station",
                station,
                "cavities",
                4,
                "altitude",
                0,
                "altitudeUnit",
                "m"))
        .expect(201);
    quality
        .post("/api/v1/components", json("code", compound, "name", "Tread", "kind", "COMPOUND"))
        .expect(201);
    quality.post("/api/v1/compounds/" + compound + "/kinetics", kinetics()).expect(201);
    quality
        .post("/api/v1/cure-schedules", json("code", schedule, "name", "Four-cavity cure"))
        .expect(201);
  }

  private String kinetics() {
    return json(
        "key",
        "k1",
        "law",
        "ARRHENIUS",
        "referenceTemperature",
        quantity("150", "Cel"),
        "activationEnergy",
        quantity("90", "kJ/mol"),
        "uncertainty",
        quantity("3", "kJ/mol"),
        "diffusivity",
        quantity("0.12", "mm2/s"),
        "diffusivityUncertainty",
        quantity("5", "%"),
        "conductivity",
        quantity("0.25", "W/(m.K)"),
        "source",
        "invented for this test");
  }

  static Map<String, Object> quantity(String value, String unit) {
    return object("value", new BigDecimal(value), "unit", unit);
  }

  static Map<String, Object> object(Object... pairs) {
    Map<String, Object> members = new LinkedHashMap<>();
    for (int i = 0; i < pairs.length; i += 2) {
      if (pairs[i + 1] != null) {
        members.put((String) pairs[i], pairs[i + 1]);
      }
    }
    return members;
  }

  private static Map<String, Object> setPoint(
      String measured, String end, String target, String around, String unit, String settle) {
    BigDecimal aim = new BigDecimal(target);
    return object(
        "measured",
        measured,
        "circuitEnd",
        end,
        "target",
        aim,
        "lower",
        aim.subtract(new BigDecimal(around)),
        "upper",
        aim.add(new BigDecimal(around)),
        "unit",
        unit,
        "pressure",
        unit.equals("bar") ? "GAUGE" : null,
        "settle",
        settle);
  }

  private static Map<String, Object> step(
      String name, String kind, int seconds, Object... setPoints) {
    return object(
        "name",
        name,
        "kind",
        kind,
        "least",
        "PT" + (seconds - 10) + "S",
        "target",
        "PT" + seconds + "S",
        "most",
        "PT" + (seconds + 60) + "S",
        "setPoints",
        List.of(setPoints));
  }

  /** The schedule's definition; tests change it as they need. */
  Map<String, Object> definition() {
    Object dome = setPoint("DOME_TEMPERATURE", null, "150", "2.5", "Cel", null);
    Object domePressure = setPoint("DOME_PRESSURE", null, "3.75", "0.2", "bar", null);
    Object settlingDome = setPoint("DOME_TEMPERATURE", null, "150", "2.5", "Cel", "PT50S");
    Object settlingPressure = setPoint("DOME_PRESSURE", null, "3.75", "0.2", "bar", "PT50S");
    return object(
        "steps",
        List.of(
            step(
                "SHAPE",
                "SHAPING",
                60,
                setPoint("INTERNAL_PRESSURE", "SUPPLY", "0.5", "0.3", "bar", "PT20S")),
            step(
                "WATER",
                "HOT_WATER",
                1500,
                setPoint("INTERNAL_TEMPERATURE", "RETURN", "168", "3", "Cel", "PT2M"),
                setPoint("INTERNAL_PRESSURE", "SUPPLY", "20", "0.8", "bar", "PT1M"),
                setPoint("INTERNAL_PRESSURE", "RETURN", "19", "0.8", "bar", "PT1M"),
                settlingDome,
                settlingPressure),
            step(
                "FLUSH",
                "COOLING_FLUSH",
                120,
                setPoint("INTERNAL_TEMPERATURE", "RETURN", "60", "15", "Cel", "PT1M30S"),
                setPoint("INTERNAL_PRESSURE", "SUPPLY", "20", "0.8", "bar", null),
                dome,
                domePressure),
            step("DRAIN", "RELEASE", 60),
            step("OPEN", "OPENING", 60)),
        "largestGap",
        "PT15S",
        "longestFlat",
        "PT10M",
        "section",
        object(
            "layers",
            List.of(
                layer("bladder", "BLADDER", "4", "0.10", "0.20", null),
                layer("carcass", "RUBBER", "8", null, null, null),
                layer("tread", "RUBBER", "12", null, null, null),
                layer("mould", "METAL", "25", "12", "45", "OUTSIDE")),
            "inside",
            object("film", quantity("1000", "W/(m2.K)")),
            "outside",
            object("film", quantity("3000", "W/(m2.K)")),
            "afterOpening",
            object(
                "air",
                quantity("25", "Cel"),
                "film",
                quantity("12", "W/(m2.K)"),
                "duration",
                "PT20M")),
        "wanted",
        List.of(
            object(
                "name",
                "least",
                "place",
                "SLOWEST",
                "until",
                "OPENING",
                "minimum",
                new BigDecimal("6")),
            object(
                "name",
                "most",
                "place",
                "FASTEST",
                "until",
                "OPENING",
                "maximum",
                new BigDecimal("60"))),
        "blowPoint",
        object("equivalents", new BigDecimal("3.5"), "factor", new BigDecimal("1.2")),
        "minimumHolds",
        List.of("DIFFUSIVITY", "ACTIVATION_ENERGY", "SENSOR"),
        "mostInsideOutside",
        quantity("30", "K{difference}"),
        "mostDomeDepression",
        quantity("1", "K{difference}"),
        "leastWaterMargin",
        quantity("10", "K{difference}"),
        "leastCirculation",
        quantity("0.3", "bar"),
        "greenTyre",
        object(
            "coldest", quantity("20", "Cel"), "warmest", quantity("35", "Cel"), "oldest", "PT48H"));
  }

  private Map<String, Object> layer(
      String name,
      String kind,
      String millimetres,
      String diffusivity,
      String conductivity,
      String startsAt) {
    return object(
        "name",
        name,
        "kind",
        kind,
        "thickness",
        quantity(millimetres, "mm"),
        "compound",
        kind.equals("RUBBER") ? compound : null,
        "diffusivity",
        diffusivity == null ? null : quantity(diffusivity, "mm2/s"),
        "conductivity",
        conductivity == null ? null : quantity(conductivity, "W/(m.K)"),
        "startsAt",
        startsAt);
  }

  /** Records a revision of the schedule. */
  Answer revision(String key, String validFrom, Map<String, Object> definition) {
    return quality.post(
        "/api/v1/cure-schedules/" + schedule + "/revisions",
        json("key", key, "validFrom", validFrom, "definition", definition, "reason", "a test"));
  }

  /** The usual channels of a load: four own return couples, the rest shared. */
  List<Map<String, Object>> channels() {
    List<Map<String, Object>> channels = new ArrayList<>();
    for (int cavity = 1; cavity <= 4; cavity++) {
      channels.add(
          channel("IT-" + cavity, "INTERNAL_TEMPERATURE", "RETURN", "Cel", List.of(cavity)));
    }
    List<Integer> all = List.of(1, 2, 3, 4);
    channels.add(channel("IP", "INTERNAL_PRESSURE", "SUPPLY", "bar", all));
    channels.add(channel("RP", "INTERNAL_PRESSURE", "RETURN", "bar", all));
    channels.add(channel("DT", "DOME_TEMPERATURE", null, "Cel", all));
    channels.add(channel("DP", "DOME_PRESSURE", null, "bar", all));
    return channels;
  }

  static Map<String, Object> channel(
      String code, String measured, String end, String unit, List<Integer> serves) {
    boolean pressure = unit.equals("bar") || unit.equals("[psi]");
    return object(
        "code",
        code,
        "measured",
        measured,
        "circuitEnd",
        end,
        "unit",
        unit,
        "pressure",
        pressure ? "GAUGE" : null,
        "recording",
        "SAMPLED",
        "sensorClass",
        pressure ? null : "PT100_A",
        "accuracy",
        pressure ? new BigDecimal("0.05") : null,
        "serves",
        serves);
  }

  List<Map<String, Object>> cavities(int... loaded) {
    List<Map<String, Object>> cavities = new ArrayList<>();
    for (int cavity : loaded) {
      cavities.add(
          object(
              "cavity",
              cavity,
              "mould",
              "M-" + cavity,
              "bladder",
              "B-" + cavity,
              "bladderCount",
              120 + cavity,
              "greenTyre",
              Codes.fresh("GT"),
              "greenTemperature",
              quantity("25", "Cel"),
              "builtAt",
              "2026-03-01T22:00:00Z"));
    }
    return cavities;
  }

  /** A cure as it is posted; later pairs replace earlier ones, a null leaves out. */
  String cure(Object... more) {
    Map<String, Object> members =
        object(
            "key",
            "cure-" + ++keys,
            "press",
            press,
            "schedule",
            schedule,
            "startedAt",
            START,
            "barometer",
            quantity("1013.25", "mbar"),
            "cavities",
            cavities(1, 2, 3, 4),
            "channels",
            channels());
    for (int i = 0; i < more.length; i += 2) {
      if (more[i + 1] == null) {
        members.remove(more[i]);
      } else {
        members.put((String) more[i], more[i + 1]);
      }
    }
    return JSON.writeValueAsString(members);
  }

  /** Posts a cure as its press's station and gives its id. */
  String start(String cure) {
    return controller().post("/api/v1/cures", cure).expect(201).json().get("id").asString();
  }

  Answer samples(String id, String query, String mediaType, String body, String... headers) {
    return controller()
        .send("POST", "/api/v1/cures/" + id + "/samples?" + query, mediaType, body, headers);
  }

  Answer close(String id, String closedAt) {
    return controller()
        .post("/api/v1/cures/" + id + "/closing", json("key", "close", "closedAt", closedAt));
  }

  Client controller() {
    return tarebook.station(station);
  }

  Client quality() {
    return quality;
  }

  RunningTarebook tarebook() {
    return tarebook;
  }

  String press() {
    return press;
  }

  String station() {
    return station;
  }

  String schedule() {
    return schedule;
  }

  String compound() {
    return compound;
  }
}
