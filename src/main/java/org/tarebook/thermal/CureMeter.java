package org.tarebook.thermal;

import org.jspecify.annotations.Nullable;

/**
 * Figures of a cure-meter curve, torque over time at one temperature.
 *
 * <p>ML is the lowest torque, MH the highest behind it. A time to a torque is the first upward
 * crossing behind ML, straight between readings: ts1 and ts2 to ML + 1 and ML + 2 dN m, tcX to ML +
 * X/100 (MH - ML). Reversion is what of MH - ML is lost again by the last reading. A figure the
 * curve does not have is null. <b>Source:</b> definitions of ISO 6502 and ASTM D5289, from memory.
 *
 * @param ml lowest torque, dN m
 * @param mh highest torque behind it, dN m; null where the torque never rises
 * @param ts1 minutes, or null
 * @param ts2 minutes, or null
 * @param tc10 minutes, or null
 * @param tc50 minutes, or null
 * @param tc90 minutes, or null
 * @param reversionPercent of MH - ML at the last reading; null where the torque never rises
 * @param marching whether the torque still rises at the end, so that MH is none yet and every tc is
 *     too early
 */
public record CureMeter(
    double ml,
    @Nullable Double mh,
    @Nullable Double ts1,
    @Nullable Double ts2,
    @Nullable Double tc10,
    @Nullable Double tc50,
    @Nullable Double tc90,
    @Nullable Double reversionPercent,
    boolean marching) {

  /**
   * Reads a curve.
   *
   * @param minutes strictly increasing, at least three
   * @param torque dN m, one for each time
   * @throws IllegalArgumentException if lengths differ, a number is not finite or times are not in
   *     order
   */
  public static CureMeter of(double[] minutes, double[] torque) {
    if (minutes.length < 3 || minutes.length != torque.length) {
      throw new IllegalArgumentException(
          "%d times and %d torques: a curve needs one torque for each time, and at least three"
              .formatted(minutes.length, torque.length));
    }
    for (int i = 0; i < minutes.length; i++) {
      Arguments.requireFinite("time of reading " + i, minutes[i]);
      Arguments.requireFinite("torque of reading " + i, torque[i]);
      if (i > 0 && !(minutes[i] > minutes[i - 1])) {
        throw new IllegalArgumentException(
            "reading %d at %s min is not after the one before it: sort the readings"
                .formatted(i, minutes[i]));
      }
    }
    int lowest = 0;
    for (int i = 1; i < torque.length; i++) {
      lowest = torque[i] < torque[lowest] ? i : lowest;
    }
    int highest = lowest;
    for (int i = lowest; i < torque.length; i++) {
      highest = torque[i] > torque[highest] ? i : highest;
    }
    double ml = torque[lowest];
    double rise = torque[highest] - ml;
    if (!(rise > 0)) {
      return new CureMeter(ml, null, null, null, null, null, null, null, false);
    }
    int last = torque.length - 1;
    return new CureMeter(
        ml,
        torque[highest],
        crossing(minutes, torque, lowest, ml + 1),
        crossing(minutes, torque, lowest, ml + 2),
        crossing(minutes, torque, lowest, ml + 0.1 * rise),
        crossing(minutes, torque, lowest, ml + 0.5 * rise),
        crossing(minutes, torque, lowest, ml + 0.9 * rise),
        100 * (torque[highest] - torque[last]) / rise,
        highest == last);
  }

  private static @Nullable Double crossing(
      double[] minutes, double[] torque, int from, double wanted) {
    for (int i = from + 1; i < torque.length; i++) {
      if (torque[i] >= wanted && torque[i - 1] < wanted) {
        return minutes[i - 1]
            + (minutes[i] - minutes[i - 1])
                * (wanted - torque[i - 1])
                / (torque[i] - torque[i - 1]);
      }
    }
    return null;
  }
}
