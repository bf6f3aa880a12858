package org.tarebook.control;

import java.time.Duration;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;

/**
 * The window of a question, half-open.
 *
 * @param from first measuring time
 * @param before first measuring time behind it
 */
public record StudyWindow(Instant from, Instant before) {

  /** The longest window that is studied at once. */
  public static final Duration LONGEST = Duration.ofDays(400);

  /** How far a window reaches back where nobody says. */
  public static final Duration USUAL = Duration.ofDays(30);

  /**
   * The window asked for; what is left out becomes the last 30 days.
   *
   * @throws org.tarebook.http.Problem if it is empty or too long
   */
  public static StudyWindow of(@Nullable Instant from, @Nullable Instant before, Instant now) {
    Instant end = before == null ? now : before;
    return new StudyWindow(from == null ? end.minus(USUAL) : from, end).check();
  }

  /** Itself, if it is neither empty nor too long. */
  public StudyWindow check() {
    Faults faults = new Faults();
    faults.require(
        from.isBefore(before),
        "measuredBefore",
        "must lie behind measuredFrom, but is " + before + " where that is " + from);
    faults.require(
        Duration.between(from, before).compareTo(LONGEST) <= 0,
        "measuredBefore",
        "lies more than "
            + LONGEST.toDays()
            + " days behind measuredFrom; ask for parts of the window");
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    return this;
  }
}
