package org.tarebook.stats.measuring;

import org.tarebook.stats.Arguments;
import org.tarebook.stats.Factors;

/**
 * A crossed study by averages and ranges, as on paper forms. {@link CrossedStudy} uses the readings
 * better and sees an interaction, which this one hides in the repeatability.
 *
 * <p>With \( \bar R \) the mean range of a cell, \( X_d \) the range of the operators' means and \(
 * R_p \) that of the parts' means:
 *
 * <p>\[ \sigma_E = \frac{\bar R}{d_2(r)}, \quad \sigma_O^2 = \left(\frac{X_d}{d_2^*(o)}\right)^2 -
 * \frac{\sigma_E^2}{p\, r}, \quad \sigma_P = \frac{R_p}{d_2^*(p)}, \quad d_2^*(n) = \sqrt{d_2(n)^2
 * + d_3(n)^2} \]
 *
 * <p><b>Source:</b> AIAG, Measurement Systems Analysis, 4th ed. (2010); its \( K_1, K_2, K_3 \) are
 * the inverse factors to four digits, here they are exact.
 *
 * @param meanRange \( \bar R \)
 * @param operatorRange \( X_d \); 0 for one operator
 * @param partRange \( R_p \)
 * @param components the variances; none below 0, no interaction
 */
public record AverageAndRange(
    double meanRange, double operatorRange, double partRange, Components components) {

  /**
   * Evaluates a study.
   *
   * @param y as for {@link CrossedStudy#of}, with up to {@value Factors#MAX_RANGE_SIZE} parts
   * @return the result
   * @throws IllegalArgumentException as {@link CrossedStudy#of}
   */
  public static AverageAndRange of(double[][][] y) {
    CrossedStudy checked = CrossedStudy.of(y);
    int p = checked.parts();
    int o = checked.operators();
    int r = checked.trials();
    double[] partMeans = new double[p];
    double[] operatorMeans = new double[o];
    double ranges = 0;
    for (int i = 0; i < p; i++) {
      for (int j = 0; j < o; j++) {
        ranges += range(y[i][j]);
        for (double value : y[i][j]) {
          partMeans[i] += (value - y[0][0][0]) / (o * r);
          operatorMeans[j] += (value - y[0][0][0]) / (p * r);
        }
      }
    }
    double meanRange = ranges / p / o;
    double operatorRange = o == 1 ? 0 : range(operatorMeans);
    double partRange = range(partMeans);
    double sigmaE = meanRange / Factors.d2(r);
    double ofOperator = o == 1 ? 0 : operatorRange / d2OfOneRange(o);
    double sigmaP = partRange / d2OfOneRange(p);
    Components components =
        new Components(
            sigmaE * sigmaE,
            ofOperator * ofOperator - sigmaE * sigmaE / ((double) p * r),
            0,
            sigmaP * sigmaP);
    return new AverageAndRange(meanRange, operatorRange, partRange, components.truncated());
  }

  /** Root of the mean square of one range: its square over this has mean sigma squared. */
  private static double d2OfOneRange(int n) {
    Arguments.requireAtLeast("values in a range", n, 2);
    return Math.hypot(Factors.d2(n), Factors.d3(n));
  }

  private static double range(double[] values) {
    double least = values[0];
    double greatest = values[0];
    for (double value : values) {
      least = Math.min(least, value);
      greatest = Math.max(greatest, value);
    }
    return greatest - least;
  }
}
