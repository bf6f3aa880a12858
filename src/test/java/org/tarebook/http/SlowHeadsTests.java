package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import jakarta.servlet.http.HttpServlet;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.io.InputStream;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import org.apache.catalina.Context;
import org.apache.catalina.connector.Connector;
import org.apache.catalina.startup.Tomcat;
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

  private final Tomcat server = new Tomcat();

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
    server.setBaseDir(folder.toString());
    Connector connector = new Connector(PacedProtocol.class.getName());
    connector.setPort(0);
    connector.setProperty("address", "127.0.0.1");
    connector.setProperty("connectionTimeout", String.valueOf(TIMEOUT_MS));
    connector.setProperty("keepAliveTimeout", "10000");
    server.setConnector(connector);
    server.getEngine().getPipeline().addValve(new SlowBodies(Duration.ofMinutes(1)));
    Context context = server.addContext("", null);
    Tomcat.addServlet(context, "lengths", new Lengths());
    context.addServletMappingDecoded("/", "lengths");
    server.start();
  }

  @AfterEach
  void stop() throws Exception {
    server.stop();
    server.destroy();
  }

  private Socket connect() throws IOException {
    Socket socket = new Socket();
    socket.setSoTimeout(60_000);
    socket.connect(new InetSocketAddress("127.0.0.1", server.getConnector().getLocalPort()));
    return socket;
  }

  private static void send(Socket socket, String text) throws IOException {
    socket.getOutputStream().write(text.getBytes(StandardCharsets.US_ASCII));
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
    try (Socket slow = connect()) {
      send(slow, HEAD + "X: ");
      assertThatThrownBy(
              () -> {
                for (int i = 0; i < 20 * TIMEOUT_MS / PAUSE_MS; i++) {
                  Thread.sleep(PAUSE_MS);
                  send(slow, "a");
                }
              })
          .isInstanceOf(IOException.class);
    }
  }

  @Test
  void aKeptConnectionMayAskAgainAndAgain() throws Exception {
    try (Socket kept = connect()) {
      for (int i = 0; i < 4; i++) {
        send(kept, HEAD);
        Thread.sleep(TIMEOUT_MS / 2);
        send(kept, "\r\n");
        assertThat(answer(kept)).isEqualTo("<0>");
      }
    }
  }

  @Test
  void aBodyMayComeSlowly() throws Exception {
    try (Socket slow = connect()) {
      send(slow, HEAD.replace("GET", "POST") + "Content-Length: 10\r\n\r\n");
      for (int i = 0; i < 10; i++) {
        Thread.sleep(PAUSE_MS);
        send(slow, "a");
      }
      assertThat(answer(slow)).isEqualTo("<10>");
    }
  }
}
