package org.tarebook.rejects;

import java.time.Duration;
import java.time.Instant;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.reading.AsOf;

/**
 * Which reject rates are wanted.
 *
 * @param measuredFrom the first moment, by the devices' clocks
 * @param measuredBefore the first moment after the window
 * @param groupBy what to tell apart
 * @param narrowing which readings to look at
 * @param confidence of the intervals, between {@value #LEAST_CONFIDENCE} and {@value
 *     #MOST_CONFIDENCE}
 * @param method how the interval of independent items is made
 * @param includeSuspect whether readings count that rest on an instrument found doubtful
 * @param asOf the moment as of which the record is looked at; absent for now
 */
public record RateQuestion(
    Instant measuredFrom,
    Instant measuredBefore,
    Set<Dimension> groupBy,
    Bucket bucket,
    Narrowing narrowing,
    double confidence,
    IntervalMethod method,
    boolean includeSuspect,
    @Nullable Instant asOf) {

  /** The longest window, in days. */
  public static final int LONGEST_DAYS = 400;

  /** Less confidence says nothing. */
  public static final double LEAST_CONFIDENCE = 0.5;

  /** More confidence lies beyond what the formulas hold. */
  public static final double MOST_CONFIDENCE = 0.999;

  /** Codes, and names of die and shift; what is absent does not narrow. */
  public record Narrowing(
      @Nullable String line,
      @Nullable String component,
      @Nullable String product,
      @Nullable String station,
      @Nullable String die,
      @Nullable String characteristic,
      @Nullable String shift) {

    /** Everything. */
    public static final Narrowing NONE = new Narrowing(null, null, null, null, null, null, null);
  }

  /**
   * Checks the window and the confidence, and takes the moment that an answer as of another one
   * stands for.
   *
   * @throws org.tarebook.http.Problem naming each parameter that cannot be
   */
  public RateQuestion {
    groupBy = Set.copyOf(groupBy);
    asOf = asOf == null ? null : AsOf.standing(asOf);
    Faults faults = new Faults();
    faults.require(
        measuredFrom.isBefore(measuredBefore),
        "measuredBefore",
        "must lie after measuredFrom, " + measuredFrom + ", was " + measuredBefore);
    faults.require(
        !measuredFrom.plus(Duration.ofDays(LONGEST_DAYS)).isBefore(measuredBefore),
        "measuredBefore",
        "must lie at most "
            + LONGEST_DAYS
            + " days after measuredFrom; ask for a longer time in parts");
    faults.require(
        confidence >= LEAST_CONFIDENCE && confidence <= MOST_CONFIDENCE,
        "confidence",
        "must lie between "
            + LEAST_CONFIDENCE
            + " and "
            + MOST_CONFIDENCE
            + ", such as 0.95, was "
            + confidence);
    faults.throwIfAny(ProblemType.INVALID_REQUEST);
  }

  /** The same over another window. */
  RateQuestion over(Instant from, Instant before) {
    return with(from, before, bucket, narrowing);
  }

  /** The same cut in time another way. */
  RateQuestion by(Bucket other) {
    return with(measuredFrom, measuredBefore, other, narrowing);
  }

  /** The same of other readings. */
  RateQuestion of(Narrowing other) {
    return with(measuredFrom, measuredBefore, bucket, other);
  }

  private RateQuestion with(Instant from, Instant before, Bucket cut, Narrowing of) {
    return new RateQuestion(
        from, before, groupBy, cut, of, confidence, method, includeSuspect, asOf);
  }

  boolean asksFor(Dimension dimension) {
    return groupBy.contains(dimension);
  }
}
