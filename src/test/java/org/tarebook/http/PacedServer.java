package org.tarebook.http;

import jakarta.servlet.http.HttpServlet;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Map;
import org.apache.catalina.Context;
import org.apache.catalina.LifecycleException;
import org.apache.catalina.connector.Connector;
import org.apache.catalina.startup.Tomcat;

/** A server of {@link PacedProtocol} and {@link SlowBodies} with one servlet at every address. */
final class PacedServer implements AutoCloseable {

  private final Tomcat server = new Tomcat();

  PacedServer(Path folder, Map<String, String> settings, HttpServlet servlet)
      throws LifecycleException {
    server.setBaseDir(folder.toString());
    Connector connector = new Connector(PacedProtocol.class.getName());
    connector.setPort(0);
    connector.setProperty("address", "127.0.0.1");
    settings.forEach(connector::setProperty);
    server.setConnector(connector);
    server.getEngine().getPipeline().addValve(new SlowBodies(Duration.ofMinutes(1)));
    Context context = server.addContext("", null);
    Tomcat.addServlet(context, "servlet", servlet);
    context.addServletMappingDecoded("/", "servlet");
    server.start();
  }

  /** A connection whose receiver holds few bytes. */
  Socket connect() throws IOException {
    Socket socket = new Socket();
    socket.setReceiveBufferSize(16_384);
    socket.setSoTimeout(120_000);
    socket.connect(new InetSocketAddress("127.0.0.1", server.getConnector().getLocalPort()));
    return socket;
  }

  /** Sends text. */
  static void send(Socket socket, String text) throws IOException {
    socket.getOutputStream().write(text.getBytes(StandardCharsets.US_ASCII));
  }

  @Override
  public void close() throws LifecycleException {
    server.stop();
    server.destroy();
  }
}
