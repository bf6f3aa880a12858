package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

/** A method that an address does not answer: the answer lists what is possible there. */
@OnBothDatabases
class WrongMethodHttpTests {

  private final RunningTarebook tarebook;

  WrongMethodHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "DELETE | lines                   | GET HEAD POST | /bulk",
        "DELETE | lines/L-1               | GET HEAD PUT  | ",
        "PUT    | readings/17             | GET HEAD      | /amendments",
        "PUT    | readings/17/amendments  | GET HEAD POST | ",
        "DELETE | cures/17                | GET HEAD      | /closing /samples /settlements /verdicts",
        "PATCH  | cures/17/samples        | GET HEAD POST | ",
        "PUT    | cures/17/verdicts/1     | GET HEAD      | ",
        "DELETE | cures/judged-earlier    | GET HEAD      | ",
        "DELETE | signals/3               | GET HEAD      | /responses",
        "GET    | signals/3/responses     | POST          | ",
        "DELETE | instruments/I-1         | GET HEAD PUT  | /revisions",
        "DELETE | limit-sets              | GET HEAD POST | /preview",
        "GET    | tokens/1/revocation     | POST          | "
      })
  void isWhatThatVeryAddressAnswers(String method, String path, String here, String below) {
    String address = "/api/v1/" + path;
    Answer options = tarebook.reader().send("OPTIONS", address, "application/json", "");
    assertThat(options.status()).isIn(200, 204);
    assertThat(options.text()).isEmpty();
    assertThat(new TreeSet<>(Set.of(options.header("Allow").split(", ?"))))
        .containsExactlyInAnyOrderElementsOf(
            Stream.concat(Stream.of("OPTIONS"), Stream.of(here.split(" "))).toList());
    assertThat(tarebook.anonymous().send("OPTIONS", address, "application/json", "").status())
        .isEqualTo(401);
    Answer answer = tarebook.admin().send(method, address, "application/json", "{}");
    assertThat(answer.status()).isEqualTo(405);
    assertThat(answer.problem()).isEqualTo("method-not-allowed");
    Set<String> wanted = Set.of(here.split(" "));
    assertThat(new TreeSet<>(Set.of(answer.header("Allow").split(", ?"))))
        .containsExactlyInAnyOrderElementsOf(wanted);
    String detail = answer.at("/detail").asString();
    assertThat(detail).startsWith(method + " is not possible here. Possible here: ");
    String first = detail.substring(detail.indexOf("here: ") + 6);
    assertThat(Set.of(first.substring(0, first.indexOf('.')).split(", ")))
        .containsExactlyInAnyOrderElementsOf(wanted);
    if (below == null) {
      assertThat(detail).doesNotContain("Also");
    } else {
      for (String part : below.split(" ")) {
        assertThat(detail).contains("POST " + address + part);
      }
    }
  }

  /** Asked as a browser asks, with a token and without; and of the whole service. */
  @Test
  void aPageOfAnotherOriginIsToldThatItMayNotCall() throws Exception {
    for (String token : List.of("", "Bearer " + tarebook.admin().token())) {
      HttpRequest.Builder asked =
          HttpRequest.newBuilder(URI.create(tarebook.base() + "/api/v1/lines"))
              .method("OPTIONS", HttpRequest.BodyPublishers.noBody())
              .header("Origin", "https://plant.example")
              .header("Access-Control-Request-Method", "POST");
      if (!token.isEmpty()) {
        asked.header("Authorization", token);
      }
      HttpResponse<String> preflight =
          HttpClient.newHttpClient().send(asked.build(), HttpResponse.BodyHandlers.ofString());
      assertThat(preflight.statusCode()).isEqualTo(403);
      assertThat(preflight.headers().firstValue("Content-Type").orElseThrow())
          .startsWith("application/problem+json");
      assertThat(preflight.headers().firstValue("Access-Control-Allow-Origin")).isEmpty();
      assertThat(preflight.body())
          .contains("not-allowed", "'https://plant.example'", "no CORS headers", "proxy");
    }
    String[] crossing = {"Origin", "https://plant.example"};
    Answer read = tarebook.reader().send("GET", "/api/v1/lines", "application/json", "", crossing);
    assertThat(read.status()).isEqualTo(200);
    Answer options =
        tarebook.reader().send("OPTIONS", "/api/v1/lines", "application/json", "", crossing);
    assertThat(options.status()).isEqualTo(200);
    assertThat(options.header("Allow")).contains("GET");
  }

  /** The server answers for itself: the methods that any address may have. */
  @Test
  void theWholeServiceIsAskedWithAStar() throws Exception {
    URI base = URI.create(tarebook.base());
    try (Socket socket = new Socket(base.getHost(), base.getPort())) {
      socket.setSoTimeout(30_000);
      socket
          .getOutputStream()
          .write(
              "OPTIONS * HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n"
                  .getBytes(StandardCharsets.US_ASCII));
      String answer = new String(socket.getInputStream().readAllBytes(), StandardCharsets.US_ASCII);
      assertThat(answer).startsWith("HTTP/1.1 200").contains("Allow: GET, HEAD, POST, PUT");
    }
  }
}
