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
 * Cuts off clients that send a body, or read an answer, too slowly, so that they never hold the
 * threads that others need. Each exchange has patience to use up: waiting for the client uses it,
 * and each byte that moves gives back the time that it takes at the least rate. So a body or an
 * answer of any length may take as long as it needs at that rate, and the time in which the service
 * itself is busy does not count.
 *
 * <p>The service waits for few clients at once: an exchange that has used more than {@value
 * #QUICK_MS} ms of its patience takes one of the places of its token, of its address and of the
 * service, and is cut off where none is free. Reading a body begins after the token was accepted,
 * so a sender without a token waits for nothing. After a refusal the rest of the body is dropped
 * for a moment, so that the sender reads the answer; then the connection is closed.
 *
 * <p>{@link PacedProtocol} brings the writing of answers here.
 */
final class SlowBodies extends ValveBase {

  /** The least rate, in bytes a second. */
  static final int LEAST_RATE = 1000;

  /** Slow clients of one token at once. */
  static final int OF_A_TOKEN = 16;

  /** Slow clients at one address at once. */
  static final int OF_AN_ADDRESS = 32;

  /** Slow clients at once. */
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

  private static final ThreadLocal<@Nullable Exchange> CURRENT = new ThreadLocal<>();

  private final long mostPatience;
  private final Places places = new Places(IN_ALL);
  private final Semaphore dropping = new Semaphore(DROPPED_AT_ONCE);
  private final AtomicLong cutOff = new AtomicLong();
  private final AtomicLong nextLog = new AtomicLong(System.nanoTime());

  /**
   * Waits for clients.
   *
   * @param patience how long an exchange waits for its client in all, at first and after a fast
   *     stretch
   */
  SlowBodies(Duration patience) {
    super(true);
    this.mostPatience = patience.toNanos();
  }

  @Override
  public void invoke(Request request, Response response) throws IOException, ServletException {
    org.apache.coyote.Request coyote = request.getCoyoteRequest();
    InputBuffer unlimited = coyote.getInputBuffer();
    Exchange exchange = new Exchange(coyote, request);
    coyote.setInputBuffer(new Paced(unlimited, coyote, exchange));
    CURRENT.set(exchange);
    try {
      getNext().invoke(request, response);
      if (!request.isAsync() && !coyote.hasExpectation()) {
        response.finishResponse();
        drop(unlimited, coyote);
      }
    } finally {
      CURRENT.remove();
      exchange.leave();
      coyote.setInputBuffer(unlimited);
    }
  }

  /** Whether this thread serves a request, whose head has come. */
  static boolean serving() {
    return CURRENT.get() != null;
  }

  /** Moves some bytes; 0 when the client is not ready. */
  interface Step {
    int run() throws IOException;
  }

  /**
   * Writes some bytes of an answer: of this thread's exchange as soon as its reader takes them, and
   * otherwise those that the connection takes at once.
   *
   * @throws IOException if the reader is cut off
   */
  static int write(Step write) throws IOException {
    Exchange exchange = CURRENT.get();
    if (exchange == null) {
      return write.run();
    }
    int bytes = exchange.await(write);
    exchange.moved(bytes);
    return bytes;
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
          "{} clients were cut off since the start; the last: {} {}, {}",
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
  private static final class Paced implements InputBuffer {

    private final InputBuffer body;
    private final org.apache.coyote.Request coyote;
    private final Exchange exchange;

    Paced(InputBuffer body, org.apache.coyote.Request coyote, Exchange exchange) {
      this.body = body;
      this.coyote = coyote;
      this.exchange = exchange;
    }

    @Override
    public int doRead(ApplicationBufferHandler handler) throws IOException {
      if (!fullyRead(coyote)) {
        exchange.await(() -> arrived(coyote) ? 1 : 0);
      }
      int bytes = body.doRead(handler);
      exchange.moved(bytes);
      return bytes;
    }

    @Override
    public int available() {
      return body.available();
    }
  }

  /** A request and its answer, with the patience that is left for its client. */
  private final class Exchange {

    private final org.apache.coyote.Request coyote;
    private final Request request;
    private long patience = mostPatience;
    private @Nullable List<Places.Key> place;

    Exchange(org.apache.coyote.Request coyote, Request request) {
      this.coyote = coyote;
      this.request = request;
    }

    /** Repeats a step until it moves bytes. */
    int await(Step step) throws IOException {
      int bytes = step.run();
      long before = System.nanoTime();
      for (long pause = 1; bytes == 0; pause = Math.min(2 * pause, LONGEST_PAUSE_MS)) {
        pause(pause);
        long now = System.nanoTime();
        patience -= now - before;
        before = now;
        if (patience < 0) {
          throw cutOff("it sent or read too slowly");
        }
        if (place == null && mostPatience - patience > QUICK_MS * 1_000_000) {
          List<Places.Key> keys = keys();
          if (!places.take(keys)) {
            throw cutOff("too many slow ones came at once");
          }
          place = keys;
        }
        bytes = step.run();
      }
      return bytes;
    }

    void moved(int bytes) {
      patience = Math.min(mostPatience, patience + Math.max(0, bytes) * NANOS_OF_A_BYTE);
      if (patience == mostPatience) {
        leave();
      }
    }

    /** Whose place a slow client takes: its token's and its address's. */
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
      IOException slow = new IOException("The client was cut off: " + reason);
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
  }
}
