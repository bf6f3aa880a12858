package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import jakarta.servlet.http.HttpServlet;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.io.InputStream;
import java.net.Socket;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Who sends the head of a request byte by byte is cut off; a kept connection and a body are not.
 */
class SlowHeadsTests {

  private static final int TIMEOUT_MS = 1_000;
  private static final int PAUSE_MS = 200;
  private static final String HEAD = "GET / HTTP/1.1\r\nHost: plant\r\n";

  @TempDir Path folder;

  private PacedServer server;

  /** Reads the body and answers its length. */
  private static final class Lengths extends HttpServlet {

    private static final long serialVersionUID = 1L;

    @Override
    protected void service(HttpServletRequest request, HttpServletResponse response)
        throws IOException {
      response.getWriter().print("<" + request.getInputStream().readAllBytes().length + ">");
    }
  }

  @BeforeEach
  void start() throws Exception {
    server =
        new PacedServer(
            folder,
            Map.of("connectionTimeout", String.valueOf(TIMEOUT_MS), "keepAliveTimeout", "10000"),
            new Lengths());
  }

  @AfterEach
  void stop() throws Exception {
    server.close();
  }

  /** Reads until an answer has come whole. */
  private static String answer(Socket socket) throws IOException {
    InputStream in = socket.getInputStream();
    StringBuilder text = new StringBuilder();
    while (text.indexOf(">") < 0) {
      text.append((char) in.read());
    }
    return text.substring(text.indexOf("<"));
  }

  @Test
  void aHeadThatComesByteByByteIsCutOff() throws Exception {
    try (Socket slow = server.connect()) {
      PacedServer.send(slow, HEAD + "X: ");
      assertThatThrownBy(
              () -> {
                for (int i = 0; i < 20 * TIMEOUT_MS / PAUSE_MS; i++) {
                  Thread.sleep(PAUSE_MS);
                  PacedServer.send(slow, "a");
                }
              })
          .isInstanceOf(IOException.class);
    }
  }

  @Test
  void aKeptConnectionMayAskAgainAndAgain() throws Exception {
    try (Socket kept = server.connect()) {
      for (int i = 0; i < 4; i++) {
        PacedServer.send(kept, HEAD);
        Thread.sleep(TIMEOUT_MS / 2);
        PacedServer.send(kept, "\r\n");
        assertThat(answer(kept)).isEqualTo("<0>");
      }
    }
  }

  @Test
  void aBodyMayComeSlowly() throws Exception {
    try (Socket slow = server.connect()) {
      PacedServer.send(slow, HEAD.replace("GET", "POST") + "Content-Length: 10\r\n\r\n");
      for (int i = 0; i < 10; i++) {
        Thread.sleep(PAUSE_MS);
        PacedServer.send(slow, "a");
      }
      assertThat(answer(slow)).isEqualTo("<10>");
    }
  }
}
