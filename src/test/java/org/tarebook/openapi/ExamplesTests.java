package org.tarebook.openapi;

import static org.assertj.core.api.Assertions.assertThat;

import com.networknt.schema.Error;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.dialect.Dialects;
import java.net.http.HttpRequest.BodyPublishers;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.node.ObjectNode;

/** Every example of the document is valid by the schema beside it. */
@OnBothDatabases
class ExamplesTests {

  private final SchemaRegistry registry =
      SchemaRegistry.withDefaultDialect(Dialects.getDraft202012());
  private final JsonNode document;
  private final List<String> wrong = new ArrayList<>();
  private int looked;

  ExamplesTests(RunningTarebook tarebook) {
    this.document =
        tarebook.anonymous().send("GET", "/openapi", BodyPublishers.noBody()).expect(200).json();
  }

  @Test
  void everyExampleIsValid() {
    look("", document);

    assertThat(wrong).isEmpty();
    assertThat(looked).isGreaterThan(200);
  }

  private void look(String place, JsonNode node) {
    if (node.isObject() && node.has("example")) {
      looked++;
      JsonNode schema = node.has("schema") ? node.get("schema") : node;
      ObjectNode whole = ((ObjectNode) schema).deepCopy();
      whole.remove("example");
      whole.set("components", document.get("components"));
      for (Error error : registry.getSchema(whole).validate(node.get("example"))) {
        wrong.add(place + " " + node.get("example") + ": " + error.getMessage());
      }
    }
    if (node.isObject()) {
      for (Map.Entry<String, JsonNode> part : node.properties()) {
        if (!part.getKey().equals("example")) {
          look(place + "/" + part.getKey(), part.getValue());
        }
      }
    } else {
      node.forEach(part -> look(place + "/-", part));
    }
  }
}
