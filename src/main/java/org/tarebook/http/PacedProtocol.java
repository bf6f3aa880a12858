package org.tarebook.http;

import java.io.EOFException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.SocketChannel;
import org.apache.coyote.http11.Http11NioProtocol;
import org.apache.tomcat.util.net.NioChannel;
import org.apache.tomcat.util.net.NioEndpoint;
import org.apache.tomcat.util.net.SocketBufferHandler;

/**
 * HTTP/1.1 whose request threads wait for the reader of an answer as {@link SlowBodies} says, and
 * whose clients send the head of a request within the server's connection timeout, all of it: the
 * server's own wait begins again with each byte. The server creates it by name. An encrypted
 * connection, and a thread that serves no request, keep the server's own wait.
 */
public final class PacedProtocol extends Http11NioProtocol {

  /** The protocol of a new connector. */
  public PacedProtocol() {
    super(new Endpoint());
  }

  private static final class Endpoint extends NioEndpoint {

    @Override
    protected NioChannel createChannel(SocketBufferHandler buffer) {
      return isSSLEnabled()
          ? super.createChannel(buffer)
          : new Paced(buffer, getConnectionTimeout());
    }
  }

  private static final class Paced extends NioChannel {

    private final long mostNanos;
    private boolean begun;
    private long begunAt;

    /** Zero or less waits for a head without end. */
    Paced(SocketBufferHandler buffer, int mostMillis) {
      super(buffer);
      this.mostNanos = mostMillis > 0 ? mostMillis * 1_000_000L : Long.MAX_VALUE;
    }

    @Override
    public void reset(SocketChannel channel, NioEndpoint.NioSocketWrapper wrapper)
        throws IOException {
      begun = false;
      super.reset(channel, wrapper);
    }

    @Override
    public int read(ByteBuffer bytes) throws IOException {
      int read = super.read(bytes);
      if (read > 0 && !SlowBodies.serving()) {
        long now = System.nanoTime();
        if (!begun) {
          begun = true;
          begunAt = now;
        } else if (now - begunAt > mostNanos) {
          throw new EOFException("The head of a request took too long");
        }
      }
      return read;
    }

    @Override
    public int write(ByteBuffer bytes) throws IOException {
      begun = false; // what comes after an answer is another head
      return bytes.hasRemaining() ? SlowBodies.write(() -> super.write(bytes)) : 0;
    }
  }
}
