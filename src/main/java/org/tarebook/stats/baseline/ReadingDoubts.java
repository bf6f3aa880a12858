package org.tarebook.stats.baseline;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.apache.commons.statistics.distribution.BinomialDistribution;
import org.apache.commons.statistics.distribution.ChiSquaredDistribution;
import org.apache.commons.statistics.distribution.HypergeometricDistribution;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.tarebook.stats.Arguments;
import org.tarebook.stats.CountedNanos;
import org.tarebook.stats.CountedValues;

/** Doubts whether readings were written down as the instrument showed them. */
public final class ReadingDoubts {

  private ReadingDoubts() {}

  /**
   * Counts of last digits, and how unlikely they are.
   *
   * @param counts how often each last digit occurred, 0 to 9
   * @param chiSquared \( \sum (c_d - n/10)^2 / (n/10) \)
   * @param doubt chance of a chi-square at least this large if all digits were equally likely
   */
  public record LastDigits(List<Long> counts, double chiSquared, Doubt doubt) {

    /** Copies the counts. */
    public LastDigits {
      counts = List.copyOf(counts);
    }
  }

  /**
   * Returns how evenly the last digits are spread. Even digits need readings that spread over some
   * twenty steps and an instrument that shows every step; one that shows every second or fifth is
   * to be divided by that first.
   *
   * @param steps readings as whole steps of the instrument
   * @param bound chance below which to warn, such as 0.001
   * @return the figures; empty for fewer than 50 readings, when chi-square does not hold
   * @throws IllegalArgumentException if the bound lies outside
   */
  public static Optional<LastDigits> lastDigits(CountedNanos steps, double bound) {
    long readings = steps.count();
    if (readings < 50) {
      return Optional.empty();
    }
    Long[] counts = new Long[10];
    Arrays.fill(counts, 0L);
    steps.forEach((step, count) -> counts[(int) Math.abs(step % 10)] += count);
    double expected = readings / 10.0;
    double chiSquared = 0;
    for (long count : counts) {
      double off = count - expected;
      chiSquared += off * off / expected;
    }
    double p = ChiSquaredDistribution.of(9).survivalProbability(chiSquared);
    return Optional.of(
        new LastDigits(
            List.of(counts), chiSquared, Doubt.chance(Doubt.Kind.PREFERRED_LAST_DIGITS, p, bound)));
  }

  /**
   * Readings on either side of a limit.
   *
   * @param inside how many lie in the band inside, the limit itself included
   * @param outside how many lie in the band outside
   */
  public record PiledInside(long inside, long outside, Doubt doubt) {}

  /**
   * Returns the chance of so many readings just inside a limit, and so few just outside, of a
   * normal process.
   *
   * <p>Of the readings in two equal bands on either side of the limit, each lies inside with the
   * chance that the normal curve gives; the binomial tail of the number inside is the figure. The
   * mean and sigma must not come from readings that are doubted as a whole: take moving ranges or
   * another month.
   *
   * @param readings in one unit
   * @param limit a specification limit, which itself is inside
   * @param upper whether it is an upper limit
   * @param width of each band, positive, such as one or two steps of the instrument
   * @param mean of the process
   * @param sigma of the process, positive
   * @param bound chance below which to warn, such as 0.001
   * @return the figures; empty without a reading in either band
   * @throws IllegalArgumentException if an argument lies outside
   */
  public static Optional<PiledInside> piledInside(
      CountedValues readings,
      double limit,
      boolean upper,
      double width,
      double mean,
      double sigma,
      double bound) {
    Arguments.requireFinite("limit", limit);
    Arguments.requirePositive("width", width);
    Arguments.requireFinite("mean", mean);
    Arguments.requirePositive("sigma", sigma);
    double direction = upper ? 1 : -1;
    long inside = 0;
    long outside = 0;
    for (int i = 0; i < readings.distinct(); i++) {
      double beyond = direction * (readings.value(i) - limit);
      inside += beyond <= 0 && beyond > -width ? readings.count(i) : 0;
      outside += beyond > 0 && beyond <= width ? readings.count(i) : 0;
    }
    if (inside + outside == 0) {
      return Optional.empty();
    }
    double z = direction * (limit - mean) / sigma;
    NormalDistribution normal = NormalDistribution.of(0, 1);
    double in = normal.probability(z - width / sigma, z);
    double out = normal.probability(z, z + width / sigma);
    if (in + out == 0) {
      return Optional.empty();
    }
    BinomialDistribution share =
        BinomialDistribution.of(Math.toIntExact(inside + outside), in / (in + out));
    double p = inside == 0 ? 1 : share.survivalProbability(Math.toIntExact(inside - 1));
    Doubt doubt = Doubt.chance(Doubt.Kind.PILED_INSIDE_LIMIT, p, bound);
    return Optional.of(new PiledInside(inside, outside, doubt));
  }

  /**
   * Which items were measured again.
   *
   * @param failed items whose first reading failed
   * @param failedAgain of these, measured again
   * @param passed items whose first reading passed
   * @param passedAgain of these, measured again
   * @param endedPassing items that failed first and passed at last
   * @param doubt chance, given how many were measured again in all, that so many of them had failed
   */
  public record MeasuredAgain(
      int failed, int failedAgain, int passed, int passedAgain, int endedPassing, Doubt doubt) {}

  /**
   * Returns whether items that failed are measured again more often than those that passed. A
   * second measurement in doubt is good practice when it is declared and asked of both; done only
   * after a fail it turns rejects into passes.
   *
   * <p><b>Source:</b> R. A. Fisher's exact test of the table of failed and passed, once and again.
   *
   * @param items the readings of each item in time order, true for passed; items without a reading
   *     are left out
   * @param bound chance below which to warn, such as 0.001
   * @return the figures; empty unless some item failed first and some passed
   * @throws IllegalArgumentException if the bound lies outside
   */
  public static Optional<MeasuredAgain> measuredAgain(List<List<Boolean>> items, double bound) {
    int failed = 0;
    int failedAgain = 0;
    int passed = 0;
    int passedAgain = 0;
    int endedPassing = 0;
    for (List<Boolean> item : items) {
      if (item.isEmpty()) {
        continue;
      }
      int again = item.size() > 1 ? 1 : 0;
      if (item.get(0)) {
        passed++;
        passedAgain += again;
      } else {
        failed++;
        failedAgain += again;
        endedPassing += item.get(item.size() - 1) ? 1 : 0;
      }
    }
    if (failed == 0 || passed == 0) {
      return Optional.empty();
    }
    int again = failedAgain + passedAgain;
    double p =
        failedAgain == 0
            ? 1
            : HypergeometricDistribution.of(failed + passed, failed, again)
                .survivalProbability(failedAgain - 1);
    Doubt doubt = Doubt.chance(Doubt.Kind.MEASURED_AGAIN_UNTIL_PASSED, p, bound);
    return Optional.of(
        new MeasuredAgain(failed, failedAgain, passed, passedAgain, endedPassing, doubt));
  }
}
