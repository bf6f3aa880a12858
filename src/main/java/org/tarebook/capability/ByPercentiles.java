package org.tarebook.capability;

import java.util.ArrayList;
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

  private static final int RESAMPLES = 2000;
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
    Indices shown =
        shown(
            indices,
            figure ->
                FitInterval.of(
                    fit,
                    readings,
                    moved -> indices(moved::quantile).map(figure).orElse(Double.NaN),
                    confidence));
    return new Outcome(
        shown,
        fit.outside(tolerance),
        new MethodUsed(
            method,
            family + " distribution by maximum likelihood" + PERCENTILES,
            "Normal approximation by the observed information of the fit, for large samples (A. W."
                + " van der Vaart, Asymptotic Statistics, 5.5); absent where the readings do not"
                + " tell the parameters apart.",
            Distribution.parameters(fit),
            percentiles(fit::quantile),
            Distribution.tails(fit, readings).orElse(null),
            null,
            null),
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
  Outcome empirical(long seed) {
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
    List<Optional<CapabilityIndices>> resampled =
        own.resampled(new double[] {TAIL, 0.5, 1 - TAIL}, RESAMPLES, seed).stream()
            .map(
                points ->
                    indices(
                        share -> share == TAIL ? points[0] : share < 0.9 ? points[1] : points[2]))
            .toList();
    Indices shown =
        shown(
            indices,
            figure -> interval(resampled.stream().flatMap(Optional::stream).map(figure).toList()));
    return new Outcome(
        shown,
        null,
        new MethodUsed(
            Method.EMPIRICAL,
            "Percentiles of the readings, interpolated at p (n + 1)" + PERCENTILES,
            "Percentile interval of "
                + RESAMPLES
                + " resamples (B. Efron); rough far in the tails.",
            null,
            percentiles(own::quantile),
            null,
            seed,
            RESAMPLES),
        missing);
  }

  private Optional<Interval> interval(List<Double> resampled) {
    if (resampled.size() < RESAMPLES) {
      return Optional.empty();
    }
    EmpiricalPercentiles of =
        EmpiricalPercentiles.of(resampled.stream().mapToDouble(Double::doubleValue).toArray());
    double tail = (1 - confidence) / 2;
    return Optional.of(new Interval(of.quantile(tail), of.quantile(1 - tail)));
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
