package org.tarebook.stats.compare;

import java.util.List;
import java.util.Optional;
import org.tarebook.stats.Moments;

/**
 * How the spread of readings divides between strata inside strata: cavities in presses, strips in
 * batches.
 *
 * <p>\[ x_{ijk} = \mu + A_i + B_{ij} + E_{ijk} \]
 *
 * <p>Variances by equating mean squares with what they are expected to be, for unequal sizes too.
 * As estimated, so one may be negative when it is small.
 *
 * <p><b>Source:</b> S. R. Searle, G. Casella and C. E. McCulloch, Variance Components (1992),
 * chapter 3 and appendix F, Henderson's method I for two nested factors.
 *
 * @param outer variance between outer strata (presses), in the unit squared
 * @param inner variance between inner strata of one outer stratum (cavities of a press)
 * @param within variance inside inner strata
 * @param degreesOuter outer strata less one
 * @param degreesInner inner strata less outer strata
 * @param degreesWithin readings less inner strata
 */
public record NestedComponents(
    double outer,
    double inner,
    double within,
    long degreesOuter,
    long degreesInner,
    long degreesWithin) {

  /**
   * Divides the spread.
   *
   * @param strata for each outer stratum the moments of its inner ones, in one unit; strata without
   *     a reading are left out
   * @return empty unless there are two outer strata, an outer stratum with two inner ones, and an
   *     inner one with two readings
   */
  public static Optional<NestedComponents> of(List<List<Moments>> strata) {
    Moments all = Moments.EMPTY;
    long outerCount = 0;
    long innerCount = 0;
    double withinSquares = 0;
    double innerSquares = 0;
    double outerSquares = 0;
    // Sums of squared sizes over the size of what they lie in.
    double innerByOuter = 0;
    double innerByAll = 0;
    double outerByAll = 0;
    for (List<Moments> outer : strata) {
      Moments together = outer.stream().reduce(Moments.EMPTY, Moments::plus);
      double size = together.count();
      if (size == 0) {
        continue;
      }
      all = all.plus(together);
      outerCount++;
      double inside = 0;
      for (Moments inner : outer) {
        double n = inner.count();
        innerCount += n > 0 ? 1 : 0;
        inside += inner.exactSquaredDeviations().doubleValue();
        innerByOuter += n * n / size;
        innerByAll += n * n;
      }
      withinSquares += inside;
      innerSquares += together.exactSquaredDeviations().doubleValue() - inside;
      outerSquares -= together.exactSquaredDeviations().doubleValue();
      outerByAll += size * size;
    }
    double total = all.count();
    long degreesOuter = outerCount - 1;
    long degreesInner = innerCount - outerCount;
    long degreesWithin = all.count() - innerCount;
    if (degreesOuter < 1 || degreesInner < 1 || degreesWithin < 1) {
      return Optional.empty();
    }
    outerSquares += all.exactSquaredDeviations().doubleValue();
    double within = withinSquares / degreesWithin;
    // How often the inner variance is counted in its own mean square, and both in the outer one.
    double innerInInner = (total - innerByOuter) / degreesInner;
    double innerInOuter = (innerByOuter - innerByAll / total) / degreesOuter;
    double outerInOuter = (total - outerByAll / total) / degreesOuter;
    double inner = (innerSquares / degreesInner - within) / innerInInner;
    double outer = (outerSquares / degreesOuter - within - innerInOuter * inner) / outerInOuter;
    return Optional.of(
        new NestedComponents(outer, inner, within, degreesOuter, degreesInner, degreesWithin));
  }

  /**
   * Returns the share of all variance that lies between outer strata, negative ones counted as 0.
   *
   * @return 0 to 1; 0 when nothing varied
   */
  public double shareOuter() {
    return share(outer);
  }

  /**
   * Returns the share of all variance that lies between inner strata.
   *
   * @return 0 to 1; 0 when nothing varied
   */
  public double shareInner() {
    return share(inner);
  }

  private double share(double part) {
    double all = Math.max(0, outer) + Math.max(0, inner) + within;
    return all == 0 ? 0 : Math.max(0, part) / all;
  }
}
