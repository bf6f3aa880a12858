package org.tarebook.truth;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.function.ToDoubleFunction;
import org.jspecify.annotations.Nullable;
import org.tarebook.truth.Facts.Limits;
import org.tarebook.truth.Facts.Row;
import org.tarebook.truth.Points.Point;

/** What the answers about a chart must say, recomputed from its facts alone. */
final class Recomputed {

  private final Facts facts;
  private final Standing standing;
  private final Points points;

  Recomputed(Facts facts) {
    this.facts = facts;
    this.standing = new Standing(facts);
    this.points = new Points(facts);
  }

  Facts facts() {
    return facts;
  }

  /** Figures of a study of capability; each null does not exist. */
  record Study(
      long readings,
      long points,
      long incomplete,
      Map<Standing.Cause, Long> excluded,
      @Nullable Double mean,
      @Nullable Double sigmaWithin,
      @Nullable Double sigmaTotal,
      @Nullable Integer revision,
      @Nullable Long below,
      @Nullable Long above,
      @Nullable Double lower,
      @Nullable Double upper) {

    /**
     * Cp or Pp by a sigma. Published in doubles from the rounded limits, mean and sigma, so the
     * same steps are taken here.
     */
    @Nullable Double potential(@Nullable Double sigma) {
      return lower == null || upper == null || sigma == null || sigma == 0 || upper.equals(lower)
          ? null
          : (Double) ((upper - lower) / (6 * sigma));
    }

    /** Cpk or Ppk by a sigma, in the same way. */
    @Nullable Double minimum(@Nullable Double sigma) {
      if (mean == null || sigma == null || sigma == 0 || (lower == null && upper == null)) {
        return null;
      }
      double above = upper == null ? Double.POSITIVE_INFINITY : (upper - mean) / (3 * sigma);
      double below = lower == null ? Double.POSITIVE_INFINITY : (mean - lower) / (3 * sigma);
      return Math.min(above, below);
    }
  }

  /** A point as it is shown. */
  record Shown(
      Instant at,
      String stratum,
      long firstReading,
      long lastReading,
      double value,
      @Nullable Double spread) {}

  /** A study of a window; the estimator is R_BAR, S_BAR, POOLED or MOVING_RANGE. */
  Study study(Instant from, Instant before, String estimator, @Nullable String stratum) {
    String unit = facts.chart().unit();
    Map<Standing.Cause, Long> excluded = new EnumMap<>(Standing.Cause.class);
    List<Row> counted = new ArrayList<>();
    for (Row row : facts.rows()) {
      if (Points.in(row.at(), from, before)) {
        Set<Standing.Cause> causes = standing.of(row);
        if (!causes.isEmpty()) {
          excluded.merge(causes.iterator().next(), 1L, Long::sum);
        } else if (stratum == null || points.stratum(row).equals(stratum)) {
          counted.add(row);
        }
      }
    }
    List<Point> cut =
        cut(from, before).stream()
            .filter(point -> point.within(from, before) && Points.in(point.at(), from, before))
            .filter(point -> stratum == null || point.stratum().equals(stratum))
            .toList();
    List<BigDecimal> values = Exact.bases(counted);
    BigDecimal n = BigDecimal.valueOf(values.size());
    Double mean = values.isEmpty() ? null : Exact.quotient(Exact.sum(values), n, unit);
    Double total = values.size() < 2 ? null : Exact.sd(values, unit);
    Double within = within(cut, from, before, estimator);
    Limits limits =
        inForce(
            facts.rows().stream()
                .filter(row -> Points.in(row.at(), from, before) && standing.of(row).isEmpty())
                .map(Row::at)
                .max(Instant::compareTo)
                .orElse(before.minusNanos(1000)));
    Long below = limits == null || values.isEmpty() ? null : outside(counted, limits, -1);
    Long above = limits == null || values.isEmpty() ? null : outside(counted, limits, 1);
    return new Study(
        counted.size(),
        cut.size(),
        counted.size() - cut.stream().mapToLong(point -> point.rows().size()).sum(),
        excluded,
        mean,
        within,
        total,
        limits == null ? null : limits.revision(),
        below,
        above,
        limits == null ? null : limit(limits.lower(), limits.unit()),
        limits == null ? null : limit(limits.upper(), limits.unit()));
  }

  /** Points that were completed in a window, in order. */
  List<Shown> points(Instant from, Instant before) {
    String unit = facts.chart().unit();
    BigDecimal one = BigDecimal.ONE;
    List<Shown> shown = new ArrayList<>();
    for (Point point : cut(from, before)) {
      if (Points.in(point.at(), from, before)) {
        List<Row> rows = point.rows();
        List<BigDecimal> values = Exact.bases(rows);
        BigDecimal moved = point.moved();
        Double spread =
            switch (facts.chart().kind()) {
              case "XBAR_R" ->
                  rows.size() < 2 ? null : (Double) Exact.quotient(range(point), one, unit);
              case "XBAR_S" -> rows.size() < 2 ? null : (Double) Exact.sd(values, unit);
              default -> moved == null ? null : (Double) Exact.quotient(moved, one, unit);
            };
        shown.add(
            new Shown(
                point.at(),
                point.stratum(),
                rows.get(0).id(),
                rows.get(rows.size() - 1).id(),
                Exact.quotient(Exact.sum(values), BigDecimal.valueOf(rows.size()), unit),
                spread));
      }
    }
    return shown;
  }

  /** How many readings of a window a search finds; of one cause, or all that were not amended. */
  long found(Instant from, Instant before, Standing.@Nullable Cause cause) {
    return facts.rows().stream()
        .filter(row -> Points.in(row.at(), from, before))
        .map(standing::of)
        .filter(
            causes ->
                cause == null
                    ? !causes.contains(Standing.Cause.VOIDED)
                        && !causes.contains(Standing.Cause.REPLACED)
                    : !causes.isEmpty() && causes.iterator().next() == cause) // as it is shown
        .count();
  }

  /**
   * How many readings of a window a search finds by the result in force, of a chart whose
   * instruments never failed a check; those that were amended are left out.
   */
  long judged(Instant from, Instant before, String result) {
    return facts.rows().stream()
        .filter(row -> Points.in(row.at(), from, before))
        .filter(
            row ->
                !standing.of(row).contains(Standing.Cause.VOIDED)
                    && !standing.of(row).contains(Standing.Cause.REPLACED))
        .filter(row -> result(row).equals(result))
        .count();
  }

  private String result(Row row) {
    Limits limits = inForce(row.at());
    return standing.of(row).contains(Standing.Cause.NO_VALUE) || limits == null
        ? "NOT_JUDGED"
        : outside(row, limits, -1) || outside(row, limits, 1) ? "FAIL" : "PASS";
  }

  /** The points of every shift that a window touches. */
  private List<Point> cut(Instant from, Instant before) {
    Shiftwork shifts = new Shiftwork(facts.calendars(), from, before);
    Instant start = shifts.from(from);
    Instant end = shifts.before(before);
    return points.cut(
        facts.rows().stream()
            .filter(row -> Points.in(row.at(), start, end))
            .filter(row -> standing.of(row).isEmpty())
            .toList(),
        shifts);
  }

  /**
   * Sigma within subgroups. Mean range, mean standard deviation and mean moving range are rounded
   * to a double before they are divided by the factor, as they are published; the pooled one is
   * rounded once.
   */
  private @Nullable Double within(List<Point> cut, Instant from, Instant before, String estimator) {
    String unit = facts.chart().unit();
    if (estimator.equals("MOVING_RANGE")) {
      List<BigDecimal> moves =
          cut.stream()
              .filter(point -> point.since() != null && Points.in(point.since(), from, before))
              .map(Point::moved)
              .toList();
      return moves.isEmpty()
          ? null
          : (Double)
              (Exact.quotient(Exact.sum(moves), BigDecimal.valueOf(moves.size()), unit)
                  / Factor.D2.of(2));
    }
    if (cut.isEmpty()) {
      return null;
    }
    return switch (estimator) {
      case "R_BAR" ->
          weighted(
              cut,
              Factor.D2,
              Factor.D3,
              of -> Exact.quotient(sum(of, Recomputed::range), count(of), unit));
      case "S_BAR" ->
          weighted(
              cut,
              Factor.C4,
              Factor.C5,
              of ->
                  sum(of, point -> new BigDecimal(Exact.sd(Exact.bases(point.rows()), unit)))
                      .divide(count(of), Exact.DIGITS)
                      .doubleValue());
      case "POOLED" -> {
        long degrees = cut.stream().mapToLong(point -> point.rows().size() - 1).sum();
        yield degrees == 0
            ? null
            : (Double)
                Exact.root(
                    sum(
                        cut,
                        point ->
                            Exact.scaledDeviations(Exact.bases(point.rows()))
                                .divide(BigDecimal.valueOf(point.rows().size()), Exact.DIGITS)),
                    BigDecimal.valueOf(degrees),
                    unit);
      }
      default -> throw new IllegalArgumentException(estimator);
    };
  }

  /** Sigma by a figure of points of several sizes, each weighted by how well it tells sigma. */
  private static @Nullable Double weighted(
      List<Point> cut, Factor factor, Factor scatter, ToDoubleFunction<List<Point>> mean) {
    Map<Integer, List<Point>> sizes = new TreeMap<>();
    for (Point point : cut) {
      if (point.rows().size() > 1) {
        sizes.computeIfAbsent(point.rows().size(), size -> new ArrayList<>()).add(point);
      }
    }
    double sum = 0;
    double weights = 0;
    for (Map.Entry<Integer, List<Point>> each : sizes.entrySet()) {
      double ofSize = mean.applyAsDouble(each.getValue()) / factor.of(each.getKey());
      double weight = Math.pow(factor.of(each.getKey()) / scatter.of(each.getKey()), 2);
      if (sizes.size() == 1) {
        return ofSize;
      }
      sum += each.getValue().size() * weight * ofSize;
      weights += each.getValue().size() * weight;
    }
    return sizes.isEmpty() ? null : (Double) (sum / weights);
  }

  private static BigDecimal sum(List<Point> points, Function<Point, BigDecimal> figure) {
    return Exact.sum(points.stream().map(figure).toList());
  }

  private static BigDecimal count(List<Point> points) {
    return BigDecimal.valueOf(points.size());
  }

  private static BigDecimal range(Point point) {
    List<BigDecimal> values = Exact.bases(point.rows());
    return values.stream()
        .max(Comparator.naturalOrder())
        .orElseThrow()
        .subtract(values.stream().min(Comparator.naturalOrder()).orElseThrow());
  }

  /** The revision in force at a moment: the last that began, unless it has ended. */
  private @Nullable Limits inForce(Instant moment) {
    Limits found = null;
    for (Limits each : facts.limits()) {
      if (each.withdrawnAt() == null
          && !each.from().isAfter(moment)
          && (found == null || each.from().isAfter(found.from()))) {
        found = each;
      }
    }
    return found == null || (found.before() != null && !moment.isBefore(found.before()))
        ? null
        : found;
  }

  private static long outside(List<Row> rows, Limits limits, int side) {
    return rows.stream().filter(row -> outside(row, limits, side)).count();
  }

  private static boolean outside(Row row, Limits limits, int side) {
    BigDecimal limit = side < 0 ? limits.lower() : limits.upper();
    if (limit == null) {
      return false;
    }
    BigDecimal value = Exact.base(row).divide(Exact.factor(limits.unit()), Exact.DIGITS);
    BigDecimal step = limits.rounding();
    return (step == null ? value : rounded(value, step)).compareTo(limit) * side > 0;
  }

  private static BigDecimal rounded(BigDecimal value, BigDecimal step) {
    return value
        .divide(step, Exact.DIGITS)
        .setScale(0, java.math.RoundingMode.HALF_EVEN)
        .multiply(step);
  }

  private @Nullable Double limit(@Nullable BigDecimal limit, String unit) {
    return limit == null
        ? null
        : (Double)
            Exact.quotient(
                limit.multiply(Exact.factor(unit)), BigDecimal.ONE, facts.chart().unit());
  }
}
