package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import jakarta.servlet.http.HttpServlet;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.net.Socket;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Many readers that take nothing hold few threads; who reads steadily has the whole answer. */
class SlowReadersTests {

  private static final int READERS = 120;
  private static final int THREADS = 40;
  private static final int LARGE = 20 << 20;
  private static final int ANSWERED_WITHIN_MS = 15_000;

  @TempDir Path folder;

  private PacedServer server;

  /** An answer of many megabytes at {@code /large}, and a short one elsewhere. */
  private static final class Answers extends HttpServlet {

    private static final long serialVersionUID = 1L;

    @Override
    protected void doGet(HttpServletRequest request, HttpServletResponse response)
        throws IOException {
      byte[] some = new byte[65_536];
      int wanted = request.getRequestURI().equals("/large") ? LARGE : some.length;
      for (int sent = 0; sent < wanted; sent += some.length) {
        response.getOutputStream().write(some);
      }
    }
  }

  @BeforeEach
  void start() throws Exception {
    server = new PacedServer(folder, Map.of("maxThreads", String.valueOf(THREADS)), new Answers());
  }

  @AfterEach
  void stop() throws Exception {
    server.close();
  }

  private Socket ask(String path) throws IOException {
    Socket socket = server.connect();
    PacedServer.send(
        socket, "GET " + path + " HTTP/1.1\r\nHost: plant\r\nConnection: close\r\n\r\n");
    return socket;
  }

  @Test
  void readersThatTakeNothingLeaveThreadsToOthers() throws Exception {
    List<Socket> readers = new ArrayList<>();
    try {
      for (int i = 0; i < READERS; i++) {
        readers.add(ask("/large"));
      }
      long begin = System.nanoTime();
      try (Socket other = ask("/short")) {
        assertThat(other.getInputStream().readAllBytes().length).isGreaterThan(65_536);
      }
      assertThat((System.nanoTime() - begin) / 1_000_000).isLessThan(ANSWERED_WITHIN_MS);
    } finally {
      for (Socket reader : readers) {
        reader.close();
      }
    }
  }

  @Test
  void whoReadsSteadilyHasTheWholeAnswer() throws Exception {
    long read = 0;
    try (Socket steady = ask("/large")) {
      byte[] some = new byte[1_000_000];
      for (int n = 1; n > 0; read += n) {
        n = steady.getInputStream().readNBytes(some, 0, some.length);
        Thread.sleep(100);
      }
    }
    assertThat(read).isGreaterThan(LARGE);
  }
}
