package org.tarebook.cure;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tarebook.fixtures.ScheduleFloor;
import tools.jackson.core.type.TypeReference;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/**
 * The schedule of a scenario, changed by lines such as "schedule MEMBER JSON", "set-point STEP
 * MEASURED MEMBER JSON" and "kinetics MEMBER JSON", where null leaves the member out and $COMPOUND
 * is the compound.
 */
final class PlannedCure {

  private static final JsonMapper JSON = new JsonMapper();

  private final List<List<String>> changes = new ArrayList<>();

  void change(List<String> words) {
    changes.add(words);
  }

  Map<String, Object> definition(CureFloor floor) {
    ObjectNode definition = JSON.valueToTree(floor.planned().definition());
    ObjectNode kinetics = (ObjectNode) JSON.readTree(ScheduleFloor.kinetics("changed"));
    ObjectNode asItWas = kinetics.deepCopy();
    for (List<String> change : changes) {
      List<String> words =
          change.stream()
              .map(word -> word.replace("$COMPOUND", floor.planned().compound()))
              .toList();
      switch (words.get(0)) {
        case "kinetics" -> put(kinetics, words.get(1), words, 2);
        case "set-point" -> setPoints(definition, words);
        default -> {
          String path = "/" + words.get(1);
          int last = path.lastIndexOf('/');
          put(
              (ObjectNode) definition.at(path.substring(0, last)),
              path.substring(last + 1),
              words,
              2);
        }
      }
    }
    if (!kinetics.equals(asItWas)) {
      record(kinetics, definition, floor);
    }
    return JSON.convertValue(definition, new TypeReference<LinkedHashMap<String, Object>>() {});
  }

  private static void setPoints(ObjectNode definition, List<String> words) {
    for (JsonNode step : definition.get("steps")) {
      for (JsonNode point : step.get("setPoints")) {
        if (step.get("name").asString().equals(words.get(1))
            && point.get("measured").asString().equals(words.get(2))) {
          put((ObjectNode) point, words.get(3), words, 4);
        }
      }
    }
  }

  private static void put(ObjectNode into, String member, List<String> words, int from) {
    JsonNode wanted = JSON.readTree(String.join(" ", words.subList(from, words.size())));
    if (wanted.isNull()) {
      into.remove(member);
    } else {
      into.set(member, wanted);
    }
  }

  /** Records the kinetics as the compound's second revision, which the schedule then names. */
  private static void record(ObjectNode kinetics, ObjectNode definition, CureFloor floor) {
    floor
        .quality()
        .post("/api/v1/compounds/" + floor.planned().compound() + "/kinetics", kinetics.toString())
        .expect(201);
    for (JsonNode layer : definition.at("/section/layers")) {
      if (layer.has("compound")) {
        ((ObjectNode) layer).put("revision", 2);
      }
    }
    definition.path("media").forEach(medium -> ((ObjectNode) medium).put("revision", 2));
  }
}
