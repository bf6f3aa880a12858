package org.tarebook.quantity;

/** What a unit measures. Values convert between units of one kind and never between kinds. */
public enum Kind {
  MASS("mass"),
  LENGTH("length"),
  AREA("area"),
  VOLUME("volume"),
  /** A point on the temperature scale, where zero degrees Celsius is 273.15 kelvin. */
  TEMPERATURE("temperature"),
  /** How far two temperatures are apart, where zero degrees Celsius is zero kelvin. */
  TEMPERATURE_DIFFERENCE("temperature difference"),
  TEMPERATURE_RATE("heating rate"),
  FORCE("force"),
  /** Gauge or absolute is not told by the unit and has to stand beside it. */
  PRESSURE("pressure"),
  FORCE_PER_LENGTH("force per length"),
  MASS_PER_LENGTH("mass per length"),
  MASS_PER_AREA("mass per area"),
  DENSITY("density"),
  /**
   * One kind for both: the trade writes plunger energy and cure-meter torque in the same
   * inch-pounds.
   */
  ENERGY("energy or torque"),
  POWER("power"),
  STATIC_UNBALANCE("static unbalance"),
  ANGLE("angle"),
  TIME("time"),
  SPEED("speed"),
  FREQUENCY("frequency or rotational speed"),
  RATIO("ratio"),
  COUNT("count"),
  COUNT_PER_LENGTH("count per length"),
  HARDNESS("Shore A hardness"),
  MOONEY_VISCOSITY("Mooney viscosity"),
  MOLAR_ENERGY("energy per mole"),
  THERMAL_DIFFUSIVITY("thermal diffusivity"),
  THERMAL_CONDUCTIVITY("thermal conductivity"),
  HEAT_TRANSFER_COEFFICIENT("heat transfer coefficient");

  private final String label;

  Kind(String label) {
    this.label = label;
  }

  /** Returns the name people use, in lower case. */
  public String label() {
    return label;
  }
}
