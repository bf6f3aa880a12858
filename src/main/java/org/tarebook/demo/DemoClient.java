package org.tarebook.demo;

import java.io.IOException;
import java.io.InputStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** Posts to the demo's own service as a person would, over HTTP. */
final class DemoClient {

  private final HttpClient client = HttpClient.newHttpClient();
  private final JsonMapper json = new JsonMapper();
  private final String base;
  private final String token;

  DemoClient(int port, String token) {
    this.base = "http://127.0.0.1:" + port + "/api/v1/";
    this.token = token;
  }

  /** Posts one of the demo's CSV files. */
  void postCsv(String path, String file) {
    try (InputStream csv = DemoClient.class.getResourceAsStream("/db/demo/" + file)) {
      if (csv == null) {
        throw new IllegalStateException("The demo file " + file + " is missing");
      }
      send(path, "text/csv", HttpRequest.BodyPublishers.ofByteArray(csv.readAllBytes()));
    } catch (IOException failure) {
      throw new IllegalStateException("The demo file " + file + " cannot be read", failure);
    }
  }

  /** One of the demo's files as text. */
  static String resource(String file) {
    try (InputStream stream = DemoClient.class.getResourceAsStream("/db/demo/" + file)) {
      if (stream == null) {
        throw new IllegalStateException("The demo file " + file + " is missing");
      }
      return new String(stream.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException failure) {
      throw new IllegalStateException("The demo file " + file + " cannot be read", failure);
    }
  }

  /** Posts JSON and gives the id of what was made. */
  String create(String path, String document) {
    HttpRequest request =
        request(path)
            .header("Content-Type", "application/json")
            .POST(HttpRequest.BodyPublishers.ofString(document))
            .build();
    return json.readTree(exchange(path, request)).get("id").asString();
  }

  /** Posts a text of some media type. */
  void postText(String path, String mediaType, String text) {
    send(path, mediaType, HttpRequest.BodyPublishers.ofString(text));
  }

  /** Posts JSON. */
  void postJson(String path, String json) {
    send(path, "application/json", HttpRequest.BodyPublishers.ofString(json));
  }

  /** Asks for JSON. */
  JsonNode get(String path) {
    return json.readTree(exchange(path, request(path).GET().build()));
  }

  private void send(String path, String mediaType, HttpRequest.BodyPublisher body) {
    exchange(path, request(path).header("Content-Type", mediaType).POST(body).build());
  }

  private HttpRequest.Builder request(String path) {
    return HttpRequest.newBuilder(URI.create(base + path))
        .header("Authorization", "Bearer " + token);
  }

  private String exchange(String path, HttpRequest request) {
    try {
      HttpResponse<String> answer = client.send(request, HttpResponse.BodyHandlers.ofString());
      if (answer.statusCode() / 100 != 2) {
        throw new IllegalStateException(
            "The demo was not served at "
                + path
                + ": "
                + answer.statusCode()
                + " "
                + answer.body());
      }
      return answer.body();
    } catch (IOException failure) {
      throw new IllegalStateException("The demo was not served at " + path, failure);
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("Interrupted while the demo was made", interrupted);
    }
  }
}
