package org.tarebook.compound;

import java.math.BigDecimal;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Faults;
import org.tarebook.plant.Quantity;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Unit;

/**
 * Between what a figure of a compound lies, both ends included. They are wide: they catch a unit or
 * a place mistaken, not an unusual compound.
 *
 * @param what the figure, as the beginning of a sentence
 * @param low in {@code unit}
 * @param high in {@code unit}
 */
record Bounds(String what, BigDecimal low, BigDecimal high, Unit unit) {

  static final Bounds TEMPERATURE = of("a temperature of cure lies", "0", "300", Unit.CELSIUS);
  static final Bounds ENERGY =
      of("an activation energy of cure lies", "10", "500", Unit.KILOJOULE_PER_MOLE);
  static final Bounds STEP =
      of("the difference of one factor lies", "1", "100", Unit.KELVIN_DIFFERENCE);
  static final Bounds DIFFUSIVITY =
      of(
          "the diffusivity of a rubber compound lies",
          "0.01",
          "1",
          Unit.SQUARE_MILLIMETRE_PER_SECOND);
  static final Bounds CONDUCTIVITY =
      of("the conductivity of a rubber compound lies", "0.01", "10", Unit.WATT_PER_METRE_KELVIN);

  private static Bounds of(String what, String low, String high, Unit unit) {
    return new Bounds(what, new BigDecimal(low), new BigDecimal(high), unit);
  }

  /** Notes a fault if a figure that is given lies outside. */
  void check(@Nullable Quantity figure, String pointer, Faults faults) {
    if (figure != null) {
      Unit sent = Units.requireOfKind(figure.unit(), unit, pointer + "/unit");
      check(figure.value(), sent, pointer + "/value", faults);
    }
  }

  /** Notes a fault if a value lies outside. */
  void check(BigDecimal value, Unit sent, String pointer, Faults faults) {
    faults.require(
        contain(new Quantity(value, sent.code()).in(unit)),
        pointer,
        "is " + value + " " + sent + "; " + words() + ", so check value and unit");
  }

  /** Whether a value in {@link #unit} lies inside. */
  boolean contain(double value) {
    return low.doubleValue() <= value && value <= high.doubleValue();
  }

  /** The bounds in words. */
  String words() {
    return what + " from " + low + " to " + high + " " + unit;
  }
}
