package org.tarebook.cure;

import java.util.ArrayList;
import java.util.List;

/**
 * A stretch in which a channel was, or may have been, outside a band.
 *
 * @param from its first moment that is known to be outside, or else that may be
 * @param until its last one; between the two there may be gaps, which {@code known} leaves out
 * @param seen whether it is known to be outside at any moment
 * @param proven the longest time without a break that it is known to be outside, in seconds
 * @param head the same from its first known moment on
 * @param tail the same up to its last known moment
 * @param known all the time that it is known to be outside, in seconds
 * @param possible how long it may have been outside, with what is unknown beside it
 * @param worst how far outside at the most, in the unit of the limits; below negative
 * @param fromStart whether nothing known to be inside comes before it
 * @param toEnd whether nothing known to be inside comes after it
 */
record Excursion(
    double from,
    double until,
    boolean seen,
    double proven,
    double head,
    double tail,
    double known,
    double possible,
    double worst,
    boolean fromStart,
    boolean toEnd) {

  /** Moments are logged in microseconds. */
  static final double MOMENT = 1e-6;

  /** Whether it is known to be longer than what is tolerated; a moment is, where nothing is. */
  boolean provenBeyond(double tolerated) {
    return seen && (tolerated == 0 || proven > tolerated + MOMENT);
  }

  /** Whether it may be longer than what is tolerated. */
  boolean possibleBeyond(double tolerated) {
    return possible > tolerated + MOMENT;
  }

  /**
   * This excursion and the one that goes on from it over a mark, as one.
   *
   * @param across whether it is known to be outside between the last known moment of this one and
   *     the first of the next
   */
  Excursion and(Excursion next, boolean across) {
    double between = next.from - until;
    boolean joined = across && seen && next.seen;
    double through = joined ? tail + between + next.head : 0;
    boolean whole = joined && Math.abs(head - (until - from)) < MOMENT;
    boolean itsWhole = joined && Math.abs(next.head - (next.until - next.from)) < MOMENT;
    return new Excursion(
        seen ? from : next.from,
        next.seen ? next.until : until,
        seen || next.seen,
        Math.max(through, Math.max(proven, next.proven)),
        whole ? through : head,
        itsWhole ? through : next.tail,
        known + next.known + (joined ? between : 0),
        possible + next.possible,
        Math.abs(next.worst) > Math.abs(worst) ? next.worst : worst,
        fromStart,
        next.toEnd);
  }

  /** A part of a known piece that lies outside. */
  record Stretch(double from, double until, double worst) {}

  /** The excursions of a course, put together from its pieces in the order of time. */
  static final class Finder {
    private final List<Excursion> found = new ArrayList<>();
    private double provenFrom = Double.NaN;
    private double provenUntil = Double.NaN;
    private double run;
    private double head;
    private boolean broken;
    private double proven;
    private double known;
    private double possibleFrom = Double.NaN;
    private double possibleUntil;
    private double worst;
    private boolean suspected;
    private boolean insideBefore;

    /** One value, with nothing known beside it. */
    void moment(double at, double shown, Band band) {
      double outside = Double.isNaN(shown) ? 0 : band.outside(shown);
      if (outside != 0) {
        outside(new Stretch(at, at, outside));
      }
    }

    void outside(Stretch stretch) {
      possible(stretch.from(), stretch.until());
      if (Double.isNaN(provenFrom)) {
        provenFrom = stretch.from();
        worst = stretch.worst();
      }
      broken |= stretch.from() > provenUntil;
      run = stretch.from() <= provenUntil ? run : 0;
      run += stretch.until() - stretch.from();
      head = broken ? head : run;
      known += stretch.until() - stretch.from();
      provenUntil = stretch.until();
      proven = Math.max(proven, run);
      worst = Math.abs(stretch.worst()) > Math.abs(worst) ? stretch.worst() : worst;
    }

    /** Nothing is known; an excursion only beside a value that is outside. */
    void maybe(double start, double end) {
      possible(start, end);
    }

    /** Nothing is known, and the value after it or before it is so far outside. */
    void suspected(double start, double end, double outside) {
      possible(start, end);
      suspected = true;
      worst = Double.isNaN(provenFrom) ? outside : worst;
    }

    private void possible(double start, double end) {
      possibleFrom = Double.isNaN(possibleFrom) ? start : possibleFrom;
      possibleUntil = end;
    }

    void inside() {
      close(false);
      insideBefore = true;
    }

    /** The excursions up to the end of the course. */
    List<Excursion> end() {
      close(true);
      return found;
    }

    private void close(boolean toEnd) {
      boolean seen = !Double.isNaN(provenFrom);
      if (seen || suspected) {
        found.add(
            new Excursion(
                seen ? provenFrom : possibleFrom,
                seen ? provenUntil : possibleUntil,
                seen,
                proven,
                head,
                run,
                known,
                possibleUntil - possibleFrom,
                worst,
                !insideBefore,
                toEnd));
      }
      provenFrom = Double.NaN;
      provenUntil = Double.NaN;
      possibleFrom = Double.NaN;
      suspected = false;
      run = 0;
      head = 0;
      broken = false;
      proven = 0;
      known = 0;
      worst = 0;
    }
  }
}
