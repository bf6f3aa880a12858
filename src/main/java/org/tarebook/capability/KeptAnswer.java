package org.tarebook.capability;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.MethodRevision;
import org.tarebook.storage.Sha256;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** The answer of a kept study: its digest, and where the same study computed again differs. */
final class KeptAnswer {

  /** The first revision of methods whose kept studies have a digest without sentences. */
  private static final int WITHOUT_SENTENCES = 2;

  /** The first revision of methods that holds a window against the revision at its last reading. */
  private static final int BY_LAST_READING = 4;

  private static final Set<String> SENTENCES = Set.of("words", "criterion", "because");
  private static final Set<String> SENTENCES_OF_METHOD = Set.of("estimator", "intervals");

  /** What says how the record is changing, and by which method, does not belong to what is kept. */
  private static final Set<String> NOT_KEPT =
      Set.of("/state/changedSince", "/state/unsettled", "/methodRevision");

  /** What the record alone decides, whatever the method. */
  private static final List<String> FACTS =
      List.of("/counts", "/specification", "/revisions", "/mean", "/sigmaTotal");

  private final String text;
  private final JsonNode json;
  private final int methodRevision;

  KeptAnswer(String text, int methodRevision, JsonMapper mapper) {
    this.text = text;
    this.json = mapper.readTree(text);
    this.methodRevision = methodRevision;
  }

  /** Why a figure of a study computed again differs from the kept one. */
  @Schema(
      name = "DifferenceCause",
      description = "Why a figure of a study that was computed again differs from the kept one.")
  enum Because {
    @Schema(
        description =
            "The record differs: the method is the same, or the figure does not depend on it.")
    RECORD,
    @Schema(description = "The method differs: the record gives the same readings.")
    METHOD,
    @Schema(description = "Both the record and the method differ.")
    RECORD_OR_METHOD
  }

  /** A part of a study computed again that is not as it was kept. */
  @Schema(
      name = "KeptStudyDifference",
      description = "A part of a kept study that came out differently when it was computed again.")
  record Difference(
      @Schema(description = "JSON pointer into the study.", example = "/ppk/lower") String at,
      @Schema(description = "Whether the record or the method differs.") Because because,
      @Schema(description = "As kept.", example = "1.12") String kept,
      @Schema(description = "As computed again; absent where it is not there.", example = "1.09")
          @Nullable String now) {}

  JsonNode json() {
    return json;
  }

  /** How many readings it rests on, as it says. */
  long readings() {
    return json.at("/counts/readings").asLong(0);
  }

  /**
   * SHA-256 of the answer. From revision 2 of the methods on it leaves out sentences, which may be
   * put better without a change of any figure.
   */
  String digest() {
    return Sha256.of(
        methodRevision < WITHOUT_SENTENCES ? text : withoutSentences(json, "").toString());
  }

  /** Where a study computed again differs; members that are new since are let be. */
  List<Difference> differences(JsonNode now) {
    List<Difference> found = new ArrayList<>();
    compare("", withoutSentences(json, ""), withoutSentences(now, ""), found);
    if (methodRevision == MethodRevision.NOW) {
      return found;
    }
    boolean record = found.stream().anyMatch(each -> ofRecord(each.at()));
    return found.stream()
        .map(
            each ->
                ofRecord(each.at())
                    ? each
                    : new Difference(
                        each.at(),
                        record || of("/specification", each.at())
                            ? Because.RECORD_OR_METHOD
                            : Because.METHOD,
                        each.kept(),
                        each.now()))
        .toList();
  }

  private boolean ofRecord(String at) {
    return FACTS.stream().anyMatch(fact -> of(fact, at))
        && (methodRevision >= BY_LAST_READING || !of("/specification", at));
  }

  private static boolean of(String fact, String at) {
    return at.equals(fact) || at.startsWith(fact + "/");
  }

  private static void compare(String at, JsonNode kept, JsonNode now, List<Difference> found) {
    if (NOT_KEPT.contains(at)) {
      return;
    }
    if (kept.isObject() && now.isObject()) {
      kept.propertyNames()
          .forEach(name -> compare(at + "/" + name, kept.path(name), now.path(name), found));
    } else if (kept.isArray() && now.isArray() && kept.size() == now.size()) {
      for (int i = 0; i < kept.size(); i++) {
        compare(at + "/" + i, kept.path(i), now.path(i), found);
      }
    } else if (!kept.equals(now)) {
      found.add(
          new Difference(
              at, Because.RECORD, kept.toString(), now.isMissingNode() ? null : now.toString()));
    }
  }

  private static JsonNode withoutSentences(JsonNode node, String name) {
    if (node.isObject()) {
      ObjectNode copy = ((ObjectNode) node).objectNode();
      for (String member : node.propertyNames()) {
        if (!SENTENCES.contains(member)
            && !(name.equals("method") && SENTENCES_OF_METHOD.contains(member))) {
          copy.set(member, withoutSentences(node.path(member), member));
        }
      }
      return copy;
    }
    if (node.isArray()) {
      ArrayNode copy = ((ArrayNode) node).arrayNode();
      node.forEach(item -> copy.add(withoutSentences(item, "")));
      return copy;
    }
    return node;
  }
}
