package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.net.Socket;
import java.net.SocketException;
import java.net.URI;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/**
 * Walks the API document and sends every operation what no client sends in good faith: no answer is
 * a fault of the service, shows its insides or says another status than it has. More rounds: {@code
 * -Dhostile.rounds=50}.
 */
@OnBothDatabases
class HostileRequestsTests {

  private static final int ROUNDS = Integer.getInteger("hostile.rounds", 2);
  private static final int SEED = Integer.getInteger("hostile.seed", 36);
  private static final long SLOWEST_MS = 10_000;
  private static final JsonMapper JSON = new JsonMapper();

  private static final Pattern INSIDES =
      Pattern.compile(
          "(?i)org\\.tarebook|java\\.|javax|jakarta|springframework|hibernate|jackson|exception"
              + "|\\bclass (?!I{1,4}\\b)|localdate|bigdecimal|\\bsql|is no (long|int|instant|boolean|string)"
              + "|\\tat |`");

  private static final List<String> QUERIES =
      List.of(
          "%ff=1",
          "%00=1",
          "&&&=",
          "=",
          "%zz",
          "a=%",
          "%F0%28=1",
          "limit=%ff",
          "cursor=%00",
          "limit=1&limit=2",
          "a[]=1",
          "?",
          "cursor=bm8KMSAx",
          "limit=0x10",
          "limit=%D9%A3");

  private static final List<String> VALUES =
      List.of(
          "-999999999-01-01",
          "+999999999-12-31T23:59:59.999999999Z",
          "2026-03-29T00:00:00.1234567Z",
          "2026-03-29T00:00:00Z",
          "2200-01-01T00:00:00Z",
          "99999999999999999999999",
          "9223372036854775807",
          "-1",
          "0",
          "1e400",
          "NaN",
          "PT2562047788015215H30M7S",
          "PT0.000000001S",
          "\0",
          "\u0001\u202e\n",
          "x".repeat(3000),
          "org.tarebook.Nothing",
          "%s%n${7*7}",
          "true",
          "");

  private static final List<String> BODIES =
      List.of(
          "",
          "null",
          "[]",
          "{",
          "[".repeat(5000),
          "{\"a\":".repeat(500) + "1" + "}".repeat(500),
          "{\"key\":\"a\",\"key\":\"b\"}",
          "{\"code\":\"\\ud800\",\"name\":\"\\u0000\"}",
          "1e99999999",
          "{\"" + "a".repeat(300) + "\":1}",
          "{}{}");

  private static final List<String> FORMS =
      List.of(
          "text/csv",
          "application/x-ndjson",
          "*/*",
          "x",
          "application/json;charset=utf-16",
          "application/x-www-form-urlencoded",
          "application/json; charset=\"");

  private static final List<String> METHODS =
      List.of("HEAD", "OPTIONS", "TRACE", "PUT", "DELETE", "PATCH", "CONNECT", "get", "FOO");

  private final RunningTarebook tarebook;
  private final JsonNode document;
  private final List<@Nullable Client> askers = new ArrayList<>();
  private final Random random = new Random(SEED);
  private final Map<Integer, Integer> statuses = new TreeMap<>();

  HostileRequestsTests(Vendor vendor) {
    tarebook = RunningTarebook.start(TestDatabase.create(vendor));
    document = tarebook.anonymous().get("/openapi").expect(200).json();
    new ShopFloor(tarebook, "kg");
    askers.addAll(
        List.of(
            tarebook.anonymous(),
            tarebook.reader(),
            tarebook.system("line-control", "STATION"),
            tarebook.quality(),
            tarebook.quality(),
            tarebook.admin()));
  }

  @AfterEach
  void stop() {
    tarebook.close();
  }

  @Test
  void everyAnswerIsInPlainWordsAndNoneIsAFault() throws Exception {
    for (int round = 0; round < ROUNDS; round++) {
      for (Map.Entry<String, JsonNode> path : document.get("paths").properties()) {
        for (Map.Entry<String, JsonNode> operation : path.getValue().properties()) {
          ask(path.getKey(), operation.getKey(), operation.getValue());
        }
      }
    }
    askMalformedQueries();
    System.out.println("Hostile requests on " + tarebook.vendor() + ": " + statuses);
    assertThat(statuses.keySet()).contains(200, 400, 401, 403, 404, 405, 415, 422);
  }

  private void askMalformedQueries() throws IOException {
    List<String> paths = new ArrayList<>(List.of("/problems", "/api/v1/nowhere"));
    document.get("paths").propertyNames().forEach(paths::add);
    for (String path : paths) {
      String target = path.replaceAll("\\{[^}]+}", "1") + "?" + one(QUERIES.subList(0, 9));
      JsonNode answer = exchange("GET", target, tarebook.quality(), "", null);
      assertThat(answer.get("status").asInt()).as(target).isIn(400, 403, 404, 405);
    }
  }

  private void ask(String path, String method, JsonNode operation) throws Exception {
    StringBuilder target = new StringBuilder(path);
    for (int at = target.indexOf("{"); at >= 0; at = target.indexOf("{")) {
      target.replace(at, target.indexOf("}") + 1, id(target.substring(0, at - 1)));
    }
    char separator = '?';
    for (JsonNode parameter : operation.path("parameters")) {
      if (parameter.at("/in").asString().equals("query") && random.nextInt(3) > 0) {
        Object value = value(parameter.path("schema"), 0, 2);
        target
            .append(separator)
            .append(parameter.get("name").asString())
            .append('=')
            .append(encoded(String.valueOf(value).replaceAll("[\\[\\]{}]", "")));
        separator = '&';
      }
    }
    if (random.nextInt(8) == 0) {
      target.append(separator).append(one(QUERIES));
    }
    String body = "";
    String form = null;
    if (operation.has("requestBody")) {
      JsonNode schema = operation.at("/requestBody/content/application~1json/schema");
      form = random.nextInt(8) == 0 ? one(FORMS) : "application/json";
      body =
          random.nextInt(6) == 0
              ? one(BODIES)
              : JSON.writeValueAsString(value(schema, 0, random.nextInt(3) * 8));
    }
    String sent = random.nextInt(12) == 0 ? one(METHODS) : method.toUpperCase(Locale.ROOT);
    exchange(sent, target.toString(), one(askers), body, form);
  }

  /** A code or id that is recorded below an address where there is one, or a hostile one. */
  private String id(String collection) {
    if (random.nextInt(2) == 0 && collection.indexOf('{') < 0) {
      JsonNode first =
          tarebook.quality().send("GET", collection + "?limit=1", noBody()).json().at("/items/0");
      if (first.has("code")) {
        return first.get("code").asString();
      }
    }
    String hostile = encoded(one(VALUES));
    return hostile.isEmpty() ? "1" : hostile;
  }

  private static java.net.http.HttpRequest.BodyPublisher noBody() {
    return java.net.http.HttpRequest.BodyPublishers.noBody();
  }

  /** A value as the schema wants it, or, one time in so many, something else; 0: never. */
  private Object value(JsonNode schema, int depth, int hostile) {
    JsonNode known = schema;
    while (known.has("$ref")) {
      known = document.at(known.get("$ref").asString().substring(1));
    }
    if (hostile > 0 && random.nextInt(hostile) == 0) {
      return one(
          List.of(
              one(VALUES),
              List.of(),
              Map.of(),
              -1,
              Long.MAX_VALUE,
              1.5e300,
              true,
              List.of(List.of())));
    }
    if (known.has("enum")) {
      return known.at("/enum/0").asString();
    }
    String type =
        known.path("type").isArray()
            ? known.at("/type/0").asString()
            : known.at("/type").asString();
    if (known.has("properties") && depth < 8) {
      Map<String, Object> members = new TreeMap<>();
      for (Map.Entry<String, JsonNode> member : known.get("properties").properties()) {
        if (random.nextInt(4) > 0) {
          members.put(member.getKey(), value(member.getValue(), depth + 1, hostile));
        }
      }
      return members;
    }
    return switch (type) {
      case "array" -> List.of(value(known.path("items"), depth + 1, hostile));
      case "integer" -> 1 + random.nextInt(5);
      case "number" -> 0.5;
      case "boolean" -> random.nextBoolean();
      case "object" -> Map.of();
      default ->
          switch (known.path("format").asString("")) {
            case "date-time" -> "2026-03-29T00:00:00Z";
            case "date" -> "2026-03-29";
            case "duration" -> "PT1M";
            default ->
                known.path("pattern").asString("").equals(WireId.PATTERN)
                    ? String.valueOf(1 + random.nextInt(5))
                    : "X-" + random.nextInt(1000);
          };
    };
  }

  /** Sends it as it is and looks at the answer; gives the problem document, if it is one. */
  private JsonNode exchange(
      String method, String target, @Nullable Client asker, String body, @Nullable String form)
      throws IOException {
    byte[] bytes = body.getBytes(StandardCharsets.UTF_8);
    StringBuilder head =
        new StringBuilder(method + " " + target + " HTTP/1.1\r\nHost: plant\r\n")
            .append("Connection: close\r\nIf-Match: \"0\"\r\n");
    if (asker != null && asker.token() != null) {
      head.append("Authorization: Bearer ").append(asker.token()).append("\r\n");
    }
    if (form != null) {
      head.append("Content-Type: ").append(form).append("\r\n");
      head.append("Content-Length: ").append(bytes.length).append("\r\n");
    }
    long begin = System.nanoTime();
    String answer = answer(head.append("\r\n").toString(), bytes);
    String what = method + " " + target + " " + body + "\n" + answer;
    assertThat((System.nanoTime() - begin) / 1_000_000).as(what).isLessThan(SLOWEST_MS);
    int status = Integer.parseInt(answer.substring(9, 12));
    statuses.merge(status, 1, Integer::sum);
    assertThat(status).as(what).isLessThan(500);
    String text = answer.substring(answer.indexOf("\r\n\r\n") + 4);
    if (status < 400 || method.equals("HEAD")) {
      return JSON.createObjectNode();
    }
    JsonNode problem = JSON.readTree(text.substring(text.indexOf('{'), text.lastIndexOf('}') + 1));
    assertThat(problem.at("/status").asInt()).as(what).isEqualTo(status);
    assertThat(problem.at("/detail").asString()).as(what).isNotBlank();
    String said = problem.toString().replace("org.tarebook.Nothing", "");
    assertThat(INSIDES.matcher(said).find()).as(what).isFalse();
    return problem;
  }

  private String answer(String head, byte[] body) throws IOException {
    URI base = URI.create(tarebook.base());
    try (Socket socket = new Socket(base.getHost(), base.getPort())) {
      socket.setSoTimeout(30_000);
      socket.getOutputStream().write(head.getBytes(StandardCharsets.UTF_8));
      socket.getOutputStream().write(body);
      socket.getOutputStream().flush();
      ByteArrayOutputStream all = new ByteArrayOutputStream();
      byte[] some = new byte[65_536];
      try {
        for (int n = socket.getInputStream().read(some); n >= 0; ) {
          all.write(some, 0, n);
          n = socket.getInputStream().read(some);
        }
      } catch (SocketException closedWithBytesOnTheWay) {
        // what came before is the answer
      }
      return all.toString(StandardCharsets.UTF_8);
    }
  }

  private static String encoded(Object value) {
    return URLEncoder.encode(String.valueOf(value), StandardCharsets.UTF_8).replace("+", "%20");
  }

  private <T> T one(List<T> of) {
    return of.get(random.nextInt(of.size()));
  }
}
