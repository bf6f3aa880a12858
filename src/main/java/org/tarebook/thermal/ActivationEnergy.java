package org.tarebook.thermal;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * An activation energy found from cure times.
 *
 * @param joulesPerMole J/mol, above 0
 * @param standardError standard error of the slope in J/mol, null for two cure times, which leave
 *     nothing to judge it by
 * @param cureTimes how many cure times it came from
 */
public record ActivationEnergy(
    double joulesPerMole, @Nullable Double standardError, int cureTimes) {

  /**
   * Returns the energy from cure times to one state of cure.
   *
   * <p>Two: \( E = R \ln(t_1/t_2) / (1/T_1 - 1/T_2) \). Three or more: R times the least-squares
   * slope of \( \ln t \) on \( 1/T \), its standard error with divisor \( n - 2 \). Order does not
   * matter.
   *
   * @param times two or more, at two or more temperatures
   * @throws IllegalArgumentException if there are fewer, or the cure is not quicker when hotter
   */
  public static ActivationEnergy from(List<CureTime> times) {
    int n = times.size();
    if (n < 2) {
      throw new IllegalArgumentException(
          "%d cure time gives no activation energy: measure at two temperatures or more"
              .formatted(n));
    }
    double meanX = times.stream().mapToDouble(ActivationEnergy::inverse).average().orElseThrow();
    double meanY = times.stream().mapToDouble(t -> Math.log(t.minutes())).average().orElseThrow();
    double xx = 0;
    double xy = 0;
    double yy = 0;
    for (CureTime time : times) {
      double x = inverse(time) - meanX;
      double y = Math.log(time.minutes()) - meanY;
      xx += x * x;
      xy += x * y;
      yy += y * y;
    }
    if (times.stream().mapToDouble(CureTime::celsius).distinct().count() < 2) {
      throw new IllegalArgumentException(
          "all cure times were measured at %s degC: measure at a second temperature"
              .formatted(times.get(0).celsius()));
    }
    double slope = xy / xx;
    if (!(slope > 0)) {
      throw new IllegalArgumentException(
          "the cure times do not fall as the temperature rises: check which time belongs to which temperature");
    }
    @Nullable Double error = null;
    if (times.stream().mapToDouble(CureTime::celsius).distinct().count() > 2) {
      double residual = Math.max(0, yy - slope * xy);
      error = Arrhenius.GAS_CONSTANT * Math.sqrt(residual / (n - 2) / xx);
    }
    return new ActivationEnergy(Arrhenius.GAS_CONSTANT * slope, error, n);
  }

  private static double inverse(CureTime time) {
    return 1 / (time.celsius() + Arrhenius.KELVIN_AT_ZERO_CELSIUS);
  }
}
