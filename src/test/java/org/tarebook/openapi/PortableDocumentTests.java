package org.tarebook.openapi;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpRequest.BodyPublishers;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.BiConsumer;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** The document is fit for clients that a program makes from it, in any language. */
@OnBothDatabases
class PortableDocumentTests {

  /** Names that clients in JavaScript or Python need for something else. */
  private static final Set<String> TAKEN =
      Set.of(
          "Any",
          "Array",
          "Blob",
          "Body",
          "Buffer",
          "Date",
          "Decimal",
          "Dict",
          "Document",
          "Error",
          "Event",
          "Field",
          "File",
          "FormData",
          "From",
          "Function",
          "Headers",
          "Import",
          "Index",
          "JSON",
          "List",
          "Location",
          "Map",
          "Math",
          "Model",
          "Node",
          "Optional",
          "Promise",
          "Proxy",
          "Request",
          "Response",
          "Set",
          "Symbol",
          "Text",
          "Type",
          "URL",
          "Union");

  private final JsonNode document;

  PortableDocumentTests(RunningTarebook tarebook) {
    this.document =
        tarebook.anonymous().send("GET", "/openapi", BodyPublishers.noBody()).expect(200).json();
  }

  @Test
  void everyParameterIsDescribed() {
    List<String> undescribed = new ArrayList<>();
    int parameters = 0;
    for (Map.Entry<String, JsonNode> operation : operations().entrySet()) {
      for (JsonNode parameter : operation.getValue().path("parameters")) {
        parameters++;
        if (parameter.path("description").asString("").isBlank()) {
          undescribed.add(operation.getKey() + " " + parameter.get("name").asString());
        }
      }
    }
    assertThat(undescribed).isEmpty();
    assertThat(parameters).isGreaterThan(400);
  }

  /** An id goes into a path as an answer gave it. */
  @Test
  void idsInPathsAreTextAsInAnswers() {
    int ids = 0;
    for (Map.Entry<String, JsonNode> operation : operations().entrySet()) {
      for (JsonNode parameter : operation.getValue().path("parameters")) {
        if (parameter.get("name").asString().equals("id")) {
          ids++;
          assertThat(parameter.at("/schema/type").asString())
              .as(operation.getKey())
              .isEqualTo("string");
          assertThat(parameter.at("/schema/pattern").asString())
              .as(operation.getKey())
              .isEqualTo("^[0-9]{1,18}$");
        }
      }
    }
    assertThat(ids).isGreaterThan(20);
  }

  @Test
  void everyBodyIsRequired() {
    operations()
        .forEach(
            (place, operation) -> {
              if (operation.has("requestBody")) {
                assertThat(operation.at("/requestBody/required").asBoolean()).as(place).isTrue();
              }
            });
  }

  /** JSON Schema looks for a pattern anywhere in a text, and not every language knows \p{Z}. */
  @Test
  void everyPatternHoldsForTheWholeTextInAnyLanguage() {
    List<String> patterns = new ArrayList<>();
    everyPart(
        document,
        (place, part) -> {
          if (part.path("pattern").isString()) {
            patterns.add(part.get("pattern").asString());
          }
        });
    assertThat(patterns)
        .hasSizeGreaterThan(70)
        .allMatch(pattern -> pattern.startsWith("^") && pattern.endsWith("$"))
        .noneMatch(pattern -> pattern.contains("\\p") || pattern.contains("(?"));
    assertThat(document.at("/components/schemas/Posting/properties/sample/pattern").asString())
        .isEqualTo("^(|\\S|\\S.*\\S)$");
  }

  /** What is absent is left out, never null. */
  @Test
  void nothingIsNullable() {
    everyPart(
        document,
        (place, part) -> {
          if (part.path("type").isArray()) {
            assertThat(part.get("type").toString()).as(place).doesNotContain("\"null\"");
          }
          assertThat(part.has("nullable")).as(place).isFalse();
        });
  }

  @Test
  void linesOfJsonAreTextAndSayWhatALineHolds() {
    JsonNode bulk = document.at("/paths/~1api~1v1~1readings~1bulk/post");
    JsonNode taken = bulk.at("/requestBody/content/application~1x-ndjson");
    JsonNode answered = bulk.at("/responses/200/content/application~1x-ndjson");

    assertThat(taken.at("/schema/type").asString()).isEqualTo("string");
    assertThat(taken.at("/x-itemSchema/$ref").asString()).endsWith("/Posting");
    assertThat(answered.at("/schema/type").asString()).isEqualTo("string");
    assertThat(answered.at("/schema/format").asString()).isEqualTo("binary");
    assertThat(answered.at("/x-itemSchema/oneOf").size()).isEqualTo(2);
    everyPart(
        document.get("paths"),
        (place, part) -> {
          if (part.has("application/x-ndjson")) {
            assertThat(part.at("/application~1x-ndjson/schema/type").asString())
                .as(place)
                .isEqualTo("string");
          }
        });
  }

  @Test
  void noSchemaHasTheNameOfSomethingElse() {
    for (String name : document.at("/components/schemas").propertyNames()) {
      assertThat(TAKEN).doesNotContain(name);
      assertThat(inJavaLang(name)).as(name).isFalse();
    }
  }

  private static boolean inJavaLang(String name) {
    try {
      Class.forName("java.lang." + name);
      return true;
    } catch (ClassNotFoundException free) {
      return false;
    }
  }

  private static void everyPart(JsonNode node, BiConsumer<String, JsonNode> look) {
    everyPart("", node, look);
  }

  private static void everyPart(String place, JsonNode node, BiConsumer<String, JsonNode> look) {
    if (node.isObject()) {
      look.accept(place, node);
    }
    if (node.isObject()) {
      node.properties().forEach(e -> everyPart(place + "/" + e.getKey(), e.getValue(), look));
    } else {
      node.forEach(part -> everyPart(place + "/-", part, look));
    }
  }

  private Map<String, JsonNode> operations() {
    Map<String, JsonNode> operations = new TreeMap<>();
    for (Map.Entry<String, JsonNode> path : document.get("paths").properties()) {
      for (Map.Entry<String, JsonNode> operation : path.getValue().properties()) {
        operations.put(operation.getKey() + " " + path.getKey(), operation.getValue());
      }
    }
    return operations;
  }
}
