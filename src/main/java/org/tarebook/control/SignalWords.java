package org.tarebook.control;

import org.tarebook.chart.Chart;
import org.tarebook.stats.AlternationRule;
import org.tarebook.stats.BandRule;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.EwmaRule;
import org.tarebook.stats.OneSideRule;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.Side;
import org.tarebook.stats.TrendRule;
import org.tarebook.stats.ZoneRule;

/** Says what a signal is, for the person at the chart. */
final class SignalWords {

  private SignalWords() {}

  /** One sentence: what lies where, in the unit of the limit set. */
  static String of(Chart chart, Signal signal, LimitSet set) {
    boolean above = signal.side() == Side.ABOVE;
    String where = above ? "above" : "below";
    Integer readings = signal.readings();
    int planned = chart.cut().subgroupSize();
    int own = readings == null ? planned : readings;
    Limits.OfPoint lines = set.limits().of(chart.cut(), own);
    String ofReadings = own == planned ? "" : " of " + own + (own == 1 ? " reading" : " readings");
    String ofSet = " (limit set " + set.code() + ")";
    if (signal.rule().equals(Found.SPREAD_BEYOND_LIMITS)) {
      ControlLimits spread = lines.spread() == null ? set.limits().spread() : lines.spread();
      double limit = above ? spread.upper() : spread.lower();
      return spread(chart.cut().kind())
          + " "
          + figure(signal.point(), set, limit)
          + ofReadings
          + " is "
          + where
          + " its control limit "
          + figure(limit, set, signal.point())
          + ofSet
          + ".";
    }
    RunRule rule =
        chart.cut().rules().stream()
            .filter(known -> known.code().equals(signal.rule()))
            .findFirst()
            .orElseThrow();
    ZoneRule zone =
        rule instanceof ZoneRule both
            ? both
            : rule instanceof OneSideRule oneSide ? oneSide.rule() : null;
    String lastOf =
        ", the last at " + figure(signal.point(), set, signal.point()) + ofReadings + ofSet + ".";
    if (zone == null) {
      return pattern(rule, above) + lastOf;
    }
    if (zone.window() > 1 && readings != null && zone.zone() > 0) {
      return (zone.count() == zone.window() ? "" : zone.count() + " of ")
          + zone.window()
          + " points in a row lie more than "
          + sigmas(zone.zone())
          + " of their own number of readings "
          + where
          + " the centre line"
          + lastOf;
    }
    double sigma = zone.window() == 1 ? lines.sigmaOfPoint() : set.limits().sigmaOfPoint();
    double at = line(set, above, zone.zone() * sigma);
    String line = figure(at, set, zone.window() == 1 ? signal.point() : at);
    if (zone.window() == 1) {
      return "Point "
          + figure(signal.point(), set, at)
          + ofReadings
          + " is "
          + where
          + (zone.zone() == 3
              ? (above ? " the upper control limit " : " the lower control limit ") + line
              : " " + line + ", " + sigmas(zone.zone()) + " from the centre line")
          + ofSet
          + ".";
    }
    return zone.count()
        + (zone.count() == zone.window() ? "" : " of " + zone.window())
        + " points in a row lie "
        + where
        + (zone.zone() == 0 ? " the centre line " : " ")
        + line
        + (zone.zone() == 0 ? "" : ", " + sigmas(zone.zone()) + " from the centre line")
        + lastOf;
  }

  private static String pattern(RunRule rule, boolean above) {
    if (rule instanceof TrendRule) {
      return rule.window() + " points in a row " + (above ? "rise" : "fall");
    } else if (rule instanceof AlternationRule) {
      return rule.window() + " points in a row go up and down in turn";
    } else if (rule instanceof BandRule band) {
      return "%d points in a row lie %s %s of the centre line%s"
          .formatted(
              band.window(),
              band.inside() ? "within" : "farther than",
              sigmas(band.zone()),
              band.bothSides() ? ", on both sides" : "");
    } else if (rule instanceof EwmaRule) {
      return "The weighted average of the points has drifted " + (above ? "up" : "down");
    }
    return "The sum of the points' deviations has drifted " + (above ? "up" : "down");
  }

  private static String sigmas(double zone) {
    return (zone == Math.rint(zone) ? String.valueOf((long) zone) : String.valueOf(zone))
        + " sigma of a point";
  }

  private static double line(LimitSet set, boolean above, double reach) {
    return set.limits().points().centre() + (above ? reach : -reach);
  }

  /** A figure with the digits that show it to differ from another. */
  private static String figure(double figure, LimitSet set, double other) {
    return Words.number(figure, set.limits().sigma().sigma(), other) + " " + set.unit().label();
  }

  private static String spread(Chart.Kind kind) {
    return switch (kind) {
      case XBAR_R -> "Range";
      case XBAR_S, BETWEEN_WITHIN -> "Standard deviation";
      case INDIVIDUALS -> "Moving range";
    };
  }
}
