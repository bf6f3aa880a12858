package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import org.tarebook.thermal.Trace;

/**
 * Means of several traces over one minute, moved along a window by five seconds: noise of single
 * samples is gone, and a fault that lasts a minute is seen. A window shorter than a minute gives
 * one mean.
 */
final class MinuteMeans {

  private static final double STEP = 5;
  private static final double MINUTE = 60;

  /** Means of the traces, in their order, over one stretch. */
  static final class Mean {
    private final double from;
    private final double until;
    private final double[] means;

    private Mean(double from, double until, double[] means) {
      this.from = from;
      this.until = until;
      this.means = means;
    }

    double from() {
      return from;
    }

    double until() {
      return until;
    }

    double[] means() {
      return means;
    }
  }

  private MinuteMeans() {}

  static List<Mean> of(double from, double until, Trace... traces) {
    int points = Math.max(1, (int) Math.floor((until - from) / STEP));
    double step = (until - from) / points;
    double[][] sums = new double[traces.length][points + 1];
    for (int t = 0; t < traces.length; t++) {
      for (int i = 0; i < points; i++) {
        sums[t][i + 1] = sums[t][i] + traces[t].at(from + (i + 0.5) * step);
      }
    }
    int wide = Math.max(1, Math.min(points, (int) Math.round(MINUTE / step)));
    List<Mean> means = new ArrayList<>();
    for (int i = 0; i + wide <= points; i++) {
      double[] mean = new double[traces.length];
      for (int t = 0; t < traces.length; t++) {
        mean[t] = (sums[t][i + wide] - sums[t][i]) / wide;
      }
      means.add(new Mean(from + i * step, from + (i + wide) * step, mean));
    }
    return means;
  }

  /** The minute in which a figure is greatest. */
  static Optional<Mean> worst(List<Mean> means, ToDoubleFunction<Mean> figure) {
    return means.stream().max(Comparator.comparingDouble(figure));
  }
}
