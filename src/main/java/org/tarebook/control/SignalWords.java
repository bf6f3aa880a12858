package org.tarebook.control;

import org.tarebook.chart.Chart;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Side;
import org.tarebook.stats.ZoneRule;

/** Says what a signal is, for the person at the chart. */
final class SignalWords {

  private SignalWords() {}

  /** One sentence: what lies where, in the unit of the limit set. */
  static String of(Chart chart, Signal signal, LimitSet set) {
    boolean above = signal.side() == Side.ABOVE;
    String where = above ? "above" : "below";
    String last = figure(signal.point(), set);
    String ofSet = " (limit set " + set.code() + ")";
    if (signal.rule().equals(Found.SPREAD_BEYOND_LIMITS)) {
      ControlLimits spread = set.limits().spread();
      return spread(chart.cut().kind())
          + " "
          + last
          + " is "
          + where
          + " its control limit "
          + figure(above ? spread.upper() : spread.lower(), set)
          + ofSet
          + ".";
    }
    ZoneRule rule =
        chart.cut().rules().stream()
            .filter(known -> known.code().equals(signal.rule()))
            .findFirst()
            .orElseThrow();
    if (rule.window() == 1) {
      return "Point "
          + last
          + " is "
          + where
          + (above ? " the upper control limit " : " the lower control limit ")
          + figure(line(set, signal.side(), rule.zone()), set)
          + ofSet
          + ".";
    }
    return rule.count()
        + (rule.count() == rule.window() ? "" : " of " + rule.window())
        + " points in a row lie "
        + where
        + (rule.zone() == 0 ? " the centre line " : " ")
        + figure(line(set, signal.side(), rule.zone()), set)
        + (rule.zone() == 0 ? "" : ", " + sigmas(rule.zone()) + " from the centre line")
        + ", the last at "
        + last
        + ofSet
        + ".";
  }

  private static String sigmas(double zone) {
    return (zone == Math.rint(zone) ? String.valueOf((long) zone) : String.valueOf(zone))
        + " sigma of a point";
  }

  private static double line(LimitSet set, Side side, double zone) {
    ControlLimits points = set.limits().points();
    double reach = (points.upper() - points.centre()) * zone / 3;
    return side == Side.ABOVE ? points.centre() + reach : points.centre() - reach;
  }

  private static String figure(double figure, LimitSet set) {
    return Words.number(figure, set.limits().sigma().sigma()) + " " + set.unit().label();
  }

  private static String spread(Chart.Kind kind) {
    return switch (kind) {
      case XBAR_R -> "Range";
      case XBAR_S -> "Standard deviation";
      case INDIVIDUALS -> "Moving range";
    };
  }
}
