package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

/**
 * Many slow senders take no threads from others, with a token or without. The service has fewer
 * threads here than there are senders, and waits a minute for each of those that it waits for.
 */
class SlowCrowdTests {

  private static final int SENDERS = 120;
  private static final int ANSWERED_WITHIN_MS = 20_000;

  private static RunningTarebook tarebook;

  @BeforeAll
  static void start() {
    tarebook =
        RunningTarebook.start(TestDatabase.create(Vendor.H2), "--server.tomcat.threads.max=40");
  }

  @AfterAll
  static void stop() {
    tarebook.close();
  }

  @Test
  void strangersHoldNoThreads() throws Exception {
    othersAreAnswered("tb_nobody");
  }

  @Test
  void oneTokenHoldsFewThreads() throws Exception {
    othersAreAnswered(String.valueOf(tarebook.quality().token()));
  }

  private static void othersAreAnswered(String token) throws Exception {
    List<Socket> senders = new ArrayList<>();
    Client other = tarebook.quality();
    try {
      for (int i = 0; i < SENDERS; i++) {
        senders.add(send(token));
      }
      long begin = System.nanoTime();
      other.get("/api/v1/lines").expect(200);
      other.post("/api/v1/readings", "{}").expect(400);
      assertThat((System.nanoTime() - begin) / 1_000_000).isLessThan(ANSWERED_WITHIN_MS);
      probesAnswer();
    } finally {
      for (Socket sender : senders) {
        sender.close();
      }
    }
  }

  /** On their own port, which answers nothing else. */
  private static void probesAnswer() {
    Client probe = new Client("http://127.0.0.1:" + tarebook.probePort(), null);
    for (String path : List.of("liveness", "readiness")) {
      assertThat(get(probe, "/actuator/health/" + path)).isEqualTo(200);
    }
    assertThat(get(probe, "/problems")).isEqualTo(404);
  }

  private static int get(Client client, String path) {
    return client.send("GET", path, java.net.http.HttpRequest.BodyPublishers.noBody()).status();
  }

  private static Socket send(String token) throws IOException {
    URI base = URI.create(tarebook.base());
    Socket socket = new Socket(base.getHost(), base.getPort());
    socket
        .getOutputStream()
        .write(
            ("POST /api/v1/readings HTTP/1.1\r\nHost: plant\r\nContent-Type: application/json\r\n"
                    + "Authorization: Bearer "
                    + token
                    + "\r\nContent-Length: 1000000\r\n\r\n{")
                .getBytes(StandardCharsets.UTF_8));
    return socket;
  }
}
