package org.tarebook.stats.capability;

import java.util.function.IntPredicate;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.CapabilityIntervals;
import org.tarebook.stats.ChiSquared;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.SigmaEstimate;

/**
 * How many readings, or how good a result, a claim takes: "Ppk at least 1.33, with 95 %".
 *
 * <p>For normal readings with the total sigma. Ppk is taken by its nearer limit, with the exact
 * noncentral t distribution of one side; with two limits that errs to the safe side.
 */
public final class SmallestSample {

  private static final int MOST = 10_000_000;

  private SmallestSample() {}

  /**
   * Returns the smallest number of readings whose lower confidence limit reaches a claim.
   *
   * @param claim the index claimed, such as 1.33, positive
   * @param observed the index that readings will show, above {@code claim}
   * @param confidence one-sided, above one half, such as 0.95
   * @return at least 2
   * @throws IllegalArgumentException if an argument lies outside, or more than ten million readings
   *     would be needed
   */
  public static int readings(double claim, double observed, double confidence) {
    requireClaim(claim, observed, confidence);
    return smallest(2, n -> lowerLimit(observed, n, confidence) >= claim, observed, claim);
  }

  /**
   * Returns the smallest number of subgroups whose lower confidence limit of Cpk reaches a claim,
   * with the pooled sigma within subgroups: \( k n \) readings in the mean, \( k (n - 1) \) degrees
   * of freedom.
   *
   * @param claim the index claimed, such as 1.33, positive
   * @param observed the index that readings will show, above {@code claim}
   * @param size \( n \), readings in a subgroup, at least 2
   * @param confidence one-sided, above one half, such as 0.95
   * @return at least 1
   * @throws IllegalArgumentException as {@link #readings} does
   */
  public static int subgroups(double claim, double observed, int size, double confidence) {
    requireClaim(claim, observed, confidence);
    Arguments.requireAtLeast("readings in a subgroup", size, 2);
    return smallest(
        1,
        k -> {
          SigmaEstimate sigma = new SigmaEstimate(1, k * (size - 1.0), Estimator.POOLED, k);
          return CapabilityIntervals.ofOneSide(observed, sigma, (long) k * size, 2 * confidence - 1)
                  .lower()
              >= claim;
        },
        observed,
        claim);
  }

  private static int smallest(int least, IntPredicate enough, double observed, double claim) {
    int high = least;
    while (!enough.test(high)) {
      high *= 2;
      if (high > MOST) {
        throw new IllegalArgumentException(
            "%s is too near to the claim of %s, more than %d would be needed"
                .formatted(observed, claim, MOST));
      }
    }
    int low = high == least ? least - 1 : high / 2;
    while (high - low > 1) {
      int middle = low + (high - low) / 2;
      if (enough.test(middle)) {
        high = middle;
      } else {
        low = middle;
      }
    }
    return high;
  }

  private static void requireClaim(double claim, double observed, double confidence) {
    Arguments.requirePositive("claim", claim);
    requireOneSided(confidence);
    if (!(observed > claim) || Double.isInfinite(observed)) {
      throw new IllegalArgumentException(
          "observed index is %s, only one above the claim of %s can support it"
              .formatted(observed, claim));
    }
  }

  /**
   * Returns the smallest index of so many readings whose lower confidence limit reaches a claim.
   *
   * @param claim the index claimed, positive
   * @param readings at least 2
   * @param confidence one-sided, above one half, such as 0.95
   * @return above {@code claim}, to 1e-9 of itself
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double index(double claim, int readings, double confidence) {
    Arguments.requirePositive("claim", claim);
    Arguments.requireAtLeast("readings", readings, 2);
    requireOneSided(confidence);
    double low = claim;
    double high = 2 * claim;
    while (lowerLimit(high, readings, confidence) < claim) {
      low = high;
      high *= 2;
    }
    while (high - low > 1e-9 * high) {
      double middle = (low + high) / 2;
      if (lowerLimit(middle, readings, confidence) < claim) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return high;
  }

  /**
   * Returns the smallest Pp of so many readings whose lower confidence limit reaches a claim, \( C
   * \sqrt{(n - 1) / \chi^2_{n-1, 1-c}} \).
   *
   * @param claim the Pp claimed, positive
   * @param readings \( n \), at least 2
   * @param confidence \( c \), one-sided, above one half
   * @return above {@code claim}
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static double potential(double claim, int readings, double confidence) {
    Arguments.requirePositive("claim", claim);
    double degrees = Arguments.requireAtLeast("readings", readings, 2) - 1.0;
    requireOneSided(confidence);
    return claim / Math.sqrt(ChiSquared.upperRatio(degrees, confidence));
  }

  private static double lowerLimit(double index, int n, double confidence) {
    SigmaEstimate sigma = new SigmaEstimate(1, n - 1, Estimator.TOTAL, 1);
    return CapabilityIntervals.ofOneSide(index, sigma, n, 2 * confidence - 1).lower();
  }

  private static void requireOneSided(double confidence) {
    if (!(confidence > 0.5 && confidence < 1)) {
      throw new IllegalArgumentException(
          "confidence is %s, must lie between 0.5 and 1, such as 0.95".formatted(confidence));
    }
  }
}
