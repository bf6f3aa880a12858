package org.tarebook.http;

import java.io.IOException;
import java.nio.ByteBuffer;
import org.apache.coyote.http11.Http11NioProtocol;
import org.apache.tomcat.util.net.NioChannel;
import org.apache.tomcat.util.net.NioEndpoint;
import org.apache.tomcat.util.net.SocketBufferHandler;

/**
 * HTTP/1.1 whose request threads wait for the reader of an answer as {@link SlowBodies} says. The
 * server creates it by name. An encrypted connection, and a thread that serves no request, keep the
 * server's own wait.
 */
public final class PacedProtocol extends Http11NioProtocol {

  /** The protocol of a new connector. */
  public PacedProtocol() {
    super(new Endpoint());
  }

  private static final class Endpoint extends NioEndpoint {

    @Override
    protected NioChannel createChannel(SocketBufferHandler buffer) {
      return isSSLEnabled() ? super.createChannel(buffer) : new Paced(buffer);
    }
  }

  private static final class Paced extends NioChannel {

    Paced(SocketBufferHandler buffer) {
      super(buffer);
    }

    @Override
    public int write(ByteBuffer bytes) throws IOException {
      return bytes.hasRemaining() ? SlowBodies.write(() -> super.write(bytes)) : 0;
    }
  }
}
