package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

/** A request that is refused for its forms has stored nothing. */
@OnBothDatabases
class FormsHttpTests {

  private static final String AT = "2026-03-29T00:59:59Z";

  private final RunningTarebook tarebook;

  FormsHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "image/png",
        "text/html",
        "garbage",
        "*/*;q=0",
        "application/json;q=0",
        "*/*, application/json;q=0"
      })
  void whatCannotBeAnsweredIsNotStored(String accept) {
    ShopFloor floor = new ShopFloor(tarebook, "[lb_av]");
    Answer refused =
        tarebook
            .station(floor.station())
            .post("/api/v1/readings", floor.posting(5, "kg", AT), "Accept", accept);
    assertThat(refused.status()).isEqualTo(406);
    assertThat(refused.problem()).isEqualTo("not-acceptable");
    assertThat(refused.at("/detail").asString())
        .contains("nothing was done")
        .contains("application/json");
    assertThat(stored(floor)).isZero();

    Answer bulk =
        tarebook
            .station(floor.station())
            .send(
                "POST",
                "/api/v1/readings/bulk",
                "application/x-ndjson",
                floor.posting(5, "kg", AT) + "\n",
                "Accept",
                accept.replace("application/json", "application/x-ndjson"));
    assertThat(bulk.status()).isEqualTo(406);
    assertThat(stored(floor)).isZero();

    String name = Codes.fresh("lost");
    Answer token =
        tarebook
            .admin()
            .post(
                "/api/v1/tokens",
                "{\"kind\": \"SYSTEM\", \"name\": \"" + name + "\", \"role\": \"READER\"}",
                "Accept",
                accept);
    assertThat(token.status()).isEqualTo(406);
    assertThat(
            tarebook
                .sql()
                .sql("select count(*) from access_token where name = ?")
                .param(name)
                .query(Long.class)
                .single())
        .isZero();
  }

  @ParameterizedTest
  @ValueSource(strings = {"*/*", "application/*", "text/html, */*;q=0.1", "application/json"})
  void whatCanBeAnsweredIsStored(String accept) {
    ShopFloor floor = new ShopFloor(tarebook, "[lb_av]");
    tarebook
        .station(floor.station())
        .post("/api/v1/readings", floor.posting(5, "kg", AT), "Accept", accept)
        .expect(201);
    assertThat(stored(floor)).isEqualTo(1);
  }

  @Test
  void aBodyInAnEncodingThatIsNotTakenIsRefusedByName() {
    ShopFloor floor = new ShopFloor(tarebook, "[lb_av]");
    for (String encoding : new String[] {"br", "gzip", "identity, gzip"}) {
      Answer refused =
          tarebook
              .station(floor.station())
              .post("/api/v1/readings", floor.posting(5, "kg", AT), "Content-Encoding", encoding);
      assertThat(refused.status()).isEqualTo(415);
      assertThat(refused.at("/detail").asString())
          .contains("Content-Encoding '" + encoding + "' is not taken here");
    }
    assertThat(stored(floor)).isZero();
    tarebook
        .station(floor.station())
        .post("/api/v1/readings", floor.posting(5, "kg", AT), "Content-Encoding", "identity")
        .expect(201);
  }

  @Test
  void manyReadingsAtTheAddressOfOneAreToldWhereToGo() {
    ShopFloor floor = new ShopFloor(tarebook, "[lb_av]");
    Answer refused =
        tarebook
            .station(floor.station())
            .send("POST", "/api/v1/readings", "application/x-ndjson", floor.posting(5, "kg", AT));
    assertThat(refused.status()).isEqualTo(415);
    assertThat(refused.at("/detail").asString()).contains("/bulk");
    assertThat(stored(floor)).isZero();
  }

  @Test
  void anExpectationThatIsNotKnownIsNamedAndTheConnectionClosed() throws IOException {
    URI base = URI.create(tarebook.base());
    try (Socket socket = new Socket(base.getHost(), base.getPort())) {
      socket.setSoTimeout(30_000);
      socket
          .getOutputStream()
          .write(
              "GET /api/v1/lines HTTP/1.1\r\nHost: localhost\r\nExpect: 200-ok\r\n\r\n"
                  .getBytes(StandardCharsets.US_ASCII));
      String answer = new String(socket.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      assertThat(answer)
          .startsWith("HTTP/1.1 417")
          .contains("Connection: close", "The header Expect can only be 100-continue here");
    }
  }

  private long stored(ShopFloor floor) {
    return tarebook
        .sql()
        .sql(
            "select count(*) from reading r join station s on s.id = r.station_id where s.code = ?")
        .param(floor.station())
        .query(Long.class)
        .single();
  }
}
