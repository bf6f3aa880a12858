package org.tarebook.thermal;

import java.util.Arrays;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;

/**
 * A quantity over time, from readings in order of time.
 *
 * <p>Before the first reading the first value holds, after the last the last: whether that may be
 * asked is for the caller to decide. Times are seconds from a moment the caller chooses; values
 * have the unit the caller gives them, mostly degrees Celsius or kPa absolute.
 */
public final class Trace {

  /** A straight piece no longer than this, in seconds, is a step. */
  private static final double STEEP = 0.01;

  /** How long a step takes at most that is put into a straight trace, in seconds. */
  private static final double STEP = 0.001;

  /** A stretch no longer than this, in seconds, is a rounding error: moments have microseconds. */
  private static final double ROUNDING = 5e-7;

  private final double[] seconds;
  private final double[] values;
  private final Between between;
  private final double[] steep;

  /**
   * Checks and copies the readings.
   *
   * @param seconds strictly increasing, at least one
   * @param values one for each time, finite
   * @param between what happens between two readings
   * @throws IllegalArgumentException if there is no reading, the lengths differ, a number is not
   *     finite or a time is not after the one before; the message names the reading
   */
  public Trace(double[] seconds, double[] values, Between between) {
    if (seconds.length == 0 || seconds.length != values.length) {
      throw new IllegalArgumentException(
          "%d times and %d values: a trace needs one value for each time, and at least one"
              .formatted(seconds.length, values.length));
    }
    this.seconds = seconds.clone();
    this.values = values.clone();
    this.between = between;
    for (int i = 0; i < seconds.length; i++) {
      if (!Double.isFinite(seconds[i]) || !Double.isFinite(values[i])) {
        throw new IllegalArgumentException(
            "reading %d of the trace is %s at %s s, both must be numbers: leave it out"
                .formatted(i, values[i], seconds[i]));
      }
      if (i > 0 && !(seconds[i] > seconds[i - 1])) {
        throw new IllegalArgumentException(
            "reading %d of the trace at %s s is not after the one before it at %s s: sort the readings and keep one for each time"
                .formatted(i, seconds[i], seconds[i - 1]));
      }
    }
    this.steep =
        between == Between.HOLD
            ? new double[0]
            : IntStream.range(1, seconds.length)
                .filter(i -> seconds[i] - seconds[i - 1] <= STEEP)
                .mapToDouble(i -> seconds[i - 1])
                .toArray();
  }

  /** Returns the trace that has one value at all times. */
  public static Trace constant(double value) {
    return new Trace(new double[] {0}, new double[] {value}, Between.LINEAR);
  }

  /** Returns a copy of the times. */
  public double[] seconds() {
    return seconds.clone();
  }

  /** Returns a copy of the values. */
  public double[] values() {
    return values.clone();
  }

  /** Returns what happens between two readings. */
  public Between between() {
    return between;
  }

  /** Returns the number of readings. */
  public int size() {
    return seconds.length;
  }

  double second(int reading) {
    return seconds[reading];
  }

  double value(int reading) {
    return values[reading];
  }

  /** Returns the index of the last reading at or before a time, -1 before the first. */
  int lastAt(double time) {
    int found = Arrays.binarySearch(seconds, time);
    return found >= 0 ? found : -found - 2;
  }

  /**
   * Returns the next time at which the trace steps by more than so much, infinity where it does
   * not: of a held trace a reading, of a straight one where a piece begins that takes next to no
   * time.
   */
  double nextStep(double time, double height) {
    if (between == Between.LINEAR) {
      for (double start : steep) {
        if (start > time && Math.abs(at(start + STEEP) - at(start)) > height) {
          return start;
        }
      }
      return Double.POSITIVE_INFINITY;
    }
    for (int i = lastAt(time) + 1; i < seconds.length; i++) {
      if (seconds[i] > time && Math.abs(values[i] - at(time)) > height) {
        return seconds[i];
      }
    }
    return Double.POSITIVE_INFINITY;
  }

  /**
   * Returns the trace with one value from one time to another, stepping to it and back. A step
   * takes a millisecond, or a quarter of a stretch that is shorter than four.
   *
   * @param from seconds
   * @param until seconds; where no reading is left after it, the value stays
   */
  public Trace replaced(double from, double until, double value) {
    boolean held = between == Between.HOLD;
    int before = lastAt(held ? Math.nextDown(from) : from) + 1;
    int after = lastAt(Math.nextDown(until)) + 1;
    if (until - from <= ROUNDING) {
      return this;
    }
    double step = Math.min(STEP, (until - from) / 4);
    DoubleStream.Builder times = DoubleStream.builder();
    DoubleStream.Builder replaced = DoubleStream.builder();
    for (int i = 0; i < before; i++) {
      times.add(seconds[i]);
      replaced.add(values[i]);
    }
    boolean beside = !held && before > 0 && seconds[before - 1] > from - step;
    times.add(beside ? seconds[before - 1] + step : from);
    replaced.add(value);
    if (!held) {
      times.add(after < seconds.length ? seconds[after] - step : until);
      replaced.add(value);
    }
    for (int i = after; i < seconds.length; i++) {
      times.add(seconds[i]);
      replaced.add(values[i]);
    }
    return new Trace(times.build().toArray(), replaced.build().toArray(), between);
  }

  /** Returns the value at a time; at a step of a held trace the new value. */
  public double at(double second) {
    Arguments.requireFinite("time", second);
    int last = lastAt(second);
    if (last < 0) {
      return values[0];
    }
    if (between == Between.HOLD || last == seconds.length - 1) {
      return values[last];
    }
    double share = (second - seconds[last]) / (seconds[last + 1] - seconds[last]);
    return values[last] + share * (values[last + 1] - values[last]);
  }

  /** Returns the mean over a time, with the end values held outside. */
  double mean(double from, double to) {
    double sum = 0;
    double time = from;
    double value = at(from);
    for (int next = lastAt(from) + 1; time < to; next++) {
      boolean more = next < seconds.length && seconds[next] < to;
      double end = more ? seconds[next] : to;
      double reached = more ? values[next] : at(to);
      sum += (end - time) * (between == Between.HOLD ? value : (value + reached) / 2);
      time = end;
      value = reached;
    }
    return sum / (to - from);
  }

  /**
   * Returns the part of the trace between two times, with a reading at both.
   *
   * @throws IllegalArgumentException if {@code from} is not before {@code to}
   */
  public Trace between(double from, double to) {
    Arguments.requireBefore(from, to);
    int first = lastAt(from) + 1;
    int last = lastAt(Math.nextDown(to));
    int inside = Math.max(0, last - first + 1);
    double[] times = new double[inside + 2];
    double[] cut = new double[inside + 2];
    times[0] = from;
    cut[0] = at(from);
    System.arraycopy(seconds, first, times, 1, inside);
    System.arraycopy(values, first, cut, 1, inside);
    times[inside + 1] = to;
    cut[inside + 1] = at(to);
    return new Trace(times, cut, between);
  }

  /** Returns the trace with every value replaced; what lies between follows {@link #between()}. */
  public Trace map(DoubleUnaryOperator change) {
    return new Trace(seconds, Arrays.stream(values).map(change).toArray(), between);
  }

  /** Returns at each time the lower of two traces, see {@link #highest}. */
  public static Trace lowest(Trace one, Trace other) {
    return Envelope.of(one, other, Math::min);
  }

  /**
   * Returns at each time the higher of two traces.
   *
   * <p>Where straight pieces cross, a reading is put in. If one trace is held and the other
   * straight, the result is straight and a step takes the smallest time there is.
   */
  public static Trace highest(Trace one, Trace other) {
    return Envelope.of(one, other, Math::max);
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof Trace trace
        && between == trace.between
        && Arrays.equals(seconds, trace.seconds)
        && Arrays.equals(values, trace.values);
  }

  @Override
  public int hashCode() {
    return 31 * Arrays.hashCode(seconds) + Arrays.hashCode(values);
  }

  @Override
  public String toString() {
    return "Trace[%d readings, %s to %s s, %s]"
        .formatted(seconds.length, seconds[0], seconds[seconds.length - 1], between);
  }
}
