package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.ToDoubleFunction;

/**
 * Means of several courses over one minute, moved along a window by five seconds: noise of single
 * samples is gone, and a fault that lasts a minute is seen. A window shorter than a minute gives
 * one mean.
 */
final class MinuteMeans {

  private static final double STEP = 5;
  private static final double MINUTE = 60;

  /** Means of the courses, in their order, over one stretch. */
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

  /** Means of courses of the same stretch; those of minutes that are not known are left out. */
  static List<Mean> of(Course... courses) {
    double from = courses[0].from();
    int points = Math.max(1, (int) Math.floor((courses[0].until() - from) / STEP));
    double step = (courses[0].until() - from) / points;
    double[][] sums = new double[courses.length][points + 1];
    int[] unknown = new int[points + 1];
    for (int i = 0; i < points; i++) {
      unknown[i + 1] = unknown[i];
      for (int c = 0; c < courses.length; c++) {
        double medium = courses[c].medium(from + (i + 0.5) * step);
        boolean known = !Double.isNaN(medium);
        sums[c][i + 1] = sums[c][i] + (known ? medium : 0);
        unknown[i + 1] += known ? 0 : 1;
      }
    }
    int wide = Math.max(1, Math.min(points, (int) Math.round(MINUTE / step)));
    List<Mean> means = new ArrayList<>();
    for (int i = 0; i + wide <= points; i++) {
      if (unknown[i + wide] > unknown[i]) {
        continue;
      }
      double[] mean = new double[courses.length];
      for (int c = 0; c < courses.length; c++) {
        mean[c] = (sums[c][i + wide] - sums[c][i]) / wide;
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
