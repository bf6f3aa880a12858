package org.tarebook.openapi;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpRequest.BodyPublishers;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** The document describes every schema, every member of it and every value of an enum. */
@OnBothDatabases
class DescribedSchemasTests {

  private final JsonNode schemas;

  DescribedSchemasTests(RunningTarebook tarebook) {
    this.schemas =
        tarebook
            .anonymous()
            .send("GET", "/openapi", BodyPublishers.noBody())
            .expect(200)
            .json()
            .at("/components/schemas");
  }

  @Test
  void everySchemaIsDescribed() {
    List<String> undescribed = new ArrayList<>();
    schemas
        .properties()
        .forEach(
            schema -> {
              if (description(schema.getValue()).isBlank()) {
                undescribed.add(schema.getKey());
              }
            });
    assertThat(undescribed).isEmpty();
    assertThat(schemas.size()).isGreaterThan(300);
  }

  /** A reference is described by the schema it names, if it says nothing of its own. */
  @Test
  void everyMemberIsDescribed() {
    List<String> undescribed = new ArrayList<>();
    int members = 0;
    for (Map.Entry<String, JsonNode> schema : schemas.properties()) {
      for (Map.Entry<String, JsonNode> member : schema.getValue().path("properties").properties()) {
        members++;
        if (description(member.getValue()).isBlank()
            && description(referred(member.getValue())).isBlank()) {
          undescribed.add(schema.getKey() + "." + member.getKey());
        }
      }
    }
    assertThat(undescribed).isEmpty();
    assertThat(members).isGreaterThan(2000);
  }

  @Test
  void everyValueOfAnEnumIsDescribed() {
    List<String> undescribed = new ArrayList<>();
    int values = 0;
    for (Map.Entry<String, JsonNode> schema : schemas.properties()) {
      List<String> lines = description(schema.getValue()).lines().toList();
      for (JsonNode value : schema.getValue().path("enum")) {
        values++;
        String start = "- " + value.asString() + ": ";
        if (lines.stream().noneMatch(line -> line.startsWith(start) && line.endsWith("."))) {
          undescribed.add(schema.getKey() + " " + value.asString());
        }
      }
    }
    assertThat(undescribed).isEmpty();
    assertThat(values).isGreaterThan(300);
  }

  private JsonNode referred(JsonNode member) {
    String[] path = member.path("$ref").asString("").split("/");
    return schemas.path(path[path.length - 1]);
  }

  private static String description(JsonNode schema) {
    return schema.path("description").asString("");
  }
}
