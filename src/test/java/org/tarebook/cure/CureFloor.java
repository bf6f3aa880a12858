package org.tarebook.cure;

import static org.tarebook.fixtures.ScheduleFloor.object;
import static org.tarebook.fixtures.ScheduleFloor.quantity;
import static org.tarebook.fixtures.ShopFloor.json;

import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.PressLoad;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ScheduleFloor;
import tools.jackson.databind.json.JsonMapper;

/**
 * A curing line with one press of four cavities and its schedule, recorded over HTTP under codes
 * never used before.
 */
final class CureFloor {

  static final String START = "2026-03-02T06:00:00Z";

  private static final JsonMapper JSON = new JsonMapper();

  private final RunningTarebook tarebook;
  private final String line = Codes.fresh("CURING");
  private final String station = Codes.fresh("PRESS-STATION");
  private final String press = Codes.fresh("PRESS");
  private final ScheduleFloor planned;
  private int keys;

  CureFloor(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    tarebook.clock().set("2026-03-02T12:00:00Z");
    planned = new ScheduleFloor(tarebook);
    Client quality = planned.quality();
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
  }

  /** The usual channels of a load: four own return couples, the rest shared. */
  List<Map<String, Object>> channels() {
    return PressLoad.channels(4);
  }

  List<Map<String, Object>> cavities(int... loaded) {
    return Arrays.stream(loaded)
        .mapToObj(
            cavity ->
                PressLoad.cavity(cavity, 120 + cavity, Codes.fresh("GT"), "2026-03-01T22:00:00Z"))
        .toList();
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
            planned.schedule(),
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

  /** The schedule that is planned for the press. */
  ScheduleFloor planned() {
    return planned;
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

  /** The engineer who keeps the schedule. */
  Client quality() {
    return planned.quality();
  }

  RunningTarebook tarebook() {
    return tarebook;
  }

  String line() {
    return line;
  }

  String press() {
    return press;
  }

  String station() {
    return station;
  }
}
