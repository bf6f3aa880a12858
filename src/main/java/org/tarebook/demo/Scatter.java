package org.tarebook.demo;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Random;

/**
 * How a process of the demo scatters: normal scatter about a level, shown in steps of the
 * instrument.
 *
 * @param level where it runs
 * @param sigma its scatter
 * @param interval the step of what the instrument shows
 * @param decimals the decimals the instrument shows
 */
record Scatter(double level, double sigma, double interval, int decimals) {

  /** A shown value, the level moved by a story. */
  BigDecimal show(Random random, double moved) {
    return round(level + moved + sigma * random.nextGaussian());
  }

  /** A shown amplitude: the length of a vector with two normal parts, above the level. */
  BigDecimal showAmplitude(Random random) {
    return round(level + sigma * Math.hypot(random.nextGaussian(), random.nextGaussian()));
  }

  private BigDecimal round(double value) {
    double stepped = Math.rint(value / interval) * interval;
    return new BigDecimal(stepped).setScale(decimals, RoundingMode.HALF_EVEN);
  }
}
