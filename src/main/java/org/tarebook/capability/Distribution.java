package org.tarebook.capability;

import java.util.Map;
import java.util.Optional;
import org.tarebook.control.Flag;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.fit.Family;
import org.tarebook.stats.fit.Fits;
import org.tarebook.stats.fit.FittedDistribution;
import org.tarebook.stats.fit.TailAgreement;

/** The distribution of a family fitted to the readings of a study, and how it meets their tails. */
final class Distribution {

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
