package org.tarebook.control;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.spec.Specification;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Tolerance;
import org.tarebook.stats.chart.BetweenWithin;

/**
 * A window of a chart as it is studied: what its readings come to, and its latest points one by
 * one. What depends on the order of points is looked at in these only, so that a year costs no more
 * than a shift.
 *
 * @param asked the chart and the window
 * @param cut how the readings were cut into points
 * @param stratum the one stratum looked at; absent where all are
 * @param unit the chart's unit
 * @param specification in force at the last counted reading of the window, of those that stood
 * @param parts what it was put together from, in order; stretches without a reading are left out
 * @param summary what its readings come to
 * @param latest its last {@value #LATEST} points, in order
 * @param between the charts of means that move by themselves; empty for every other kind
 */
public record SummarisedWindow(
    ReadingWindow.Asked asked,
    Chart.Cut cut,
    @Nullable String stratum,
    Unit unit,
    Optional<Specification> specification,
    List<Part> parts,
    Summary summary,
    List<Point> latest,
    Optional<BetweenWithin> between) {

  /** So many points are looked at one by one. */
  public static final int LATEST = 1000;

  /** The same with its latest points. */
  public SummarisedWindow withLatest(List<Point> points) {
    return new SummarisedWindow(
        asked, cut, stratum, unit, specification, parts, summary, points, between);
  }

  /** The strata that its readings or points are of, in order. */
  public SortedSet<String> strata() {
    SortedSet<String> strata = new TreeSet<>(summary.points().keySet());
    summary.shown().keySet().forEach(source -> strata.add(source.stratum()));
    return strata;
  }

  /** What of it is of each stratum, with those of its latest points that are of the stratum. */
  public Map<String, SummarisedWindow> byStratum() {
    Map<String, SummarisedWindow> own = new TreeMap<>();
    strata().forEach(name -> own.put(name, ofStratum(name)));
    return own;
  }

  private SummarisedWindow ofStratum(String name) {
    List<Part> own = parts.stream().map(part -> part.ofStratum(name)).toList();
    List<Point> points = own.stream().flatMap(part -> part.points().stream()).toList();
    return new SummarisedWindow(
        asked,
        cut,
        name,
        unit,
        specification,
        own,
        summary.ofStratum(name),
        latest.stream().filter(point -> point.stratum().equals(name)).toList(),
        cut.kind() == Chart.Kind.BETWEEN_WITHIN
            ? WithinSigma.betweenWithin(cut, points)
            : Optional.empty());
  }

  /** How many points there are. */
  public long points() {
    return summary.together().count();
  }

  /** How many readings count but made no point. */
  public long incomplete() {
    return summary.readings() - summary.together().subgroups().readings().count();
  }

  /** Count, sum and sum of squares of all its readings, exact, in the chart's unit. */
  public Moments moments() {
    return summary.moments(unit);
  }

  /** All its readings in the chart's unit, as doubles. */
  public CountedValues values() {
    return summary.values(unit);
  }

  /** Limits and target in the chart's unit; empty where there are none that differ. */
  public Optional<Tolerance> tolerance() {
    return specification.map(Specification::limits).flatMap(limits -> limits.in(unit));
  }

  /** Sigma within subgroups; empty where there is nothing to estimate it from. */
  public Optional<SigmaEstimate> within(Estimator estimator) {
    return estimator == Estimator.BETWEEN_WITHIN
        ? between.map(BetweenWithin::sigmaTogether)
        : WithinSigma.of(estimator, summary.together());
  }

  /** The limits that its points give; empty where there is no spread to estimate sigma from. */
  public Optional<Limits> limits(Estimator estimator) {
    return cut.kind() == Chart.Kind.BETWEEN_WITHIN
        ? between.map(Limits::of)
        : within(estimator)
            .map(sigma -> Limits.of(cut, summary.together().subgroups().readings(), sigma));
  }

  /** Its latest points, in order, by stratum. */
  public Map<String, List<Point>> latestByStratum() {
    Map<String, List<Point>> strata = new TreeMap<>();
    latest.forEach(
        point -> strata.computeIfAbsent(point.stratum(), name -> new ArrayList<>()).add(point));
    return strata;
  }

  /** Where the latest points begin: the window itself where they are all. */
  ReadingWindow.Asked latestAsked() {
    if (latest.isEmpty() || latest.size() == points()) {
      return asked;
    }
    Instant from =
        latest.stream().map(point -> point.span().earliest()).min(Instant::compareTo).get();
    return asked.over(from, asked.before());
  }
}
