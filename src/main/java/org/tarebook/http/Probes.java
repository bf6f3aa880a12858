package org.tarebook.http;

import jakarta.servlet.ServletException;
import jakarta.servlet.http.HttpServletResponse;
import java.io.IOException;
import java.net.InetAddress;
import org.apache.catalina.connector.Connector;
import org.apache.catalina.connector.Request;
import org.apache.catalina.connector.Response;
import org.apache.catalina.valves.ValveBase;
import org.apache.coyote.ActionCode;
import org.apache.coyote.http11.Http11NioProtocol;
import org.springframework.http.HttpHeaders;

/**
 * A connector with threads of its own that answers the addresses of health and no others. It reads
 * no body: whoever announces one is cut off, so that none of its few threads waits for a sender.
 */
final class Probes extends ValveBase {

  private static final int THREADS = 4;
  private static final int CONNECTIONS = 64;
  private static final int BESIDE = 1_000;
  private static final int LAST_PORT = 65_535;
  private static final int TIMEOUT_MS = 5_000;
  private static final String HEALTH = "/actuator/health";

  private final Connector connector;

  Probes(int port, InetAddress address) {
    super(true);
    Http11NioProtocol protocol = new Http11NioProtocol();
    protocol.setAddress(address);
    protocol.setMaxThreads(THREADS);
    protocol.setMinSpareThreads(1);
    protocol.setMaxConnections(CONNECTIONS);
    protocol.setConnectionTimeout(TIMEOUT_MS);
    protocol.setKeepAliveTimeout(TIMEOUT_MS);
    connector = new Connector(protocol);
    connector.setPort(port);
  }

  /** The port taken where none is set: 1,000 above the main one, or any that is free. */
  static int portBeside(int main) {
    return main == 0 || main + BESIDE > LAST_PORT ? 0 : main + BESIDE;
  }

  Connector connector() {
    return connector;
  }

  @Override
  public void invoke(Request request, Response response) throws IOException, ServletException {
    String path = request.getRequestURI();
    if (request.getConnector() != connector) {
      getNext().invoke(request, response);
    } else if (request.getContentLengthLong() > 0
        || request.getHeader(HttpHeaders.TRANSFER_ENCODING) != null) {
      request
          .getCoyoteRequest()
          .action(ActionCode.CLOSE_NOW, new IOException("A probe sends no body"));
    } else if (!path.equals(HEALTH) && !path.startsWith(HEALTH + "/")) {
      response.sendError(HttpServletResponse.SC_NOT_FOUND);
    } else {
      getNext().invoke(request, response);
    }
  }
}
