package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.net.URLEncoder;
import java.net.http.HttpRequest.BodyPublishers;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.springframework.beans.TypeMismatchException;
import org.springframework.web.bind.WebDataBinder;
import org.springframework.web.bind.support.ConfigurableWebBindingInitializer;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** Walks the API document: every parameter refuses what is only nearly a value, by its name. */
class StrictParametersTests {

  private static final List<String> NEARLY_WHOLE =
      List.of("0x10", "#10", " 5", "5 ", "+5", "1.0", "1e1", "NaN", "1e400", "", "yes");

  private static final Map<String, List<String>> NEARLY =
      Map.of(
          "integer",
          NEARLY_WHOLE,
          "id",
          NEARLY_WHOLE,
          "number",
          List.of("NaN", "Infinity", "0x10", " 0.5", "0.5 ", "+0.5", "1e400", "0.5d", ".5", ""),
          "boolean",
          List.of("yes", "on", "1", "TRUE", "True", " true", "off", "no", ""),
          "enum",
          List.of("", "lower", "0", "%s ", " %s"),
          "date-time",
          List.of("", "2026-03-29", "2026-03-29T00:00:00", " 2026-03-29T00:00:00Z", "1774742400"));

  private static RunningTarebook tarebook;

  @BeforeAll
  static void start() {
    tarebook = RunningTarebook.start(TestDatabase.create(Vendor.H2));
  }

  @AfterAll
  static void stop() {
    tarebook.close();
  }

  @Test
  void everyParameterRefusesWhatIsNearlyAValue() {
    JsonNode document = tarebook.anonymous().get("/openapi").expect(200).json();
    List<Client> askers = List.of(tarebook.quality(), tarebook.admin());
    List<String> wrong = new ArrayList<>();
    Set<String> kinds = new TreeSet<>();
    for (Map.Entry<String, JsonNode> path : document.get("paths").properties()) {
      JsonNode parameters = path.getValue().path("get").path("parameters");
      for (JsonNode parameter : parameters) {
        String kind = kind(document, parameter.path("schema"));
        for (String nearly : NEARLY.getOrDefault(kind, List.of())) {
          boolean inPath = parameter.at("/in").asString().equals("path");
          if (inPath && nearly.isEmpty() || parameter.at("/in").asString().equals("header")) {
            continue;
          }
          kinds.add(parameter.at("/in").asString() + " " + kind);
          String name = parameter.at("/name").asString();
          String sent = nearly.formatted(right(document, parameter.path("schema")));
          String target = target(document, path.getKey(), parameters, name, sent);
          Answer answer = null;
          for (Client asker : askers) {
            answer = asker.send("GET", target, BodyPublishers.noBody());
            if (answer.status() != 403) {
              break;
            }
          }
          if (answer.status() != 400 || !answer.json().at("/errors").toString().contains(name)) {
            wrong.add(target + " " + answer.status() + " " + answer.text());
          }
        }
      }
    }
    assertThat(wrong).isEmpty();
    assertThat(kinds)
        .contains(
            "path id",
            "path integer",
            "query boolean",
            "query date-time",
            "query enum",
            "query integer",
            "query number");
  }

  private static String target(
      JsonNode document, String path, JsonNode parameters, String name, String sent) {
    String target = path;
    StringBuilder query = new StringBuilder();
    for (JsonNode parameter : parameters) {
      String each = parameter.at("/name").asString();
      String value =
          URLEncoder.encode(
                  each.equals(name) ? sent : right(document, parameter.path("schema")),
                  StandardCharsets.UTF_8)
              .replace("+", "%20");
      if (parameter.at("/in").asString().equals("path")) {
        target = target.replace("{" + each + "}", value);
      } else if (each.equals(name) || parameter.path("required").asBoolean(false)) {
        query.append(query.isEmpty() ? '?' : '&').append(each).append('=').append(value);
      }
    }
    return target + query;
  }

  private static JsonNode known(JsonNode document, JsonNode schema) {
    JsonNode known = schema;
    while (known.has("$ref")) {
      known = document.at(known.get("$ref").asString().substring(1));
    }
    return known.path("type").asString("").equals("array")
        ? known(document, known.get("items"))
        : known;
  }

  private static String kind(JsonNode document, JsonNode schema) {
    JsonNode known = known(document, schema);
    if (known.has("enum")) {
      return "enum";
    }
    if (known.path("pattern").asString("").equals(WireId.PATTERN)) {
      return "id";
    }
    return known.path("format").asString("").equals("date-time")
        ? "date-time"
        : known.path("type").asString("");
  }

  private static String right(JsonNode document, JsonNode schema) {
    return switch (kind(document, schema)) {
      case "enum" -> known(document, schema).at("/enum/0").asString();
      case "integer", "id" -> "5";
      case "number" -> "0.5";
      case "boolean" -> "true";
      case "date-time" -> "2026-03-29T00:00:00Z";
      default -> "X";
    };
  }

  @Test
  void aListRefusesAnEmptyPlaceAndBlanks() {
    tarebook
        .quality()
        .get(
            "/api/v1/reject-rates?measuredFrom=2026-03-02T06:00:00Z"
                + "&measuredBefore=2026-03-03T06:00:00Z&groupBy=LINE,,SHIFT")
        .expect(400);
    tarebook
        .quality()
        .get(
            "/api/v1/reject-rates?measuredFrom=2026-03-02T06:00:00Z"
                + "&measuredBefore=2026-03-03T06:00:00Z&groupBy=LINE,%20SHIFT")
        .expect(400);
  }

  @Test
  void kindsThatNoAddressTakesYetAreReadByTheSameRule() {
    refuses(LocalDate.class, "29.03.2026", "3/29/26", "2026-3-29", "");
    refuses(LocalTime.class, "6:00", "6:00 AM", "");
    refuses(Duration.class, "15s", "15", "1h", "");
    refuses(Integer[].class, "1,0x10", "1,");
  }

  private static void refuses(Class<?> type, String... texts) {
    WebDataBinder binder = new WebDataBinder(null);
    tarebook.bean(ConfigurableWebBindingInitializer.class).initBinder(binder);
    for (String text : texts) {
      assertThatThrownBy(() -> binder.convertIfNecessary(text, type))
          .as(text)
          .isInstanceOf(TypeMismatchException.class);
    }
  }
}
