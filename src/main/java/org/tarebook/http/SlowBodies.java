package org.tarebook.http;

import jakarta.servlet.ServletException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Semaphore;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicLong;
import org.apache.catalina.connector.Request;
import org.apache.catalina.connector.Response;
import org.apache.catalina.valves.ValveBase;
import org.apache.coyote.ActionCode;
import org.apache.coyote.InputBuffer;
import org.apache.tomcat.util.net.ApplicationBufferHandler;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Cuts off who sends a body too slowly, so that slow senders never hold the threads that others
 * need. A sender has patience to use up: waiting for bytes uses it, and each byte that comes gives
 * back the time that it takes at the least rate. So a body of any length may come at that rate for
 * as long as it takes, and the time in which the service itself is busy counts against nobody.
 *
 * <p>Few bodies are waited for at once: one that has used more than {@value #QUICK_MS} ms of its
 * patience takes one of the places of its token, of its address and of the service, and is cut off
 * where none is free. Reading a body begins after the token was accepted, so a sender without a
 * token waits for nothing. After a refusal the rest of the body is dropped for a moment, so that
 * the sender reads the answer; then the connection is closed.
 */
final class SlowBodies extends ValveBase {

  /** The least rate, in bytes a second. */
  static final int LEAST_RATE = 1000;

  /** Slow bodies of one token at once. */
  static final int OF_A_TOKEN = 16;

  /** Slow bodies from one address at once. */
  static final int OF_AN_ADDRESS = 32;

  /** Slow bodies at once. */
  static final int IN_ALL = 64;

  /** Refused bodies whose rest is waited for at once. */
  static final int DROPPED_AT_ONCE = 8;

  private static final long QUICK_MS = 250;
  private static final long MOST_DROPPED = 16L << 20;
  private static final long DROPPING_NANOS = 1_000_000_000L;
  private static final long LONGEST_PAUSE_MS = 20;
  private static final long LOGGED_EVERY_NANOS = 10_000_000_000L;

  private static final Logger log = LoggerFactory.getLogger(SlowBodies.class);
  private static final long NANOS_OF_A_BYTE = 1_000_000_000L / LEAST_RATE;

  private final long mostPatience;
  private final Places places = new Places(IN_ALL);
  private final Semaphore dropping = new Semaphore(DROPPED_AT_ONCE);
  private final AtomicLong cutOff = new AtomicLong();
  private final AtomicLong nextLog = new AtomicLong(System.nanoTime());

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
    Paced paced = new Paced(unlimited, coyote, request);
    coyote.setInputBuffer(paced);
    try {
      getNext().invoke(request, response);
      if (!request.isAsync() && !coyote.hasExpectation()) {
        response.finishResponse();
        drop(unlimited, coyote);
      }
    } finally {
      paced.leave();
      coyote.setInputBuffer(unlimited);
    }
  }

  /** Drops what still comes of a body, for a moment; then closes the connection. */
  private void drop(InputBuffer body, org.apache.coyote.Request coyote) {
    if (fullyRead(coyote)) {
      return;
    }
    boolean waits = dropping.tryAcquire();
    try {
      long end = System.nanoTime() + DROPPING_NANOS;
      Dropped dropped = new Dropped();
      while (!fullyRead(coyote) && dropped.left > 0) {
        if (arrived(coyote)) {
          if (body.doRead(dropped) < 0) {
            return;
          }
          dropped.count();
        } else if (!waits || System.nanoTime() > end) {
          break;
        } else {
          pause(LONGEST_PAUSE_MS);
        }
      }
      if (!fullyRead(coyote)) {
        coyote.action(ActionCode.CLOSE_NOW, new IOException("The refused body was not awaited"));
      }
    } catch (IOException gone) {
      coyote.action(ActionCode.CLOSE_NOW, gone);
    } finally {
      if (waits) {
        dropping.release();
      }
    }
  }

  private static boolean fullyRead(org.apache.coyote.Request coyote) {
    AtomicBoolean fully = new AtomicBoolean();
    coyote.action(ActionCode.REQUEST_BODY_FULLY_READ, fully);
    return fully.get();
  }

  /** Whether a read finds bytes, or a connection that is gone, without waiting. */
  private static boolean arrived(org.apache.coyote.Request coyote) {
    coyote.action(ActionCode.AVAILABLE, true);
    return coyote.getAvailable() > 0;
  }

  private static void pause(long milliseconds) throws IOException {
    try {
      Thread.sleep(milliseconds);
    } catch (InterruptedException stopping) {
      Thread.currentThread().interrupt();
      throw new IOException("The service is stopping", stopping);
    }
  }

  private void log(org.apache.coyote.Request coyote, String reason) {
    long count = cutOff.incrementAndGet();
    long due = nextLog.get();
    long now = System.nanoTime();
    if (now - due >= 0 && nextLog.compareAndSet(due, now + LOGGED_EVERY_NANOS)) {
      log.info(
          "{} bodies were cut off since the start; the last: {} {}, {}",
          count,
          coyote.getMethod(),
          coyote.requestURI(),
          reason);
    }
  }

  /** Takes bytes and forgets them. */
  private static final class Dropped implements ApplicationBufferHandler {

    private ByteBuffer bytes = ByteBuffer.allocate(0);
    private long left = MOST_DROPPED;

    void count() {
      left -= bytes.remaining();
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
    private final Request request;
    private long patience = mostPatience;
    private @Nullable List<Places.Key> place;

    Paced(InputBuffer body, org.apache.coyote.Request coyote, Request request) {
      this.body = body;
      this.coyote = coyote;
      this.request = request;
    }

    @Override
    public int doRead(ApplicationBufferHandler handler) throws IOException {
      if (!fullyRead(coyote) && !arrived(coyote)) {
        await();
      }
      int bytes = body.doRead(handler);
      patience = Math.min(mostPatience, patience + Math.max(0, bytes) * NANOS_OF_A_BYTE);
      if (patience == mostPatience) {
        leave();
      }
      return bytes;
    }

    private void await() throws IOException {
      long before = System.nanoTime();
      long pause = 1;
      do {
        pause(pause);
        pause = Math.min(2 * pause, LONGEST_PAUSE_MS);
        long now = System.nanoTime();
        patience -= now - before;
        before = now;
        if (patience < 0) {
          throw cutOff("it came too slowly");
        }
        if (place == null && mostPatience - patience > QUICK_MS * 1_000_000) {
          List<Places.Key> keys = keys();
          if (!places.take(keys)) {
            throw cutOff("too many slow ones came at once");
          }
          place = keys;
        }
      } while (!arrived(coyote));
    }

    /** Whose place a slow body takes: its token's and its address's. */
    private List<Places.Key> keys() {
      List<Places.Key> keys = new ArrayList<>();
      keys.add(new Places.Key("address " + request.getRemoteAddr(), OF_AN_ADDRESS));
      String token = request.getHeader("Authorization");
      if (token != null) {
        keys.add(new Places.Key("token " + token, OF_A_TOKEN));
      }
      return keys;
    }

    private IOException cutOff(String reason) {
      IOException slow = new IOException("The body was cut off: " + reason);
      log(coyote, reason);
      coyote.action(ActionCode.CLOSE_NOW, slow);
      return slow;
    }

    void leave() {
      if (place != null) {
        places.free(place);
        place = null;
      }
    }

    @Override
    public int available() {
      return body.available();
    }
  }
}
