package org.tarebook.storage;

import java.time.Duration;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Until when the work of this thread may go on. Its reports and their statements end then, and so
 * does a computation where it next asks. A thread is never interrupted: that may close the file of
 * H2.
 */
public final class Deadline {

  private record Limit(Duration longest, long end) {}

  private static final ThreadLocal<@Nullable Limit> HERE = new ThreadLocal<>();

  private Deadline() {}

  /** From now on the work of this thread may take so long. */
  public static void begin(Duration longest) {
    HERE.set(new Limit(longest, System.nanoTime() + longest.toNanos()));
  }

  /** The work of this thread has ended. */
  public static void end() {
    HERE.remove();
  }

  /**
   * Goes on while there is time, or where no deadline was set.
   *
   * @throws Passed if there is none left
   */
  public static void require() {
    if (left().filter(Duration::isNegative).isPresent()) {
      throw passed(null);
    }
  }

  /** What is left; negative after the deadline, empty where none was set. */
  static Optional<Duration> left() {
    Limit limit = HERE.get();
    return limit == null
        ? Optional.empty()
        : Optional.of(Duration.ofNanos(limit.end() - System.nanoTime()));
  }

  static Passed passed(@Nullable RuntimeException cause) {
    Limit limit = HERE.get();
    return new Passed(limit == null ? Duration.ZERO : limit.longest(), cause);
  }

  /** Work was ended because it took longer than it may. */
  public static final class Passed extends RuntimeException {

    private final Duration longest;

    Passed(Duration longest, @Nullable RuntimeException cause) {
      super("Work took longer than " + longest, cause);
      this.longest = longest;
    }

    /** How long the work was allowed to take. */
    public Duration longest() {
      return longest;
    }
  }
}
