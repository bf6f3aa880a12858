package org.tarebook.thermal;

import java.util.Arrays;
import java.util.function.DoubleBinaryOperator;
import java.util.stream.DoubleStream;

/** The lower or higher of two traces at every time. */
final class Envelope {

  private Envelope() {}

  static Trace of(Trace one, Trace other, DoubleBinaryOperator choose) {
    Between between = one.size() == 1 ? other.between() : one.between();
    if (one.size() > 1 && other.size() > 1 && one.between() != other.between()) {
      return of(straight(one), straight(other), choose);
    }
    double[] times =
        DoubleStream.concat(Arrays.stream(one.seconds()), Arrays.stream(other.seconds()))
            .sorted()
            .distinct()
            .toArray();
    double[] at = new double[2 * times.length];
    double[] values = new double[2 * times.length];
    int count = 0;
    for (int i = 0; i < times.length; i++) {
      if (i > 0 && between == Between.LINEAR) {
        double crossing = crossing(one, other, times[i - 1], times[i]);
        if (crossing > times[i - 1] && crossing < times[i]) {
          at[count] = crossing;
          values[count++] = choose.applyAsDouble(one.at(crossing), other.at(crossing));
        }
      }
      at[count] = times[i];
      values[count++] = choose.applyAsDouble(one.at(times[i]), other.at(times[i]));
    }
    return new Trace(Arrays.copyOf(at, count), Arrays.copyOf(values, count), between);
  }

  /** Where two straight pieces meet; outside or not a number where they do not. */
  private static double crossing(Trace one, Trace other, double from, double to) {
    double before = one.at(from) - other.at(from);
    double after = one.at(to) - other.at(to);
    return before * after < 0 ? from + (to - from) * before / (before - after) : Double.NaN;
  }

  private static Trace straight(Trace trace) {
    if (trace.between() == Between.LINEAR) {
      return trace;
    }
    double[] times = new double[2 * trace.size() - 1];
    double[] values = new double[times.length];
    int count = 0;
    for (int i = 0; i < trace.size(); i++) {
      double before = Math.nextDown(trace.second(i));
      if (i > 0 && before > trace.second(i - 1)) {
        times[count] = before;
        values[count++] = trace.value(i - 1);
      }
      times[count] = trace.second(i);
      values[count++] = trace.value(i);
    }
    return new Trace(Arrays.copyOf(times, count), Arrays.copyOf(values, count), Between.LINEAR);
  }
}
