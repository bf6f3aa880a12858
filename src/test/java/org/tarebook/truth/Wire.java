package org.tarebook.truth;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpRequest.BodyPublishers;
import java.net.http.HttpResponse;
import java.time.Duration;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** Someone who talks to a service that may be killed at any moment. */
record Wire(String base, String token) {

  static final JsonMapper JSON = new JsonMapper();

  static {
    // shorter than a service keeps an idle connection, so that none is closed while it is taken up
    System.setProperty("jdk.httpclient.keepalive.timeout", "5");
  }

  private static final HttpClient HTTP =
      HttpClient.newBuilder()
          .version(HttpClient.Version.HTTP_1_1)
          .connectTimeout(Duration.ofSeconds(2))
          .build();

  /** What was answered. */
  record Reply(int status, String text) {
    JsonNode json() {
      return JSON.readTree(text);
    }

    boolean done() {
      return status == 200 || status == 201;
    }
  }

  Reply get(String path, String accept) throws IOException {
    return send(request(path).header("Accept", accept).GET().build());
  }

  Reply post(String path, String media, String body) throws IOException {
    return send(
        request(path).header("Content-Type", media).POST(BodyPublishers.ofString(body)).build());
  }

  private HttpRequest.Builder request(String path) {
    return HttpRequest.newBuilder(URI.create(base + path))
        .timeout(Duration.ofSeconds(60))
        .header("Authorization", "Bearer " + token);
  }

  private static Reply send(HttpRequest request) throws IOException {
    try {
      HttpResponse<String> response = HTTP.send(request, HttpResponse.BodyHandlers.ofString());
      return new Reply(response.statusCode(), response.body());
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
      throw new IOException(interrupted);
    }
  }
}
