package org.tarebook.capability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.NotComputed;
import org.tarebook.control.NotComputed.Reason;
import org.tarebook.stats.CapabilityIndices;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.Interval;
import org.tarebook.stats.SharesOutside;
import org.tarebook.stats.Tolerance;
import org.tarebook.stats.capability.PercentileIndices;
import org.tarebook.stats.fit.EmpiricalPercentiles;
import org.tarebook.stats.fit.Family;
import org.tarebook.stats.fit.FitInterval;
import org.tarebook.stats.fit.FittedDistribution;

/**
 * Pp, Ppk, PpU and PpL by the percentile method of ISO 22514-2: of a fitted distribution, or of the
 * readings themselves.
 */
final class ByPercentiles {

  /** Readings below which the 0.135 % point is no more than the least reading. */
  static final int FEWEST_EMPIRICAL = 740;

  /**
   * Readings below which a fitted distribution has no interval: the approximation, for large
   * samples, holds one-sided claims too often.
   */
  static final int FEWEST_FITTED = 20;

  /** How the doubt is shared out among the two outer percentiles and the middle one. */
  private static final double TAILS_PART = 0.48;

  private static final double MIDDLE_PART = 0.04;
  private static final String UNTOLD =
      "The readings do not tell the parameters of this distribution apart, or one of them is"
          + " impossible by it, so the figure has no interval.";
  private static final String TOO_FEW_FITTED =
      "An interval of a fitted distribution takes "
          + FEWEST_FITTED
          + " readings; of fewer it would hold less often than it says.";
  private static final double TAIL = PercentileIndices.ISO_22514_TAIL;
  private static final List<String> NAMES = Indices.names("p");
  private static final String PERCENTILES =
      "; indices from the 0.135 %, 50 % and 99.865 % points (ISO 22514-2).";

  private final CountedValues readings;
  private final Tolerance tolerance;
  private final double confidence;
  private final List<NotComputed> missing = new ArrayList<>();

  /**
   * What comes out.
   *
   * @param estimated the shares outside by the distribution; absent for empirical percentiles
   */
  record Outcome(
      Indices total,
      @Nullable SharesOutside estimated,
      @Nullable MethodUsed method,
      List<NotComputed> missing) {}

  ByPercentiles(CountedValues readings, Tolerance tolerance, double confidence) {
    this.readings = readings;
    this.tolerance = tolerance;
    this.confidence = confidence;
  }

  /** By a fitted distribution. */
  Outcome of(Method method, Family family) {
    FittedDistribution fit = Distribution.fit(family, readings).orElse(null);
    if (fit == null) {
      miss(Reason.DOES_NOT_FIT, family);
      return new Outcome(Indices.NONE, null, null, missing);
    }
    CapabilityIndices indices = indices(fit::quantile).orElse(null);
    if (indices == null) {
      miss(Reason.DOES_NOT_FIT, family);
      return new Outcome(Indices.NONE, null, null, missing);
    }
    boolean few = readings.count() < FEWEST_FITTED;
    Indices shown =
        shown(
            indices,
            figure ->
                few
                    ? Optional.empty()
                    : FitInterval.of(
                        fit,
                        readings,
                        moved -> indices(moved::quantile).map(figure).orElse(Double.NaN),
                        confidence));
    List<Study.@Nullable Index> each =
        Arrays.asList(shown.potential(), shown.minimum(), shown.upper(), shown.lower());
    for (int i = 0; i < each.size(); i++) {
      Study.Index index = each.get(i);
      if (index != null) {
        Indices.missInterval(
            NAMES.get(i),
            index.lower(),
            few ? Reason.TOO_FEW : Reason.NOT_BY_THIS_METHOD,
            few ? TOO_FEW_FITTED : UNTOLD,
            missing);
      }
    }
    return new Outcome(
        shown,
        fit.outside(tolerance),
        new MethodUsed(
            method,
            family + " distribution by maximum likelihood" + PERCENTILES,
            "Normal approximation by the observed information of the fit, for large samples (A. W."
                + " van der Vaart, Asymptotic Statistics, 5.5); absent below 20 readings, and where they"
                + " do not tell the parameters apart.",
            fit.parameters(),
            percentiles(fit::quantile),
            Distribution.tails(fit, readings).orElse(null)),
        missing);
  }

  private void miss(Reason reason, Family family) {
    NAMES.forEach(name -> missing.add(new NotComputed(name, reason, why(family))));
    missing.add(new NotComputed("estimated", reason, why(family)));
  }

  private static String why(Family family) {
    return "No "
        + family
        + " distribution can have given these readings: it asks for two readings or more that vary"
        + " and are all above 0. Ask with method=EMPIRICAL, or look why readings are 0.";
  }

  /** By the readings' own percentiles. */
  Outcome empirical() {
    missing.add(
        new NotComputed(
            "estimated",
            Reason.NOT_BY_THIS_METHOD,
            "Empirical percentiles say nothing beyond the readings; counted tells what was seen."));
    EmpiricalPercentiles own = EmpiricalPercentiles.of(readings);
    CapabilityIndices indices =
        readings.count() < FEWEST_EMPIRICAL ? null : indices(own::quantile).orElse(null);
    if (indices == null) {
      boolean few = readings.count() < FEWEST_EMPIRICAL;
      Reason reason = few ? Reason.TOO_FEW : Reason.ZERO_SPREAD;
      String words =
          few
              ? "There are %d readings; the 0.135 %% point takes %d to be more than the least one."
                  .formatted(readings.count(), FEWEST_EMPIRICAL)
              : "Percentiles coincide, so there is no spread to compare with.";
      NAMES.forEach(name -> missing.add(new NotComputed(name, reason, words)));
      return new Outcome(Indices.NONE, null, null, missing);
    }
    Optional<Box> box = box(own);
    Indices shown = shown(indices, figure -> box.map(each -> each.interval(figure, tolerance)));
    if (box.isEmpty()) {
      NAMES.forEach(name -> missIntervals(name));
    }
    return new Outcome(
        shown,
        null,
        new MethodUsed(
            Method.EMPIRICAL,
            "Percentiles of the readings, interpolated at p (n + 1)" + PERCENTILES,
            "Between readings whose ranks hold the three percentiles together, whatever the"
                + " distribution (order statistics, Bonferroni); at least the confidence, and one"
                + " for all indices.",
            null,
            percentiles(own::quantile),
            null),
        missing);
  }

  /** Intervals of the low, the middle and the high percentile that hold together. */
  private record Box(Interval low, Interval middle, Interval high) {

    /** The least and the greatest figure that percentiles within the box give. */
    Interval interval(Function<CapabilityIndices, Double> figure, Tolerance tolerance) {
      double least = Double.POSITIVE_INFINITY;
      double most = Double.NEGATIVE_INFINITY;
      for (int corner = 0; corner < 8; corner++) {
        double x = end(low, corner & 1);
        double m = end(middle, corner & 2);
        double y = end(high, corner & 4);
        double found =
            PercentileIndices.of(p -> p == TAIL ? x : p < 0.9 ? m : y, tolerance, TAIL)
                .map(figure)
                .orElse(Double.POSITIVE_INFINITY);
        least = Math.min(least, found);
        most = Math.max(most, found);
      }
      return new Interval(least, most);
    }

    private static double end(Interval of, int upper) {
      return upper == 0 ? of.lower() : of.upper();
    }
  }

  private Optional<Box> box(EmpiricalPercentiles own) {
    double doubt = 1 - confidence;
    Optional<Interval> low = own.interval(TAIL, 1 - TAILS_PART * doubt);
    Optional<Interval> high = own.interval(1 - TAIL, 1 - TAILS_PART * doubt);
    return own.interval(0.5, 1 - MIDDLE_PART * doubt)
        .flatMap(middle -> low.flatMap(l -> high.map(h -> new Box(l, middle, h))))
        .filter(box -> box.low().upper() < box.middle().lower())
        .filter(box -> box.middle().upper() < box.high().lower());
  }

  private void missIntervals(String name) {
    if (missing.stream().noneMatch(each -> each.figure().equals(name))) {
      Indices.missInterval(
          name,
          null,
          Reason.TOO_FEW,
          "An interval of the 0.135 %% points takes %d readings with this confidence, and more than"
                  .formatted(fewestForInterval())
              + " a few different ones.",
          missing);
    }
  }

  /** Readings from which the least one lies below the 0.135 % point surely enough. */
  private long fewestForInterval() {
    double tail = TAILS_PART * (1 - confidence) / 2;
    return (long) Math.ceil(Math.log(tail) / Math.log1p(-TAIL));
  }

  private Optional<CapabilityIndices> indices(DoubleUnaryOperator quantile) {
    return PercentileIndices.of(quantile, tolerance, TAIL);
  }

  private static MethodUsed.Percentiles percentiles(DoubleUnaryOperator quantile) {
    return new MethodUsed.Percentiles(
        quantile.applyAsDouble(TAIL),
        quantile.applyAsDouble(0.5),
        quantile.applyAsDouble(1 - TAIL));
  }

  private Indices shown(
      CapabilityIndices indices,
      Function<Function<CapabilityIndices, Double>, Optional<Interval>> interval) {
    Indices.missOtherSide(NAMES, indices, missing);
    return new Indices(
        index(indices, CapabilityIndices::potential, interval),
        index(indices, CapabilityIndices::minimum, interval),
        index(indices, CapabilityIndices::upper, interval),
        index(indices, CapabilityIndices::lower, interval));
  }

  private static Study.@Nullable Index index(
      CapabilityIndices indices,
      Function<CapabilityIndices, @Nullable Double> figure,
      Function<Function<CapabilityIndices, Double>, Optional<Interval>> interval) {
    Double value = figure.apply(indices);
    if (value == null) {
      return null;
    }
    Optional<Interval> around =
        interval.apply(
            of -> {
              Double each = figure.apply(of);
              return each == null ? Double.NaN : each;
            });
    return new Study.Index(
        value, around.map(Interval::lower).orElse(null), around.map(Interval::upper).orElse(null));
  }
}
