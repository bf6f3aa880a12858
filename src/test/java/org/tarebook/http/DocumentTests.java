package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Contract;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class DocumentTests {

  private final RunningTarebook tarebook;
  private final JsonNode document;

  DocumentTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.document = tarebook.anonymous().get("/openapi").expect(200).json();
  }

  @Test
  void itIsOpenApi31WithTheVersionOfTheBuildAndNoMachinesAddress() {
    assertThat(document.at("/openapi").asString()).startsWith("3.1");
    assertThat(document.at("/info/title").asString()).isEqualTo("Tarebook");
    assertThat(document.at("/info/version").asString()).matches("[0-9]+\\.[0-9]+\\.[0-9]+.*");
    assertThat(document.at("/servers").size()).isEqualTo(1);
    assertThat(document.at("/servers/0/url").asString()).isEqualTo("/");
    assertThat(document.toString()).doesNotContain("127.0.0.1", "localhost");
  }

  @Test
  void itSaysWhatTheRecordIsNot() {
    assertThat(document.at("/info/description").asString())
        .contains("no interlock", "no legal-metrology device", "pressure vessels", "licensed");
  }

  @Test
  void everyOperationNeedsABearerToken() {
    assertThat(document.at("/security/0").has("token")).isTrue();
    assertThat(document.at("/components/securitySchemes/token/type").asString()).isEqualTo("http");
    assertThat(document.at("/components/securitySchemes/token/scheme").asString())
        .isEqualTo("bearer");
    operations()
        .forEach(
            (place, operation) -> {
              assertThat(operation.get("security")).as(place).isNotEmpty();
              operation
                  .get("security")
                  .forEach(each -> assertThat(each.propertyNames()).containsExactly("token"));
            });
  }

  @Test
  void everyOperationHasItsOwnIdWordsAndADescribedTag() {
    Set<String> described =
        document
            .at("/tags")
            .valueStream()
            .map(t -> t.get("name").asString())
            .collect(Collectors.toSet());
    Set<String> ids = new HashSet<>();
    operations()
        .forEach(
            (place, operation) -> {
              assertThat(operation.get("operationId").asString())
                  .as(place)
                  .matches("[a-z]+([A-Z][a-z]+)+");
              assertThat(ids.add(operation.get("operationId").asString())).as(place).isTrue();
              assertThat(operation.get("summary").asString()).as(place).isNotBlank();
              assertThat(operation.get("description").asString()).as(place).isNotBlank();
              assertThat(described).as(place).contains(operation.at("/tags/0").asString());
            });
    assertThat(ids).contains("listLines", "createLine", "revokeToken", "listAuditEntries");
  }

  @Test
  void noNameOfAClassAndNoEmptyAnswerIsInIt() {
    assertThat(document.at("/components/schemas").propertyNames())
        .hasSizeGreaterThan(300)
        .noneMatch(name -> name.matches(".*(View|Page|Controller)$"));
    operations()
        .forEach(
            (place, operation) -> {
              for (JsonNode answer : operation.get("responses")) {
                if (answer.has("content")) {
                  assertThat(answer.get("content")).as(place).isNotEmpty();
                }
              }
              for (JsonNode parameter : operation.path("parameters")) {
                assertThat(parameter.at("/schema/type").toString())
                    .as(place + " " + parameter.path("name"))
                    .doesNotContain("null");
              }
            });
  }

  @Test
  void everyOperationTellsTheProblemsItCanAnswer() {
    operations()
        .forEach(
            (place, operation) -> {
              Set<String> wanted = new TreeSet<>(List.of("400", "401", "403", "503"));
              if (place.contains("{")) {
                wanted.add("404");
              }
              if (!place.startsWith("get")) {
                wanted.addAll(List.of("409", "422"));
              }
              if (operation.has("requestBody")) {
                wanted.addAll(List.of("413", "415"));
              }
              if (operation.path("parameters").toString().contains("If-Match")) {
                wanted.addAll(List.of("412", "428"));
              }
              assertThat(operation.get("responses").propertyNames()).as(place).containsAll(wanted);
              for (String status : wanted) {
                assertThat(operation.get("responses").get(status).get("$ref").asString())
                    .as(place)
                    .isEqualTo("#/components/responses/Problem" + status);
              }
            });
  }

  @Test
  void everyProblemTypeIsNamedOnceInAnAnswerOfItsStatus() {
    JsonNode responses = document.at("/components/responses");
    for (ProblemType type : ProblemType.values()) {
      if (responses.has("Problem" + type.status().value())) {
        JsonNode answer = responses.get("Problem" + type.status().value());
        assertThat(answer.get("description").asString()).contains("`" + type.slug() + "`");
        assertThat(answer.get("content").propertyNames())
            .containsExactly("application/problem+json");
      } else {
        assertThat(type).isEqualTo(ProblemType.METHOD_NOT_ALLOWED);
      }
    }
    assertThat(document.at("/components/schemas/Problem/properties").propertyNames())
        .containsExactlyInAnyOrder("type", "title", "status", "detail", "instance", "errors");
    assertThat(document.at("/components/schemas/Fault/properties").propertyNames())
        .containsExactlyInAnyOrder("pointer", "detail", "line");
  }

  @Test
  void aProblemAnsweredHasTheMembersThatTheDocumentTells() {
    JsonNode problem =
        tarebook.quality().post("/api/v1/lines", "{\"code\": \"a b\"}").expect(400).json();

    assertThat(problem.propertyNames())
        .isSubsetOf(document.at("/components/schemas/Problem/properties").propertyNames())
        .containsAll(
            document
                .at("/components/schemas/Problem/required")
                .valueStream()
                .map(JsonNode::asString)
                .toList())
        .contains("errors");
    assertThat(problem.at("/errors/0").propertyNames())
        .containsExactlyInAnyOrder("pointer", "detail");
  }

  @Test
  void everyReferenceLeadsSomewhere() {
    List<String> references = new ArrayList<>();
    document.findValues("$ref").forEach(reference -> references.add(reference.asString()));

    assertThat(references).isNotEmpty();
    for (String reference : references) {
      assertThat(document.at(reference.substring(1)).isMissingNode()).as(reference).isFalse();
    }
  }

  @Test
  void listsOfDifferentThingsAreDifferentLists() {
    assertThat(items("LineList")).isEqualTo("#/components/schemas/Line");
    assertThat(items("StationList")).isEqualTo("#/components/schemas/Station");
    assertThat(items("AuditEntryList")).isEqualTo("#/components/schemas/AuditEntry");
    assertThat(
            document
                .at(
                    "/paths/~1api~1v1~1lines/get/responses/200/content/application~1json/schema/$ref")
                .asString())
        .isEqualTo("#/components/schemas/LineList");
  }

  @Test
  void whatMayBeAbsentIsNotRequiredAndAllElseIs() {
    assertThat(required("Line")).containsExactlyInAnyOrder("code", "name", "kind");
    assertThat(required("LineList")).containsExactly("items");
    assertThat(required("TokenRequest")).containsExactlyInAnyOrder("name", "kind", "role");
    assertThat(required("InstrumentRequest"))
        .containsExactlyInAnyOrder("code", "name", "station", "kind", "unit");
    assertThat(required("TableRecorded")).containsExactly("recorded");
  }

  @Test
  void numbersAndTimesSayTheirForm() {
    assertThat(member("Instrument", "capacity")).isEqualTo("number decimal");
    assertThat(member("InstrumentRequest", "interval")).isEqualTo("number decimal");
    assertThat(member("Line", "retiredAt")).isEqualTo("string date-time");
    assertThat(member("ShiftCalendar", "validFrom")).isEqualTo("string date");
    assertThat(member("Token", "id")).startsWith("string");
    assertThat(member("Cure", "version")).isEqualTo("integer int64");
  }

  @Test
  void manyAreTakenByAnOperationOfTheirOwn() {
    JsonNode one = document.at("/paths/~1api~1v1~1lines/post");
    JsonNode many = document.at("/paths/~1api~1v1~1lines~1bulk/post");

    assertThat(one.at("/requestBody/content").propertyNames()).containsExactly("application/json");
    assertThat(one.at("/responses").propertyNames()).contains("201").doesNotContain("200");
    assertThat(many.at("/requestBody/content").propertyNames()).containsExactly("text/csv");
    assertThat(many.at("/responses/201/content/application~1json/schema/$ref").asString())
        .endsWith("/TableRecorded");
    assertThat(
            document
                .at("/paths/~1api~1v1~1tokens~1{id}~1revocation/post/responses")
                .propertyNames())
        .contains("201", "200");
  }

  @Test
  void readingsAreTakenInBulkLineByLine() {
    JsonNode one = document.at("/paths/~1api~1v1~1readings/post");
    JsonNode many = document.at("/paths/~1api~1v1~1readings~1bulk/post");

    assertThat(one.at("/requestBody/content").propertyNames()).containsExactly("application/json");
    assertThat(many.at("/requestBody/content").propertyNames())
        .containsExactlyInAnyOrder("application/x-ndjson", "text/csv");
    JsonNode answered = many.at("/responses/200/content");
    assertThat(answered.propertyNames()).containsExactly("application/x-ndjson");
    assertThat(answered.at("/application~1x-ndjson/x-itemSchema/oneOf"))
        .extracting(line -> line.at("/$ref").asString())
        .containsExactly("#/components/schemas/ReadingOutcome", "#/components/schemas/BulkEnd");
  }

  @Test
  void anAnswerInJsonIsAlwaysOfOneType() {
    operations()
        .forEach(
            (place, operation) ->
                operation
                    .at("/responses")
                    .forEach(
                        answer ->
                            assertThat(answer.at("/content/application~1json/schema").has("oneOf"))
                                .as(place)
                                .isFalse()));
  }

  @Test
  void idsAreStrings() {
    document
        .at("/components/schemas")
        .properties()
        .forEach(
            schema ->
                Stream.of("id", "firstReading", "lastReading", "signal", "continues", "completedBy")
                    .map(name -> schema.getValue().at("/properties/" + name))
                    .filter(member -> member.has("format"))
                    .forEach(
                        member ->
                            assertThat(member.at("/format").asString())
                                .as(schema.getKey())
                                .isNotEqualTo("int64")));
  }

  @Test
  void whatIsAnsweredInOneStreamIsShownBesideThePages() {
    assertThat(document.at("/paths/~1api~1v1~1readings/get/responses/200/content").propertyNames())
        .containsExactlyInAnyOrder("application/json", "application/x-ndjson", "text/csv");
    assertThat(document.at("/paths/~1api~1v1~1readings/get/operationId").asString())
        .isEqualTo("listReadings");
  }

  @Test
  void whoActsIsNoPartOfARequest() {
    assertThat(document.at("/components/schemas").has("AuditActor")).isFalse();
    assertThat(document.at("/components/schemas").has("Actor")).isFalse();
    operations()
        .forEach(
            (place, operation) ->
                assertThat(
                        operation
                            .path("parameters")
                            .valueStream()
                            .map(parameter -> parameter.get("name").asString()))
                    .as(place)
                    .doesNotContain("actor"));
  }

  @Test
  void itReadsTheSameTwiceAndAsYaml() {
    String yaml = tarebook.anonymous().get("/openapi.yaml").expect(200).text();

    assertThat(tarebook.anonymous().get("/openapi.yaml").text()).isEqualTo(yaml);
    assertThat(yaml).startsWith("openapi: 3.1").contains("operationId: listLines");
  }

  private Map<String, JsonNode> operations() {
    return Contract.operations(document);
  }

  private String items(String schema) {
    return document.at("/components/schemas/" + schema + "/properties/items/items/$ref").asString();
  }

  private List<String> required(String schema) {
    return document
        .at("/components/schemas/" + schema + "/required")
        .valueStream()
        .map(JsonNode::asString)
        .toList();
  }

  private String member(String schema, String name) {
    JsonNode member = document.at("/components/schemas/" + schema + "/properties/" + name);
    return member.at("/type").asString() + " " + member.at("/format").asString();
  }
}
