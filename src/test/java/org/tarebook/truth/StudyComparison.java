package org.tarebook.truth;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/**
 * Finds where an answer of a study differs from what was recomputed, digit for digit. One figure
 * may be off by 1e-14 of itself: a sigma that was divided by a factor, since the service computes
 * factors in doubles; the indices are then held against the sigma that was told.
 */
final class StudyComparison {

  private final List<String> differences = new ArrayList<>();

  private StudyComparison() {}

  static List<String> differences(Recomputed.Study wanted, String estimator, JsonNode answer) {
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
    Double within = number(answer, "/sigmaWithin/sigma");
    Double exact = wanted.sigmaWithin();
    boolean near =
        within != null && exact != null && Math.abs(within - exact) <= 1e-14 * Math.abs(exact);
    of.same("sigmaWithin", within, near && !estimator.equals("POOLED") ? within : exact);
    JsonNode revision = answer.at("/specification/revision");
    of.same("revision", revision.isNumber() ? revision.asInt() : null, wanted.revision());
    of.same("below", whole(answer, "/counted/below/readings"), wanted.below());
    of.same("above", whole(answer, "/counted/above/readings"), wanted.above());
    of.same("pp", number(answer, "/pp/value"), wanted.potential(wanted.sigmaTotal()));
    of.same("ppk", number(answer, "/ppk/value"), wanted.minimum(wanted.sigmaTotal()));
    of.same("cp", number(answer, "/cp/value"), wanted.potential(within));
    of.same("cpk", number(answer, "/cpk/value"), wanted.minimum(within));
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
