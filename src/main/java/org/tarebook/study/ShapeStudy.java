package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.NotComputed;
import org.tarebook.stats.CapabilityIndices;
import org.tarebook.stats.Tolerance;
import org.tarebook.stats.capability.PercentileIndices;
import org.tarebook.stats.fit.AndersonDarling;
import org.tarebook.stats.fit.Family;
import org.tarebook.stats.fit.Fits;
import org.tarebook.stats.fit.FittedDistribution;
import org.tarebook.stats.fit.ProbabilityPlot;
import org.tarebook.stats.fit.Shape;
import org.tarebook.stats.fit.ShapiroWilk;
import org.tarebook.stats.fit.TailAgreement;

/** How readings are distributed: tests for normality, fits, and capability by their percentiles. */
@Schema(name = "ShapeStudy")
record ShapeStudy(
    Series.Basis basis,
    @Nullable Normality normality,
    List<Fit> fits,
    @Schema(description = "Normal probability plot, thinned to at most 200 readings.")
        List<ProbabilityPlot.Point> plot,
    List<NotComputed> notComputed) {

  private static final int MOST_PLOTTED = 200;
  private static final int MOST_FOR_SHAPIRO = 5000;

  /**
   * Tests for normality.
   *
   * @param andersonDarling A squared
   * @param andersonDarlingModified times (1 + 0.75/n + 2.25/n squared), of D'Agostino and Stephens
   *     1986, to which the p value belongs
   */
  @Schema(name = "NormalityTests")
  record Normality(
      int readings,
      double skewness,
      double kurtosis,
      @Nullable Double andersonDarling,
      @Nullable Double andersonDarlingModified,
      @Nullable Double andersonDarlingP,
      @Nullable Double shapiroWilk,
      @Nullable Double shapiroWilkP,
      @Schema(
              description =
                  "With many readings every test rejects; what matters is how the tails of the fit"
                      + " agree.")
          String words) {}

  /**
   * A distribution fitted by maximum likelihood.
   *
   * @param lowerTail how far the fit's low percentile lies from the readings' own, in sigma
   * @param upperTail the same of the high percentile
   * @param tailsAgree whether both are within a quarter sigma, or three standard errors
   * @param pp by the percentile method of ISO 22514-2: width of the tolerance over the distance of
   *     the 0.135 % and 99.865 % points
   */
  @Schema(name = "FittedFamily")
  record Fit(
      Family family,
      double first,
      double second,
      double akaike,
      @Nullable Double lowerTail,
      @Nullable Double upperTail,
      @Nullable Boolean tailsAgree,
      double percentile0135,
      double median,
      double percentile99865,
      @Nullable Double pp,
      @Nullable Double ppk,
      @Nullable Double shareBelow,
      @Nullable Double shareAbove) {}

  static ShapeStudy of(Series.Basis basis, ChartedWindow window) {
    double[] readings = window.values();
    Tolerance tolerance = window.tolerance().orElse(null);
    List<NotComputed> notComputed = new ArrayList<>();
    List<Fit> fits = new ArrayList<>();
    for (Family family : Family.values()) {
      Optional<FittedDistribution> fitted = Fits.of(family, readings);
      if (fitted.isPresent()) {
        fits.add(fit(fitted.get(), readings, tolerance));
      } else {
        notComputed.add(
            new NotComputed(
                "fits",
                NotComputed.Reason.BOUNDED_CHARACTERISTIC,
                family + " asks for positive readings that vary, and these are not."));
      }
    }
    fits.sort(Comparator.comparingDouble(Fit::akaike));
    if (window.specification().isEmpty()) {
      notComputed.add(
          new NotComputed(
              "pp",
              NotComputed.Reason.NO_SPECIFICATION,
              "No specification is in force at the end of the window, so there is no pp and no ppk."));
    } else if (tolerance == null) {
      notComputed.add(
          new NotComputed(
              "pp",
              NotComputed.Reason.LIMITS_EQUAL,
              "Both limits of the specification are equal, so there is no pp and no ppk."));
    }
    if (readings.length > MOST_FOR_SHAPIRO) {
      notComputed.add(
          new NotComputed(
              "shapiroWilk",
              NotComputed.Reason.TOO_MANY,
              "The chances of W are known up to 5000 readings; there are "
                  + readings.length
                  + "."));
    }
    return new ShapeStudy(basis, normality(readings), fits, plot(readings), notComputed);
  }

  private static @Nullable Normality normality(double[] readings) {
    Shape shape = Shape.of(readings).orElse(null);
    if (shape == null) {
      return null;
    }
    AndersonDarling test = AndersonDarling.of(readings).orElse(null);
    ShapiroWilk other =
        readings.length > MOST_FOR_SHAPIRO ? null : ShapiroWilk.of(readings).orElse(null);
    double p = test == null ? Double.NaN : test.p();
    return new Normality(
        readings.length,
        shape.skewness(),
        shape.kurtosis(),
        test == null ? null : test.statistic(),
        test == null ? null : test.modified(),
        test == null ? null : test.p(),
        other == null ? null : other.w(),
        other == null ? null : other.p(),
        p < 0.05
            ? "The readings are told from normal ones; look at the tails before you act on it."
            : "Nothing tells the readings from normal ones.");
  }

  private static Fit fit(FittedDistribution of, double[] readings, @Nullable Tolerance tolerance) {
    TailAgreement tails = readings.length < 20 ? null : TailAgreement.of(of, readings);
    CapabilityIndices indices =
        tolerance == null
            ? null
            : PercentileIndices.of(of::quantile, tolerance, PercentileIndices.ISO_22514_TAIL)
                .orElse(null);
    return new Fit(
        of.family(),
        of.first(),
        of.second(),
        of.akaike(),
        tails == null ? null : tails.lower(),
        tails == null ? null : tails.upper(),
        tails == null ? null : tails.agree(),
        of.quantile(PercentileIndices.ISO_22514_TAIL),
        of.quantile(0.5),
        of.quantile(1 - PercentileIndices.ISO_22514_TAIL),
        indices == null ? null : indices.potential(),
        indices == null ? null : indices.minimum(),
        tolerance == null ? null : of.outside(tolerance).below(),
        tolerance == null ? null : of.outside(tolerance).above());
  }

  private static List<ProbabilityPlot.Point> plot(double[] readings) {
    List<ProbabilityPlot.Point> all = ProbabilityPlot.normal(readings);
    if (all.size() <= MOST_PLOTTED) {
      return all;
    }
    List<ProbabilityPlot.Point> thinned = new ArrayList<>();
    for (int i = 0; i < MOST_PLOTTED; i++) {
      thinned.add(all.get((int) Math.round((double) i * (all.size() - 1) / (MOST_PLOTTED - 1))));
    }
    return thinned;
  }
}
