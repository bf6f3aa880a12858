package org.tarebook.http;

import jakarta.servlet.ServletException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.time.Duration;
import org.apache.catalina.connector.Request;
import org.apache.catalina.connector.Response;
import org.apache.catalina.valves.ValveBase;
import org.apache.coyote.ActionCode;
import org.apache.coyote.InputBuffer;
import org.apache.tomcat.util.net.ApplicationBufferHandler;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Cuts off who sends a body too slowly, so that nobody holds a thread with a byte now and then. The
 * service has patience for a while; waiting for bytes uses it up, and each byte that comes gives
 * back the time that it takes at the least rate. So a body of any length may come at that rate for
 * as long as it takes, and the time in which the service itself is busy counts against nobody.
 *
 * <p>A refused body is read to its end under the same rule. Silence is cut off sooner, by the
 * server's own time-out of one read.
 */
final class SlowBodies extends ValveBase {

  /** The least rate, in bytes a second. */
  static final int LEAST_RATE = 1000;

  private static final Logger log = LoggerFactory.getLogger(SlowBodies.class);
  private static final long NANOS_OF_A_BYTE = 1_000_000_000L / LEAST_RATE;

  private final long mostPatience;

  /**
   * Waits for bodies.
   *
   * @param patience how long bytes are waited for in all, at first and after a fast stretch
   */
  SlowBodies(Duration patience) {
    super(true);
    this.mostPatience = patience.toNanos();
  }

  @Override
  public void invoke(Request request, Response response) throws IOException, ServletException {
    org.apache.coyote.Request coyote = request.getCoyoteRequest();
    InputBuffer unlimited = coyote.getInputBuffer();
    coyote.setInputBuffer(new Paced(unlimited, coyote));
    try {
      getNext().invoke(request, response);
      if (!request.isAsync() && !coyote.hasExpectation()) {
        response.finishResponse();
        readToEnd(coyote);
      }
    } finally {
      coyote.setInputBuffer(unlimited);
    }
  }

  private static void readToEnd(org.apache.coyote.Request coyote) {
    try {
      Dropped dropped = new Dropped();
      while (coyote.doRead(dropped) >= 0) {
        dropped.count();
      }
    } catch (IOException cutOff) {
      coyote.action(ActionCode.CLOSE_NOW, cutOff);
    }
  }

  /** Takes bytes and forgets them; ends with an exception where there are too many. */
  private static final class Dropped implements ApplicationBufferHandler {

    private static final long MOST = 128L << 20;

    private ByteBuffer bytes = ByteBuffer.allocate(0);
    private long left = MOST;

    void count() throws IOException {
      left -= bytes.remaining();
      if (left < 0) {
        throw new IOException("A refused body is longer than " + MOST + " bytes");
      }
    }

    @Override
    public void setByteBuffer(ByteBuffer buffer) {
      bytes = buffer;
    }

    @Override
    public ByteBuffer getByteBuffer() {
      return bytes;
    }

    @Override
    public void expand(int size) {
      // nothing is gathered
    }
  }

  /** A body whose sender is waited for with patience. */
  private final class Paced implements InputBuffer {

    private final InputBuffer body;
    private final org.apache.coyote.Request coyote;
    private long patience = mostPatience;

    Paced(InputBuffer body, org.apache.coyote.Request coyote) {
      this.body = body;
      this.coyote = coyote;
    }

    @Override
    public int doRead(ApplicationBufferHandler handler) throws IOException {
      long begin = System.nanoTime();
      int bytes = body.doRead(handler);
      long waited = System.nanoTime() - begin;
      patience = Math.min(mostPatience, patience - waited + Math.max(0, bytes) * NANOS_OF_A_BYTE);
      if (patience < 0) {
        IOException slow = new IOException("The body came too slowly");
        log.info(
            "{} {} was cut off: its body came too slowly", coyote.getMethod(), coyote.requestURI());
        coyote.action(ActionCode.CLOSE_NOW, slow);
        throw slow;
      }
      return bytes;
    }

    @Override
    public int available() {
      return body.available();
    }
  }
}
