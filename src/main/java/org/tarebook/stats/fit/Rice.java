package org.tarebook.stats.fit;

import org.tarebook.stats.GaussLegendre;
import org.tarebook.stats.Roots;

/**
 * The Rice distribution.
 *
 * <p>\[ f(x) = \frac{x}{\sigma^2} \exp\left(-\frac{x^2 + \nu^2}{2 \sigma^2}\right) I_0\left(\frac{x
 * \nu}{\sigma^2}\right) \]
 *
 * @param offset \( \nu \), zero or positive
 * @param sigma \( \sigma \), positive
 */
record Rice(double offset, double sigma) {

  private static final GaussLegendre RULE = GaussLegendre.of(24);
  private static final double REACH = 12;

  double logDensity(double x) {
    if (!(x > 0)) {
      return Double.NEGATIVE_INFINITY;
    }
    double z = (x - offset) / sigma;
    return Math.log(x / sigma / sigma)
        - z * z / 2
        + Bessel.logScaledI0(x / sigma * (offset / sigma));
  }

  double density(double x) {
    return Math.exp(logDensity(x));
  }

  double cumulative(double x) {
    double from = Math.max(0, offset - REACH * sigma);
    double mode = Math.max(offset, sigma);
    return x <= from ? 0 : x <= mode ? integral(from, x) : 1 - survival(x);
  }

  double survival(double x) {
    double mode = Math.max(offset, sigma);
    // Above the mode the density falls faster than that of a normal tail.
    return x <= mode ? 1 - cumulative(x) : integral(x, x + REACH * sigma);
  }

  private double integral(double from, double to) {
    int panels = Math.max(1, (int) Math.ceil((to - from) / sigma));
    double width = (to - from) / panels;
    double sum = 0;
    for (int i = 0; i < panels; i++) {
      sum += RULE.integrate(this::density, from + i * width, from + (i + 1) * width);
    }
    return sum;
  }

  double quantile(double share) {
    double to = offset + REACH * sigma;
    return share <= 0.5
        ? Roots.increasing(x -> cumulative(x) - share, 0, to)
        : Roots.increasing(x -> (1 - share) - survival(x), 0, to);
  }
}
