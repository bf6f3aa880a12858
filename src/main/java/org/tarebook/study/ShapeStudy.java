package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.NotComputed;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.spec.Characteristic;
import org.tarebook.stats.CapabilityIndices;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SharesOutside;
import org.tarebook.stats.Tolerance;
import org.tarebook.stats.baseline.Outliers;
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
@Schema(
    name = "ShapeStudy",
    description =
        "How readings are distributed: tests for normality, fitted distributions, and"
            + " capability by their percentiles.")
record ShapeStudy(
    @Schema(description = "The window that the study was made from.") Series.Basis basis,
    @Schema(
            description =
                "Readings so far from the others that of a thousand windows of a normal process one"
                    + " has any, the farthest first; all that follows counts them.")
        List<Outlier> outliers,
    @Schema(description = "Tests for normality; absent where they cannot be computed.")
        @Nullable Normality normality,
    @Schema(description = "The fitted distributions.") List<Fit> fits,
    @Schema(description = "Normal probability plot, thinned to at most 200 readings.")
        List<ProbabilityPlot.Point> plot,
    List<NotComputed> notComputed) {

  private static final int MOST_PLOTTED = 200;
  private static final double RARE = 0.05;

  /** A reading that lies too far from the others; value in unit. */
  @Schema(name = "OutlyingReading", description = "A reading that lies too far from the others.")
  record Outlier(
      @Schema(description = "Id of the reading.") String reading,
      @Schema(description = "When it was measured.") Instant at,
      @Schema(description = "In the unit of basis.") double value) {}

  private static final int MOST_FOR_SHAPIRO = 5000;

  /** Tests for normality. */
  @Schema(name = "NormalityTests", description = "Tests for normality.")
  record Normality(
      @Schema(description = "Number of readings tested.") int readings,
      @Schema(description = "Skewness; 0 for a symmetrical distribution.") double skewness,
      @Schema(description = "Excess kurtosis; 0 for a normal distribution.") double kurtosis,
      @Schema(description = "Anderson-Darling statistic A squared; absent where it does not exist.")
          @Nullable Double andersonDarling,
      @Schema(
              description =
                  "The statistic times (1 + 0.75/n + 2.25/n squared), by D'Agostino and Stephens"
                      + " 1986, to which the p value belongs; absent where it does not exist.")
          @Nullable Double andersonDarlingModified,
      @Schema(description = "p value of the Anderson-Darling test; absent where it does not exist.")
          @Nullable Double andersonDarlingP,
      @Schema(description = "Shapiro-Wilk statistic W; absent where it does not exist.")
          @Nullable Double shapiroWilk,
      @Schema(description = "p value of the Shapiro-Wilk test; absent where it does not exist.")
          @Nullable Double shapiroWilkP,
      @Schema(
              description =
                  "With many readings every test rejects; what matters is how the tails of the fit"
                      + " agree.")
          String words) {}

  /**
   * A distribution fitted by maximum likelihood; NORMAL with the sigma of all readings (divisor n -
   * 1) in every figure but its likelihood, as capability has it.
   *
   * @param lowerTail how far the fit's low percentile lies from the readings' own, in sigma
   * @param upperTail the same of the high percentile
   */
  @Schema(
      name = "FittedFamily",
      description =
          "A distribution fitted by maximum likelihood. NORMAL has the sigma of all"
              + " readings, with divisor n - 1, in every figure but its likelihood, as"
              + " capability has it.")
  record Fit(
      @Schema(description = "The family of distributions.") Family family,
      @Schema(description = "By name; a location, scale, offset or sigma is in unit.")
          Map<String, Double> parameters,
      @Schema(description = "Akaike criterion, dimensionless; less is better.") double akaike,
      @Schema(description = "How far the low percentile lies from that of the readings, in sigma.")
          @Nullable Double lowerTail,
      @Schema(description = "How far the high percentile lies from that of the readings, in sigma.")
          @Nullable Double upperTail,
      @Schema(
              description =
                  "Whether both tails agree with the readings within a quarter of sigma or three"
                      + " standard errors; absent where they were not compared.")
          @Nullable Boolean tailsAgree,
      @Schema(description = "The 0.135 % point, in the unit of basis.") double percentile0135,
      @Schema(description = "In the unit of basis.") double median,
      @Schema(description = "The 99.865 % point, in the unit of basis.") double percentile99865,
      @Schema(
              description =
                  "Performance index Pp: of NORMAL by the sigma of all readings, otherwise by"
                      + " percentiles (ISO 22514-2), that is the width of the tolerance over the"
                      + " distance of the 0.135 % and 99.865 % points. A bound by nature is"
                      + " not a limit."
                      + " Absent where it does not exist.")
          @Nullable Double pp,
      @Schema(
              description =
                  "Performance index Ppk by the same method; absent where it does not exist.")
          @Nullable Double ppk,
      @Schema(description = "Share below the lower limit, 0 to 1.") @Nullable Double shareBelow,
      @Schema(description = "Share above the upper limit, 0 to 1.") @Nullable Double shareAbove) {}

  static ShapeStudy of(Series.Basis basis, OpenedWindows.Opened opened) {
    ChartedWindow window = opened.window();
    SummarisedWindow summary = opened.summary();
    Characteristic characteristic = opened.characteristic();
    boolean bounded = characteristic.bounded() != Characteristic.Bounded.NOT;
    double[] readings = window.values();
    long censored = summary.summary().censored();
    Tolerance tolerance =
        censored > 0
            ? null
            : summary.tolerance().flatMap(characteristic::withoutNaturalBound).orElse(null);
    List<NotComputed> notComputed = new ArrayList<>();
    List<Fit> fits = new ArrayList<>();
    CountedValues values = summary.values();
    for (Family family : Family.values()) {
      Optional<FittedDistribution> fitted = Fits.of(family, values);
      if (fitted.isPresent()) {
        boolean compared = !(bounded && family == Family.NORMAL);
        fits.add(fit(fitted.get(), values, summary.moments(), compared ? tolerance : null));
      } else {
        notComputed.add(
            new NotComputed(
                "fits",
                NotComputed.Reason.BOUNDED_CHARACTERISTIC,
                family + " asks for positive readings that vary, and these are not."));
      }
    }
    if (bounded && tolerance != null) {
      notComputed.add(
          new NotComputed(
              "fits.NORMAL.pp",
              NotComputed.Reason.BOUNDED_CHARACTERISTIC,
              "The characteristic is bounded by nature, so a normal distribution gives no pp."));
    }
    fits.sort(Comparator.comparingDouble(Fit::akaike));
    if (censored > 0) {
      notComputed.add(
          new NotComputed(
              "pp",
              NotComputed.Reason.CENSORED,
              ("Of %d readings in the window only a bound is known: the fits are of the others alone,"
                      + " so pp, ppk and the shares are left out.")
                  .formatted(censored)));
    } else if (window.specification().isEmpty()) {
      notComputed.add(
          new NotComputed(
              "pp",
              NotComputed.Reason.NO_SPECIFICATION,
              "No specification is in force at the last counted reading of the window; pp and ppk need one."));
    } else if (tolerance == null) {
      boolean natural = summary.tolerance().isPresent();
      notComputed.add(
          new NotComputed(
              "pp",
              natural ? NotComputed.Reason.NO_SPECIFICATION : NotComputed.Reason.LIMITS_EQUAL,
              natural
                  ? "The only limit is the bound by nature, which nothing can go beyond."
                  : "Both limits of the specification are equal, so there is no pp and no ppk."));
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
    List<Outlier> outliers = bounded ? List.of() : outliers(window, values);
    return new ShapeStudy(
        basis,
        outliers,
        normality(fromTheFirst(window), outliers.size()),
        fits,
        plot(readings),
        notComputed);
  }

  private static List<Outlier> outliers(ChartedWindow window, CountedValues values) {
    double[] readings = window.values();
    List<Outlier> outliers = new ArrayList<>();
    Set<Integer> named = new HashSet<>();
    for (double value : Outliers.of(values, Outliers.LEVEL).values()) {
      for (int i = 0; i < readings.length; i++) {
        if (readings[i] == value && named.add(i)) {
          ReadingWindow.Row row = window.readings().get(i);
          outliers.add(new Outlier(String.valueOf(row.id()), row.measuredAt(), value));
          break;
        }
      }
    }
    return outliers;
  }

  /**
   * Differences from the first reading, exact where all were shown in the unit: tests need no more.
   */
  private static double[] fromTheFirst(ChartedWindow window) {
    double[] readings = window.values();
    boolean exact = window.readings().stream().allMatch(row -> row.unit() == window.unit());
    long first = exact && readings.length > 0 ? window.readings().get(0).nanos() : 0;
    for (int i = 0; exact && i < readings.length; i++) {
      readings[i] = (window.readings().get(i).nanos() - first) / 1e9;
    }
    return readings;
  }

  private static @Nullable Normality normality(double[] readings, int outliers) {
    Shape shape = Shape.of(readings).orElse(null);
    if (shape == null) {
      return null;
    }
    AndersonDarling test = AndersonDarling.of(readings).orElse(null);
    ShapiroWilk other =
        readings.length > MOST_FOR_SHAPIRO ? null : ShapiroWilk.of(readings).orElse(null);
    return new Normality(
        readings.length,
        shape.skewness(),
        shape.kurtosis(),
        test == null ? null : test.statistic(),
        test == null ? null : test.modified(),
        test == null ? null : test.p(),
        other == null ? null : other.w(),
        other == null ? null : other.p(),
        words(test == null ? null : test.p(), other == null ? null : other.p(), outliers));
  }

  private static String words(@Nullable Double anderson, @Nullable Double shapiro, int outliers) {
    List<String> told = new ArrayList<>();
    List<String> not = new ArrayList<>();
    sort("Anderson-Darling", anderson, told, not);
    sort("Shapiro-Wilk", shapiro, told, not);
    String said =
        told.isEmpty() && not.isEmpty()
            ? "There are too few readings to test."
            : told.isEmpty()
                ? "Nothing tells the readings from normal ones."
                : not.isEmpty()
                    ? "The readings are told from normal ones; look at the tails before you act on it."
                    : "The readings are told from normal ones by "
                        + told.get(0)
                        + ", not by "
                        + not.get(0)
                        + "; look at the tails.";
    return outliers == 0
        ? said
        : "Look at the outliers first: one gross value is enough to fail these tests. " + said;
  }

  private static void sort(String test, @Nullable Double p, List<String> told, List<String> not) {
    if (p != null) {
      (p < RARE ? told : not).add(test);
    }
  }

  /** Of NORMAL with the sigma of all readings, as capability has it; else by percentiles. */
  private static Fit fit(
      FittedDistribution of, CountedValues values, Moments moments, @Nullable Tolerance tolerance) {
    TailAgreement tails =
        values.count() < TailAgreement.FEWEST ? null : TailAgreement.of(of, values);
    boolean normal = of.family() == Family.NORMAL;
    double mean = moments.mean();
    double sigma = moments.sd();
    Optional<CapabilityIndices> indices =
        tolerance == null
            ? Optional.empty()
            : normal
                ? CapabilityIndices.of(mean, sigma, tolerance)
                : PercentileIndices.of(of::quantile, tolerance, PercentileIndices.ISO_22514_TAIL);
    Optional<SharesOutside> shares =
        tolerance == null
            ? Optional.empty()
            : normal
                ? SharesOutside.ofNormal(mean, sigma, tolerance)
                : Optional.of(of.outside(tolerance));
    DoubleUnaryOperator quantile =
        normal ? NormalDistribution.of(mean, sigma)::inverseCumulativeProbability : of::quantile;
    return new Fit(
        of.family(),
        normal ? Map.of("mean", mean, "sigma", sigma) : of.parameters(),
        of.akaike(),
        tails == null ? null : tails.lower(),
        tails == null ? null : tails.upper(),
        tails == null ? null : tails.agree(),
        quantile.applyAsDouble(PercentileIndices.ISO_22514_TAIL),
        quantile.applyAsDouble(0.5),
        quantile.applyAsDouble(1 - PercentileIndices.ISO_22514_TAIL),
        indices.map(CapabilityIndices::potential).orElse(null),
        indices.map(CapabilityIndices::minimum).orElse(null),
        shares.map(SharesOutside::below).orElse(null),
        shares.map(SharesOutside::above).orElse(null));
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
