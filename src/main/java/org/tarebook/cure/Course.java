package org.tarebook.cure;

import java.util.ArrayList;
import java.util.List;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.cure.Excursion.Stretch;

/**
 * What a channel did from one moment to another, in seconds from the start of the cure: pieces that
 * are known, and pieces that are not.
 *
 * <p>Of a SAMPLED channel a line runs from sample to sample. Only samples within the two moments
 * count, both included unless the first belongs to the step before; with a sample earlier in the
 * same step, the line from it. Else from the first moment to the first sample, and from the last
 * sample to the last moment, a value is held but not known. Of an ON_CHANGE channel a value is
 * known until the next report, but no longer than {@link ChannelLog#knownFor}; a report at the last
 * moment tells what comes after it and is left out. Between samples further apart than the largest
 * gap nothing is known. Samples set aside ({@link ChannelLog#setAside()}) and moments in conflict
 * that nobody settled are missing samples: a line across one shows where a channel may have been
 * outside, and proves nothing.
 */
final class Course {

  private final ChannelLog log;
  private final double from;
  private final double until;
  private final List<Piece> pieces = new ArrayList<>();
  private final int samples;

  /** How a piece came to its values. */
  private enum Standing {
    /** Between samples, as the recorder means it. */
    KNOWN,
    /** As known, but a sample between was set aside. */
    BRIDGED,
    /** Beside one sample; its value is taken on. */
    HELD,
    /** Too far from any sample. */
    UNKNOWN
  }

  /**
   * A piece: values as sent at both ends; an unknown piece has none.
   *
   * @param beyond of a held piece the value of the sample at its other side, which does not belong
   *     to the course; else NaN
   */
  private record Piece(
      double from, double until, double first, double last, Standing standing, double beyond) {
    Piece(double from, double until, double first, double last, Standing standing) {
      this(from, until, first, last, standing, Double.NaN);
    }

    double length() {
      return until - from;
    }

    /**
     * Whether its value is known then; of a bridged piece only those of the samples at its ends.
     */
    boolean knownAt(double moment) {
      return standing == Standing.KNOWN
          || (standing == Standing.BRIDGED && (moment == from || moment == until));
    }

    double at(double moment) {
      return length() == 0 ? first : first + (last - first) * (moment - from) / length();
    }
  }

  /**
   * Puts a course together.
   *
   * @param earliest from when on earlier samples are of the same step
   * @param open whether a sample at the first moment belongs to what comes before
   * @param largestGap seconds between samples beyond which nothing is known between them
   */
  Course(
      ChannelLog log, double earliest, double from, double until, boolean open, double largestGap) {
    this.log = log;
    this.from = from;
    this.until = until;
    this.samples =
        log.channel().recording() == Recording.ON_CHANGE
            ? holds(largestGap)
            : lines(earliest, open, largestGap);
  }

  private int lines(double earliest, boolean open, double largestGap) {
    double[] seconds = log.seconds();
    double[] shown = log.shown();
    int first = log.first(open ? Math.nextUp(from) : from);
    int end = log.first(Math.nextUp(until));
    if (first == end) {
      add(from, until, Double.NaN, Double.NaN, Standing.UNKNOWN);
      return 0;
    }
    double before = first > 0 ? seconds[first - 1] : from;
    if (first > 0
        && before < from
        && before >= earliest
        && seconds[first] - before <= largestGap + Excursion.MOMENT) {
      Piece line =
          new Piece(before, seconds[first], shown[first - 1], shown[first], Standing.KNOWN);
      add(from, seconds[first], line.at(from), shown[first], between(before, seconds[first]));
    } else {
      double beyond = first > 0 ? shown[first - 1] : Double.NaN;
      beside(from, seconds[first], shown[first], before, beyond, largestGap);
    }
    for (int i = first; i + 1 < end; i++) {
      boolean known = seconds[i + 1] - seconds[i] <= largestGap + Excursion.MOMENT;
      add(
          seconds[i],
          seconds[i + 1],
          shown[i],
          shown[i + 1],
          known ? between(seconds[i], seconds[i + 1]) : Standing.UNKNOWN);
    }
    if (end - first == 1) {
      pieces.add(
          new Piece(seconds[first], seconds[first], shown[first], shown[first], Standing.KNOWN));
    }
    boolean more = end < seconds.length;
    beside(
        seconds[end - 1],
        until,
        shown[end - 1],
        more ? seconds[end] : until,
        more ? shown[end] : Double.NaN,
        largestGap);
    return end - first;
  }

  private Standing between(double sample, double next) {
    return log.disputed(sample, next) ? Standing.BRIDGED : Standing.KNOWN;
  }

  /** The stretch beside the first or last sample, up to another sample outside the window. */
  private void beside(
      double start, double end, double value, double other, double beyond, double largestGap) {
    double apart = Math.max(Math.max(start, end), other) - Math.min(Math.min(start, end), other);
    boolean held = apart <= largestGap + Excursion.MOMENT;
    if (held && end > start) {
      pieces.add(new Piece(start, end, value, value, Standing.HELD, beyond));
    } else {
      add(start, end, Double.NaN, Double.NaN, Standing.UNKNOWN);
    }
  }

  private int holds(double largestGap) {
    double[] seconds = log.seconds();
    double[] shown = log.shown();
    double allowed = log.knownFor(largestGap);
    int next = log.first(Math.nextUp(from));
    int used = 0;
    double time = from;
    if (next == 0) {
      time = next < seconds.length ? Math.min(seconds[0], until) : until;
      add(from, time, Double.NaN, Double.NaN, Standing.UNKNOWN);
    }
    for (int i = Math.max(0, next - 1); i < seconds.length && time < until; i++) {
      double end = i + 1 < seconds.length ? Math.min(seconds[i + 1], until) : until;
      double overdue = Math.min(seconds[i] + allowed, log.lost(seconds[i], end));
      double known = end <= overdue + Excursion.MOMENT ? end : Math.max(time, overdue);
      add(time, known, shown[i], shown[i], Standing.KNOWN);
      add(known, end, Double.NaN, Double.NaN, Standing.UNKNOWN);
      time = end;
      used++;
    }
    return used;
  }

  private void add(double start, double end, double first, double last, Standing standing) {
    if (end > start) {
      pieces.add(new Piece(start, end, first, last, standing));
    }
  }

  ChannelLog log() {
    return log;
  }

  double from() {
    return from;
  }

  double until() {
    return until;
  }

  /** Whether no sample tells of it at all. */
  boolean unseen() {
    return samples == 0;
  }

  /**
   * The medium at a moment, in degrees Celsius or kilopascals absolute, known or held; NaN where
   * nothing is known.
   */
  double medium(double moment) {
    int low = 0;
    int high = pieces.size() - 1;
    while (low < high) {
      int middle = (low + high) >>> 1;
      if (pieces.get(middle).until() < moment) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    Piece piece = pieces.get(low);
    return piece.standing() == Standing.UNKNOWN || piece.standing() == Standing.BRIDGED
        ? Double.NaN
        : log.medium(piece.at(moment));
  }

  /**
   * Values of two media at one moment, in degrees Celsius or kilopascals absolute.
   *
   * @param at in seconds from the start of the cure
   * @param known whether both are known; else one of them is only held beside a sample, or lies on
   *     a line across a sample that was set aside
   */
  record Both(double at, double one, double other, boolean known) {}

  /**
   * This medium and another of the same stretch, at the ends of every piece of either, in the order
   * of time: between two such moments both run straight. Moments at which nothing is known of one
   * of them are left out; where a value jumps, both sides of the jump are there.
   */
  List<Both> beside(Course other) {
    List<Both> found = new ArrayList<>();
    int mine = 0;
    int its = 0;
    while (mine < pieces.size() && its < other.pieces.size()) {
      Piece one = pieces.get(mine);
      Piece two = other.pieces.get(its);
      double start = Math.max(one.from(), two.from());
      double end = Math.min(one.until(), two.until());
      if (start <= end
          && one.standing() != Standing.UNKNOWN
          && two.standing() != Standing.UNKNOWN) {
        found.add(both(one, other, two, start));
        if (end > start) {
          found.add(both(one, other, two, end));
        }
      }
      if (one.until() <= two.until()) {
        mine++;
      } else {
        its++;
      }
    }
    return found;
  }

  private Both both(Piece one, Course other, Piece two, double moment) {
    return new Both(
        moment,
        log.medium(one.at(moment)),
        other.log.medium(two.at(moment)),
        one.knownAt(moment) && two.knownAt(moment));
  }

  /** The last sample, as sent; NaN where there is none. */
  double last() {
    for (int i = pieces.size() - 1; i >= 0; i--) {
      if (pieces.get(i).standing() != Standing.UNKNOWN) {
        return pieces.get(i).last();
      }
    }
    return Double.NaN;
  }

  /**
   * The moment from which the medium is known to lie below a value up to the last moment, one held
   * beside the last sample among it; the last moment where it does not end below.
   */
  double belowFrom(double medium) {
    double found = until;
    for (int i = pieces.size() - 1; i >= 0; i--) {
      Piece piece = pieces.get(i);
      if (piece.standing() == Standing.UNKNOWN || piece.standing() == Standing.BRIDGED) {
        return found;
      }
      double first = log.medium(piece.first());
      double last = log.medium(piece.last());
      if (last >= medium) {
        return found;
      }
      if (first >= medium) {
        return piece.from() + (medium - first) / (last - first) * piece.length();
      }
      found = piece.from();
    }
    return found;
  }

  /** How long it is known to be within a band, in seconds. */
  double inside(Band band) {
    double outside = 0;
    double known = 0;
    for (Piece piece : pieces) {
      if (piece.standing() == Standing.KNOWN) {
        known += piece.length();
        for (Stretch stretch : outside(piece, band)) {
          outside += stretch.until() - stretch.from();
        }
      }
    }
    return known - outside;
  }

  /** The stretches outside a band, each by itself, in the order of time. */
  List<Excursion> outside(Band band) {
    Excursion.Finder open = new Excursion.Finder();
    for (Piece piece : pieces) {
      switch (piece.standing()) {
        case UNKNOWN -> {
          open.moment(piece.from(), piece.first(), band);
          open.maybe(piece.from(), piece.until());
          open.moment(piece.until(), piece.last(), band);
        }
        case HELD -> {
          double beyond = Double.isNaN(piece.beyond()) ? 0 : band.outside(piece.beyond());
          if (band.outside(piece.first()) != 0) {
            open.maybe(piece.from(), piece.until());
          } else if (beyond != 0) {
            open.suspected(piece.from(), piece.until(), beyond);
          } else {
            open.inside();
          }
        }
        case KNOWN, BRIDGED -> {
          if (band.outside(piece.first()) == 0) {
            open.inside();
          }
          for (Stretch stretch : outside(piece, band)) {
            if (stretch.from() > piece.from()) {
              open.inside();
            }
            if (piece.standing() == Standing.KNOWN) {
              open.outside(stretch);
            } else {
              possible(stretch, piece, band, open);
            }
          }
          if (band.outside(piece.last()) == 0) {
            open.inside();
          }
        }
      }
    }
    return open.end();
  }

  /** A stretch of a bridged piece: only the samples at the ends of the piece are known. */
  private static void possible(Stretch stretch, Piece piece, Band band, Excursion.Finder open) {
    if (stretch.from() == piece.from()) {
      open.moment(piece.from(), piece.first(), band);
    }
    open.maybe(stretch.from(), stretch.until());
    if (stretch.until() == piece.until()) {
      open.moment(piece.until(), piece.last(), band);
    }
  }

  /** Where a known piece lies outside: at most once at each of its ends. */
  private static List<Stretch> outside(Piece piece, Band band) {
    double first = band.outside(piece.first());
    double last = band.outside(piece.last());
    if (first == 0 && last == 0) {
      return List.of();
    }
    if (first * last > 0) {
      double worst = Math.abs(first) > Math.abs(last) ? first : last;
      return List.of(new Stretch(piece.from(), piece.until(), worst));
    }
    List<Stretch> found = new ArrayList<>();
    if (first != 0) {
      found.add(new Stretch(piece.from(), crossing(piece, band, first), first));
    }
    if (last != 0) {
      found.add(new Stretch(crossing(piece, band, last), piece.until(), last));
    }
    return found;
  }

  /** When a line crosses the lower limit (side negative) or the upper one. */
  private static double crossing(Piece piece, Band band, double side) {
    double start = band.written(piece.first());
    double end = band.written(piece.last());
    double limit = side < 0 ? band.lower() : band.upper();
    double share = Math.max(0, Math.min(1, (limit - start) / (end - start)));
    return piece.from() + share * piece.length();
  }
}
