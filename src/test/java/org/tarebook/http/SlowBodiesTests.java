package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.springframework.boot.test.system.CapturedOutput;
import org.springframework.boot.test.system.OutputCaptureExtension;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

/** Who sends a body too slowly is cut off; who sends it slowly but steadily is not. */
@Tag("service")
@ExtendWith(OutputCaptureExtension.class)
class SlowBodiesTests {

  private static final int FOR_EVER = 20_000;

  private static RunningTarebook tarebook;

  @BeforeAll
  static void start() {
    tarebook =
        RunningTarebook.start(TestDatabase.create(Vendor.H2), "--tarebook.body-patience=PT1S");
  }

  @AfterAll
  static void stop() {
    tarebook.close();
  }

  /** A connection that was cut off is not a fault of the service. */
  @AfterEach
  void noFaultIsLogged(CapturedOutput output) {
    assertThat(output.getAll()).doesNotContain("Fault ");
  }

  private static Socket open(String path, String mediaType, String token, int length)
      throws IOException {
    URI base = URI.create(tarebook.base());
    Socket socket = new Socket(base.getHost(), base.getPort());
    socket.setSoTimeout(FOR_EVER);
    write(
        socket,
        "POST "
            + path
            + " HTTP/1.1\r\nHost: plant\r\nContent-Type: "
            + mediaType
            + "\r\nAuthorization: Bearer "
            + token
            + "\r\nContent-Length: "
            + length
            + "\r\n\r\n");
    return socket;
  }

  private static void write(Socket socket, String text) throws IOException {
    OutputStream out = socket.getOutputStream();
    out.write(text.getBytes(StandardCharsets.UTF_8));
    out.flush();
  }

  /** Sends a byte now and then until it is cut off, and tells after how many milliseconds. */
  private static long drip(Socket socket) throws InterruptedException {
    long begin = System.nanoTime();
    try {
      InputStream in = socket.getInputStream();
      for (int i = 0; i < FOR_EVER / 100; i++) {
        write(socket, " ");
        Thread.sleep(100);
        while (in.available() > 0) {
          in.read();
        }
      }
      throw new AssertionError("a byte each 100 ms was taken for " + FOR_EVER + " ms");
    } catch (IOException cutOff) {
      return (System.nanoTime() - begin) / 1_000_000;
    }
  }

  @Test
  void aDocumentThatDripsIsCutOff() throws Exception {
    try (Socket socket =
        open("/api/v1/readings", "application/json", tarebook.quality().token(), 1_000_000)) {
      assertThat(drip(socket)).isBetween(900L, 10_000L);
    }
  }

  @Test
  void linesThatDripAreCutOff() throws Exception {
    try (Socket socket =
        open(
            "/api/v1/readings/bulk",
            "application/x-ndjson",
            tarebook.quality().token(),
            1_000_000)) {
      assertThat(drip(socket)).isBetween(900L, 10_000L);
    }
  }

  @Test
  void aRefusedBodyThatDripsIsCutOff() throws Exception {
    try (Socket socket = open("/api/v1/readings", "application/json", "tb_nobody", 1_000_000)) {
      assertThat(drip(socket)).isBetween(900L, 10_000L);
    }
  }

  @Test
  void aBodyThatComesSteadilyIsTakenHoweverLongItTakes() throws Exception {
    byte[] sent = "{\"key\":\"\"}\n".getBytes(StandardCharsets.UTF_8);
    int pieces = 20;
    int repeated = 30;
    try (Socket socket =
        open(
            "/api/v1/readings/bulk",
            "application/x-ndjson",
            tarebook.quality().token(),
            pieces * repeated * sent.length)) {
      for (int i = 0; i < pieces; i++) {
        for (int j = 0; j < repeated; j++) {
          socket.getOutputStream().write(sent);
        }
        socket.getOutputStream().flush();
        Thread.sleep(150);
      }
      BufferedReader answer =
          new BufferedReader(
              new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8));
      assertThat(answer.readLine()).startsWith("HTTP/1.1 200");
      String last = "";
      for (String line = answer.readLine();
          line != null && !line.contains("\"end\":true");
          line = answer.readLine()) {
        last = line.contains("\"line\":") ? line : last;
      }
      assertThat(last).contains("\"line\":600");
    }
  }
}
