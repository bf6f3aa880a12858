package org.tarebook.capability;

import java.util.Map;
import java.util.Optional;
import org.tarebook.control.Flag;
import org.tarebook.quantity.Decimals;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.fit.AndersonDarling;
import org.tarebook.stats.fit.Family;
import org.tarebook.stats.fit.Fits;
import org.tarebook.stats.fit.FittedDistribution;
import org.tarebook.stats.fit.TailAgreement;

/** The distribution of a family fitted to the readings of a study, and how it meets their tails. */
final class Distribution {

  /** The chance below which readings are said not to be normal. */
  private static final double RARE = 0.001;

  /** Different values below which rounding hides the shape. */
  private static final int FEWEST_VALUES = 8;

  private Distribution() {}

  static Optional<FittedDistribution> fit(Family family, CountedValues readings) {
    return Fits.of(family, readings);
  }

  /** How the tails agree; empty for fewer than 20 readings. */
  static Optional<MethodUsed.Tails> tails(FittedDistribution fit, CountedValues readings) {
    if (readings.count() < TailAgreement.FEWEST) {
      return Optional.empty();
    }
    TailAgreement of = TailAgreement.of(fit, readings);
    return Optional.of(
        new MethodUsed.Tails(
            of.tail(), of.lower(), of.lowerError(), of.upper(), of.upperError(), of.agree()));
  }

  /**
   * A warning where readings are not normal, of fewer than the tails beyond which indices look are
   * seen in. What was rounded is spread evenly over its step, for rounding alone is found of
   * hundreds.
   *
   * @param method by which indices are made
   */
  static Optional<Flag> notNormal(Method method, CountedValues readings) {
    long most = (long) Math.ceil(TailAgreement.READINGS_BEYOND / TailAgreement.LEAST_TAIL);
    if (method != Method.NORMAL
        || readings.count() < TailAgreement.FEWEST
        || readings.count() >= most
        || readings.distinct() < FEWEST_VALUES) {
      return Optional.empty();
    }
    return AndersonDarling.of(spreadOverSteps(readings))
        .filter(test -> test.p() < RARE)
        .map(
            test ->
                new Flag(
                    Flag.Code.NOT_NORMAL,
                    "The readings are not normal (Anderson-Darling, p %s), and there are too few of"
                            .formatted(
                                test.p() < 1e-6
                                    ? "below 0.000001"
                                    : Decimals.rounded(test.p(), 2).toPlainString())
                        + " them to see how far that reaches into the tails; shares and indices from a"
                        + " normal distribution may be wrong by much. The shape study of the chart"
                        + " compares others.",
                    "Told below a chance of 0.001 and " + most + " readings; common practice.",
                    Map.of("p", test.p(), "statistic", test.statistic())));
  }

  private static double[] spreadOverSteps(CountedValues readings) {
    double step = Double.MAX_VALUE;
    for (int i = 1; i < readings.distinct(); i++) {
      step = Math.min(step, readings.value(i) - readings.value(i - 1));
    }
    double[] spread = new double[(int) readings.count()];
    int at = 0;
    for (int i = 0; i < readings.distinct(); i++) {
      long alike = readings.count(i);
      for (long j = 0; j < alike; j++) {
        spread[at++] = readings.value(i) + step * ((j + 0.5) / alike - 0.5);
      }
    }
    return spread;
  }

  /** A warning where they do not. */
  static Optional<Flag> flag(Family family, MethodUsed.Tails tails) {
    if (tails.agree()) {
      return Optional.empty();
    }
    return Optional.of(
        new Flag(
            Flag.Code.TAILS_DISAGREE,
            ("The %s distribution does not meet the readings in the tails: its percentiles lie %.2f"
                    + " (low) and %.2f (high) sigma from those of the readings, so indices and shares"
                    + " from it mislead. See whether readings of several processes are mixed, try"
                    + " another method (the shape study of the chart compares them), or EMPIRICAL"
                    + " with enough readings.")
                .formatted(family, tails.lower(), tails.upper()),
            "Told beyond a quarter sigma and three standard errors of the percentile; common"
                + " practice. Standard errors after H. A. David and H. N. Nagaraja, Order"
                + " Statistics, section 10.2.",
            Map.of(
                "share", tails.share(),
                "lower", tails.lower(),
                "lowerError", tails.lowerError(),
                "upper", tails.upper(),
                "upperError", tails.upperError())));
  }
}
