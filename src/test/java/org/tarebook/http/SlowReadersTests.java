package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import jakarta.servlet.http.HttpServlet;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.apache.catalina.Context;
import org.apache.catalina.connector.Connector;
import org.apache.catalina.startup.Tomcat;
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

  private final Tomcat server = new Tomcat();

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
    server.setBaseDir(folder.toString());
    Connector connector = new Connector(PacedProtocol.class.getName());
    connector.setPort(0);
    connector.setProperty("address", "127.0.0.1");
    connector.setProperty("maxThreads", String.valueOf(THREADS));
    server.setConnector(connector);
    server.getEngine().getPipeline().addValve(new SlowBodies(Duration.ofMinutes(1)));
    Context context = server.addContext("", null);
    Tomcat.addServlet(context, "answers", new Answers());
    context.addServletMappingDecoded("/", "answers");
    server.start();
  }

  @AfterEach
  void stop() throws Exception {
    server.stop();
    server.destroy();
  }

  private Socket ask(String path) throws IOException {
    Socket socket = new Socket();
    socket.setReceiveBufferSize(16_384);
    socket.setSoTimeout(120_000);
    socket.connect(new InetSocketAddress("127.0.0.1", server.getConnector().getLocalPort()));
    socket
        .getOutputStream()
        .write(
            ("GET " + path + " HTTP/1.1\r\nHost: plant\r\nConnection: close\r\n\r\n")
                .getBytes(StandardCharsets.UTF_8));
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
