package org.tarebook.cure;

import java.math.BigDecimal;
import org.apache.commons.numbers.fraction.BigFraction;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Measured.Physical;
import org.tarebook.schedule.PressureKind;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;

/**
 * The band of a set point as one channel is held against it: the sample is brought into the unit of
 * the limits, exactly where it is close to one; limits are inclusive. Only between gauge and
 * absolute the barometer comes in, and with it its own error.
 */
final class Band {

  private static final double CLOSE = 1e-9;

  private final SetPoint setPoint;
  private final Unit sent;
  private final Unit written;
  private final double factor;
  private final double offset;
  private final boolean exact;

  Band(SetPoint setPoint, Channel channel, double barometer) {
    this.setPoint = setPoint;
    this.sent = channel.sent();
    this.written = Unit.of(setPoint.unit());
    this.factor = sent.factorTo(written).doubleValue();
    double shift = 0;
    if (setPoint.measured().physical() == Physical.PRESSURE
        && setPoint.pressure() != channel.pressure()) {
      double inWritten = barometer * Unit.KILOPASCAL.factorTo(written).doubleValue();
      shift = setPoint.pressure() == PressureKind.ABSOLUTE ? inWritten : -inWritten;
    }
    this.offset = sent.offsetTo(written).doubleValue() + shift;
    this.exact = shift == 0;
  }

  /** How far a sample lies outside, in the unit of the limits: below negative, inside 0. */
  double outside(double shown) {
    double value = written(shown);
    double lower = lower();
    double upper = upper();
    if (value < lower || near(value, lower)) {
      return isOutside(shown, setPoint.lower(), -1, value < lower)
          ? Math.min(value - lower, -Double.MIN_VALUE)
          : 0;
    }
    if (value > upper || near(value, upper)) {
      return isOutside(shown, setPoint.upper(), 1, value > upper)
          ? Math.max(value - upper, Double.MIN_VALUE)
          : 0;
    }
    return 0;
  }

  /** A sample in the unit and kind of the limits. */
  double written(double shown) {
    return shown * factor + offset;
  }

  /** The lower limit. */
  double lower() {
    return setPoint.lower().doubleValue();
  }

  /** The upper limit. */
  double upper() {
    return setPoint.upper().doubleValue();
  }

  /** The unit of the limits. */
  Unit unit() {
    return written;
  }

  private boolean isOutside(double shown, BigDecimal limit, int side, boolean byDouble) {
    if (!exact || !near(written(shown), limit.doubleValue())) {
      return byDouble;
    }
    BigFraction value = Unit.convert(BigDecimal.valueOf(shown), sent, written);
    return Decimals.compare(value, Decimals.fraction(limit)) == side;
  }

  private static boolean near(double value, double limit) {
    return Math.abs(value - limit) <= CLOSE * Math.max(1, Math.abs(limit));
  }
}
