package org.tarebook.truth;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** Finds where an answer of a study differs from what was recomputed, digit for digit. */
final class StudyComparison {

  private final List<String> differences = new ArrayList<>();

  private StudyComparison() {}

  static List<String> differences(Recomputed.Study wanted, JsonNode answer) {
    StudyComparison of = new StudyComparison();
    of.same("readings", answer.at("/counts/readings").asLong(), wanted.readings());
    of.same("points", answer.at("/counts/points").asLong(), wanted.points());
    of.same("incomplete", answer.at("/counts/incomplete").asLong(), wanted.incomplete());
    Map<Standing.Cause, Long> excluded = new EnumMap<>(Standing.Cause.class);
    for (JsonNode each : answer.at("/counts/excluded")) {
      excluded.put(
          Standing.Cause.valueOf(each.get("cause").asString()), each.get("readings").asLong());
    }
    of.same("excluded", excluded, wanted.excluded());
    of.same("mean", number(answer, "/mean"), wanted.mean());
    of.same("sigmaTotal", number(answer, "/sigmaTotal/sigma"), wanted.sigmaTotal());
    of.same("sigmaWithin", number(answer, "/sigmaWithin/sigma"), wanted.sigmaWithin());
    JsonNode revision = answer.at("/specification/revision");
    of.same("revision", revision.isNumber() ? revision.asInt() : null, wanted.revision());
    of.same("below", whole(answer, "/counted/below/readings"), wanted.below());
    of.same("above", whole(answer, "/counted/above/readings"), wanted.above());
    of.same("pp", number(answer, "/pp/value"), wanted.pp());
    of.same("ppk", number(answer, "/ppk/value"), wanted.ppk());
    of.same("cp", number(answer, "/cp/value"), wanted.cp());
    of.same("cpk", number(answer, "/cpk/value"), wanted.cpk());
    return of.differences;
  }

  private static @Nullable Double number(JsonNode answer, String at) {
    JsonNode found = answer.at(at);
    return found.isNumber() ? (Double) found.doubleValue() : null;
  }

  private static @Nullable Long whole(JsonNode answer, String at) {
    JsonNode found = answer.at(at);
    return found.isNumber() ? (Long) found.asLong() : null;
  }

  private void same(String name, @Nullable Object told, @Nullable Object wanted) {
    if (!Objects.equals(told, wanted)) {
      differences.add("%s is %s, wanted %s".formatted(name, told, wanted));
    }
  }
}
