package org.tarebook.thermal;

import java.util.Arrays;
import java.util.List;

/**
 * Temperatures and equivalents of a heated section at the marks asked for, at any depth of its
 * rubber.
 *
 * <p>Within a layer, logarithms of equivalents are interpolated by parabolas between the middles of
 * cells and the layer's faces; at an interface each layer has the value by its own law.
 */
public final class HeatHistory {

  private static final double SECONDS_PER_MINUTE = 60;

  private final Section section;
  private final Cells cells;
  private final double[] marks;
  private final int points;
  private final int[] layerOf;
  private final double[] position;
  private final double[] lower;
  private final double[] upper;
  private final double[] logRate;
  private final double[] rate;
  private final double[] hottest;
  private final double[][] keptLower;
  private final double[][] keptUpper;
  private final double[][] keptCelsius;
  private final double[][] keptHottest;
  private Span span;

  /**
   * A place of the rubber and its equivalents.
   *
   * @param position metres from the inner face of the section
   * @param layer name of its layer
   * @param minutes equivalent minutes
   */
  public record Place(double position, String layer, double minutes) {}

  HeatHistory(Section section, Cells cells, double[] marks) {
    this.section = section;
    this.cells = cells;
    this.marks = marks.clone();
    int count = 0;
    for (int i = 0; i < section.layers().size(); i++) {
      if (section.layers().get(i).law() != null) {
        count += cells.firstOf[i + 1] - cells.firstOf[i] + 2;
      }
    }
    if (count == 0) {
      throw new IllegalArgumentException("no layer of the section cures: give one a law");
    }
    points = count;
    layerOf = new int[points];
    position = new double[points];
    int point = 0;
    for (int i = 0; i < section.layers().size(); i++) {
      if (section.layers().get(i).law() == null) {
        continue;
      }
      layerOf[point] = i;
      position[point++] = section.start(i);
      for (int cell = cells.firstOf[i]; cell < cells.firstOf[i + 1]; cell++) {
        layerOf[point] = i;
        position[point++] = cells.middle[cell];
      }
      layerOf[point] = i;
      position[point++] = section.start(i + 1);
    }
    lower = new double[points];
    upper = new double[points];
    logRate = new double[points];
    rate = new double[points];
    hottest = new double[points];
    Arrays.fill(hottest, Double.NEGATIVE_INFINITY);
    keptLower = new double[marks.length][];
    keptUpper = new double[marks.length][];
    keptCelsius = new double[marks.length][];
    keptHottest = new double[marks.length][];
    span = new Span(0, 1, 0, 0, Trace.constant(0), Film.PERFECT, Trace.constant(0), Film.PERFECT);
  }

  double nextMark(double time) {
    for (double mark : marks) {
      if (mark > time) {
        return mark;
      }
    }
    return Double.POSITIVE_INFINITY;
  }

  void begin(Span next, double time, double[] celsius) {
    span = next;
    rates(time, celsius, logRate, rate);
    keep(time, celsius);
  }

  void advance(double from, double until, double[] celsius) {
    double minutes = (until - from) / SECONDS_PER_MINUTE;
    int point = 0;
    while (point < points) {
      int layer = layerOf[point];
      CureLaw law = law(layer);
      int end = point + cells.firstOf[layer + 1] - cells.firstOf[layer] + 2;
      boolean takesPart = layer >= span.firstLayer() && layer <= span.lastLayer();
      for (int i = point; takesPart && i < end; i++) {
        double here = celsiusAt(layer, i - point, until, celsius);
        hottest[i] = Math.max(hottest[i], here);
        double then = law.logRate(here);
        double thenRate = Math.exp(then);
        lower[i] += minutes * EquivalentCure.logMean(rate[i], then - logRate[i]);
        upper[i] += minutes * (rate[i] + thenRate) / 2;
        logRate[i] = then;
        rate[i] = thenRate;
      }
      point = end;
    }
    keep(until, celsius);
  }

  private CureLaw law(int layer) {
    CureLaw law = section.layers().get(layer).law();
    if (law == null) {
      throw new IllegalStateException("A layer without a law has no points");
    }
    return law;
  }

  private void rates(double time, double[] celsius, double[] logs, double[] values) {
    int start = 0;
    for (int i = 0; i < points; i++) {
      if (i > 0 && layerOf[i] != layerOf[i - 1]) {
        start = i;
      }
      double here = celsiusAt(layerOf[i], i - start, time, celsius);
      hottest[i] = Math.max(hottest[i], here);
      logs[i] = law(layerOf[i]).logRate(here);
      values[i] = Math.exp(logs[i]);
    }
  }

  /** Temperature of a point of a layer: the inner face of its layer, a cell, or the outer face. */
  private double celsiusAt(int layer, int within, double time, double[] celsius) {
    int first = cells.firstOf[layer];
    int last = cells.firstOf[layer + 1] - 1;
    if (within == 0) {
      return layer <= span.firstLayer()
          ? cells.face(span.insideFilm(), span.inside().at(time), first, celsius[first])
          : cells.face(first - 1, celsius[first - 1], celsius[first]);
    }
    if (within == last - first + 2) {
      return layer >= span.lastLayer()
          ? cells.face(span.outsideFilm(), span.outside().at(time), last, celsius[last])
          : cells.face(last, celsius[last], celsius[last + 1]);
    }
    return celsius[first + within - 1];
  }

  private void keep(double time, double[] celsius) {
    for (int mark = 0; mark < marks.length; mark++) {
      if (marks[mark] == time) {
        keptLower[mark] = lower.clone();
        keptUpper[mark] = upper.clone();
        keptHottest[mark] = hottest.clone();
        double[] now = new double[points];
        int start = 0;
        for (int i = 0; i < points; i++) {
          if (i > 0 && layerOf[i] != layerOf[i - 1]) {
            start = i;
          }
          now[i] = celsiusAt(layerOf[i], i - start, time, celsius);
        }
        keptCelsius[mark] = now;
      }
    }
  }

  /**
   * Returns the equivalents of a place.
   *
   * @param at metres from the inner face of the section; taken to the nearest rubber
   * @param mark index of the mark
   * @param rule LOG_MEAN for minima, TRAPEZOID for maxima
   */
  public double minutesAt(double at, int mark, Rule rule) {
    double[] values = logarithms(mark, rule);
    return Math.exp(cautious(nearest(at), values, at));
  }

  /** Returns the temperature of a place at a mark, in degrees Celsius. */
  public double celsiusAt(double at, int mark) {
    return logarithmAt(keptCelsius[mark], at);
  }

  /**
   * Returns the highest temperature of a place up to a mark, in degrees Celsius: that of the hotter
   * one of the points on both sides of it.
   *
   * @param at metres from the inner face of the section; taken to the nearest rubber
   * @param mark index of the mark
   */
  public double hottestAt(double at, int mark) {
    int nearest = nearest(at);
    int other = at < position[nearest] ? nearest - 1 : nearest + 1;
    double here = keptHottest[mark][nearest];
    return at != position[nearest]
            && other >= 0
            && other < points
            && layerOf[other] == layerOf[nearest]
        ? Math.max(here, keptHottest[mark][other])
        : here;
  }

  /**
   * Returns the highest temperature that any rubber of a layer had up to a mark, in degrees
   * Celsius.
   *
   * @param layer index among the layers that cure, from the inside
   * @param mark index of the mark
   */
  public double hottestOf(int layer, int mark) {
    double highest = Double.NEGATIVE_INFINITY;
    int seen = -1;
    for (int i = 0; i < points; i++) {
      seen = i == 0 || layerOf[i] != layerOf[i - 1] ? seen + 1 : seen;
      highest = seen == layer ? Math.max(highest, keptHottest[mark][i]) : highest;
    }
    return highest;
  }

  /** Returns the name of the layer a place lies in. */
  public String layerAt(double at) {
    return section.layers().get(layerOf[nearest(at)]).name();
  }

  /** Returns the place that cured least by a mark, by the log-mean. */
  public Place slowest(int mark) {
    return extreme(logarithms(mark, Rule.LOG_MEAN), -1);
  }

  /** Returns the place that cured most by a mark, by the trapezoid. */
  public Place fastest(int mark) {
    return extreme(logarithms(mark, Rule.TRAPEZOID), 1);
  }

  private double[] logarithms(int mark, Rule rule) {
    double[] kept = rule == Rule.TRAPEZOID ? keptUpper[mark] : keptLower[mark];
    double[] logarithms = new double[points];
    for (int i = 0; i < points; i++) {
      logarithms[i] = Math.log(Math.max(kept[i], Double.MIN_NORMAL));
    }
    return logarithms;
  }

  private Place extreme(double[] values, int sign) {
    int best = 0;
    for (int i = 1; i < points; i++) {
      if (sign * values[i] > sign * values[best]) {
        best = i;
      }
    }
    double at = position[best];
    if (best > 0
        && best + 1 < points
        && layerOf[best - 1] == layerOf[best]
        && layerOf[best + 1] == layerOf[best]) {
      at = vertex(best, values);
    }
    return new Place(
        at, section.layers().get(layerOf[best]).name(), Math.exp(cautious(best, values, at)));
  }

  /**
   * The parabola; of a law within a range no higher than the line to the next point. Between rubber
   * that has cured and rubber that never came into the range a parabola would rise far above both.
   */
  private double cautious(int nearest, double[] values, double at) {
    double value = parabola(nearest, values, at);
    int other = at < position[nearest] ? nearest - 1 : nearest + 1;
    if (!(law(layerOf[nearest]) instanceof StatedRange range)
        || range.bound() == StatedRange.Bound.UPPER
        || other < 0
        || other >= points
        || layerOf[other] != layerOf[nearest]) {
      return value;
    }
    double share = (at - position[nearest]) / (position[other] - position[nearest]);
    return Math.min(value, values[nearest] + share * (values[other] - values[nearest]));
  }

  /** Where the parabola through a point and its neighbours is level. */
  private double vertex(int point, double[] values) {
    double left = position[point] - position[point - 1];
    double right = position[point + 1] - position[point];
    double fall = (values[point] - values[point - 1]) / left;
    double rise = (values[point + 1] - values[point]) / right;
    double curve = (rise - fall) / (left + right);
    if (curve == 0) {
      return position[point];
    }
    double slope = (fall * right + rise * left) / (left + right);
    double at = position[point] - slope / (2 * curve);
    return Math.max(position[point - 1], Math.min(position[point + 1], at));
  }

  private double logarithmAt(double[] values, double at) {
    return parabola(nearest(at), values, at);
  }

  private int nearest(double at) {
    int best = 0;
    for (int i = 1; i < points; i++) {
      if (Math.abs(position[i] - at) < Math.abs(position[best] - at)) {
        best = i;
      }
    }
    return best;
  }

  private double parabola(int nearest, double[] values, double at) {
    int centre = nearest;
    if (centre == 0 || layerOf[centre - 1] != layerOf[centre]) {
      centre++;
    } else if (centre == points - 1 || layerOf[centre + 1] != layerOf[centre]) {
      centre--;
    }
    double x0 = position[centre - 1];
    double x1 = position[centre];
    double x2 = position[centre + 1];
    double x = Math.max(Math.min(at, position[points - 1]), position[0]);
    return values[centre - 1] * (x - x1) * (x - x2) / ((x0 - x1) * (x0 - x2))
        + values[centre] * (x - x0) * (x - x2) / ((x1 - x0) * (x1 - x2))
        + values[centre + 1] * (x - x0) * (x - x1) / ((x2 - x0) * (x2 - x1));
  }

  /** Returns the names of the layers that cure, from the inside. */
  public List<String> layers() {
    return section.layers().stream().filter(layer -> layer.law() != null).map(Layer::name).toList();
  }
}
