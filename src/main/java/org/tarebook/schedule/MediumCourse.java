package org.tarebook.schedule;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.DryRun.At;
import org.tarebook.schedule.DryRun.Change;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;
import org.tarebook.schedule.ScheduleDefinition.Step;
import org.tarebook.thermal.Between;
import org.tarebook.thermal.Trace;

/** The temperature that a medium takes when a schedule is run dry. */
final class MediumCourse {

  /** Of a ramp, in seconds. */
  private static final double PIECE = 5;

  private MediumCourse() {}

  /**
   * The course of a medium. Where a step has set points for two channels of it, the coldest or the
   * hottest of them, as verdicts take them.
   *
   * @param before what the medium has before its first set point, in degrees Celsius; not a number
   *     where it has that of the set point already
   */
  static Trace of(DryRun run, Medium medium, At at, Change change, double before, boolean coldest) {
    List<double[]> points = new ArrayList<>();
    double time = 0;
    double value = before;
    for (Step step : run.definition().steps()) {
      double length = run.length(step, change);
      SetPoint point = extreme(step, medium, at, coldest);
      if (point != null) {
        double wanted =
            celsius(point, at)
                + (medium == Medium.INSIDE ? change.insideKelvin() : change.outsideKelvin());
        double settle = point.settle() == null ? 0 : point.settle().toMillis() / 1000.0;
        if (Double.isNaN(value)) {
          value = wanted;
        }
        addRamp(points, time, value, Math.max(0.001, Math.min(settle, length)), wanted);
        value = wanted;
      }
      time += length;
      if (!Double.isNaN(value)) {
        add(points, time, value);
      }
    }
    return new Trace(
        points.stream().mapToDouble(point -> point[0]).toArray(),
        points.stream().mapToDouble(point -> point[1]).toArray(),
        Between.LINEAR);
  }

  private static @Nullable SetPoint extreme(Step step, Medium medium, At at, boolean coldest) {
    Comparator<SetPoint> byHeat = Comparator.comparingDouble(point -> celsius(point, at));
    return step.setPoints().stream()
        .filter(point -> medium.isShownBy(point.measured()))
        .min(coldest ? byHeat : byHeat.reversed())
        .orElse(null);
  }

  private static double celsius(SetPoint point, At at) {
    return new Quantity(at == At.TARGET ? point.target() : point.lower(), point.unit())
        .in(Unit.CELSIUS);
  }

  /** A straight ramp, in pieces so short that it does not matter how minutes are summed. */
  private static void addRamp(
      List<double[]> points, double from, double value, double length, double wanted) {
    add(points, from, value);
    for (double at = PIECE; at < length; at += PIECE) {
      add(points, from + at, value + (wanted - value) * at / length);
    }
    add(points, from + length, wanted);
  }

  private static void add(List<double[]> points, double time, double value) {
    double last = points.isEmpty() ? Double.NEGATIVE_INFINITY : points.get(points.size() - 1)[0];
    if (time > last) {
      points.add(new double[] {time, value});
    }
  }
}
