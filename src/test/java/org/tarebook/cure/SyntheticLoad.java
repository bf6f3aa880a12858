package org.tarebook.cure;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.DoubleUnaryOperator;

/**
 * What the channels of a healthy load would show, in seconds from the start, by the schedule of
 * {@link CureFloor}: media that go to their set points as first-order lags do and then waver a
 * little.
 */
final class SyntheticLoad {

  static final double SHAPE = 60;
  static final double FLUSH = 1560;
  static final double DRAIN = 1680;
  static final double OPEN = 1740;
  static final double END = 1800;

  private final Map<String, DoubleUnaryOperator> channels = new LinkedHashMap<>();

  SyntheticLoad() {
    for (int cavity = 1; cavity <= 4; cavity++) {
      double offset = 0.2 * (cavity - 2);
      channels.put("IT-" + cavity, at -> internal(at) + offset + waver(at, 47 + offset, 0.3));
    }
    channels.put("IT", at -> internal(at) + waver(at, 47, 0.3));
    channels.put("IP", at -> pressure(at, 20) + waver(at, 31, 0.05));
    channels.put("RP", at -> pressure(at, 19) + waver(at, 33, 0.05));
    channels.put("DT", at -> dome(at) + waver(at, 61, 0.12));
    channels.put("DT-2", at -> dome(at) + waver(at, 59, 0.12));
    channels.put("DP", at -> domePressure(at) + waver(at, 61, 0.012));
  }

  double at(String channel, double seconds) {
    DoubleUnaryOperator known = channels.get(channel);
    if (known == null) {
      throw new IllegalArgumentException("There is no channel " + channel);
    }
    return known.applyAsDouble(seconds);
  }

  private static double waver(double at, double period, double size) {
    return size * Math.sin(2 * Math.PI * at / period);
  }

  private static double lag(double from, double to, double seconds, double constant) {
    return seconds <= 0 ? from : to + (from - to) * Math.exp(-seconds / constant);
  }

  private static double internal(double at) {
    double water = lag(90, 168, at - SHAPE, 20);
    return at < FLUSH ? water : lag(168, 58, at - FLUSH, 22);
  }

  private static double pressure(double at, double full) {
    if (at < SHAPE) {
      return lag(0, 0.5, at, 4);
    }
    double filled = lag(0.5, full, at - SHAPE, 8);
    return at < DRAIN ? filled : lag(full, 0, at - DRAIN, 6);
  }

  private static double dome(double at) {
    double steam = lag(142, 150, at - SHAPE + 30, 15);
    return at < DRAIN ? steam : lag(150, 105, at - DRAIN, 40);
  }

  /** Saturated steam of the dome's temperature, near 150 °C: 4.7610 bar and 0.1278 bar a kelvin. */
  private static double domePressure(double at) {
    if (at >= DRAIN) {
      return lag(3.748, 0, at - DRAIN, 20);
    }
    double above = dome(at) - 150;
    return 4.7610 + 0.1278 * above + 0.0013 * above * above - 1.01325;
  }
}
