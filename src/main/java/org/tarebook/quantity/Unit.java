package org.tarebook.quantity;

import java.math.BigDecimal;
import java.util.Arrays;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.apache.commons.numbers.fraction.BigFraction;

/**
 * A unit of measure a tyre plant records in, with its exact factor.
 *
 * <p>The {@link #code()} is the case-sensitive UCUM code and goes on the wire and into storage; the
 * {@link #label()} is for people and is never read back. A factor is written as the product of the
 * decimals that define it: pound 0.45359237 kg, inch 0.0254 m, standard gravity 9.80665 m/s2, all
 * exact by definition (NIST SP 811, Appendix B).
 *
 * <p>The value of {@code x} units in the kind's reference unit is {@code (x + zero) * factor}. The
 * reference is the coherent SI unit, but for angle the degree (pi is not a fraction) and for
 * hardness and Mooney viscosity the scale itself. Only {@link #CELSIUS} and {@link #FAHRENHEIT}
 * have a {@code zero} other than 0.
 *
 * <p><b>Kelvin.</b> {@link #KELVIN} is a point on the scale: 150 Cel is 423.15 K. How far two
 * temperatures are apart is another kind, with its own units {@code K{difference}} and {@code
 * [degR]{difference}} (a Fahrenheit degree is a Rankine degree), so that a difference is never
 * moved by 273.15. A spread or margin of readings in {@code Cel} or {@code [degF]} converts by
 * {@link #factorTo} alone.
 */
@SuppressWarnings("ImmutableEnumChecker") // BigFraction is immutable but not annotated so
public enum Unit {
  KILOGRAM("kg", "kg", Kind.MASS, "1"),
  GRAM("g", "g", Kind.MASS, "0.001"),
  MILLIGRAM("mg", "mg", Kind.MASS, "0.000001"),
  TONNE("t", "t", Kind.MASS, "1000"),
  POUND("[lb_av]", "lb", Kind.MASS, Unit.LB),
  OUNCE("[oz_av]", "oz", Kind.MASS, Unit.LB, "16"),
  GRAIN("[gr]", "gr", Kind.MASS, Unit.LB, "7000"),
  SHORT_HUNDREDWEIGHT("[scwt_av]", "short cwt", Kind.MASS, Unit.LB + " 100"),

  METRE("m", "m", Kind.LENGTH, "1"),
  MICROMETRE("um", "µm", Kind.LENGTH, "0.000001"),
  MILLIMETRE("mm", "mm", Kind.LENGTH, "0.001"),
  CENTIMETRE("cm", "cm", Kind.LENGTH, "0.01"),
  KILOMETRE("km", "km", Kind.LENGTH, "1000"),
  INCH("[in_i]", "in", Kind.LENGTH, Unit.IN),
  THIRTY_SECOND_INCH("[in_i]/32", "1/32 in", Kind.LENGTH, Unit.IN, "32"),
  MIL("[mil_i]", "mil", Kind.LENGTH, Unit.IN, "1000"),
  FOOT("[ft_i]", "ft", Kind.LENGTH, Unit.IN + " 12"),
  YARD("[yd_i]", "yd", Kind.LENGTH, Unit.IN + " 36"),
  MILE("[mi_i]", "mi", Kind.LENGTH, Unit.IN + " 63360"),

  SQUARE_METRE("m2", "m²", Kind.AREA, "1"),
  SQUARE_CENTIMETRE("cm2", "cm²", Kind.AREA, "0.0001"),
  SQUARE_MILLIMETRE("mm2", "mm²", Kind.AREA, "0.000001"),
  SQUARE_INCH("[in_i]2", "in²", Kind.AREA, Unit.IN + " " + Unit.IN),

  CUBIC_METRE("m3", "m³", Kind.VOLUME, "1"),
  LITRE("L", "L", Kind.VOLUME, "0.001"),
  CUBIC_CENTIMETRE("cm3", "cm³", Kind.VOLUME, "0.000001"),
  CUBIC_INCH("[cin_i]", "in³", Kind.VOLUME, Unit.IN + " " + Unit.IN + " " + Unit.IN),

  KELVIN("K", "K", Kind.TEMPERATURE, "1"),
  CELSIUS("Cel", "°C", Kind.TEMPERATURE, "1", "1", "273.15"),
  FAHRENHEIT("[degF]", "°F", Kind.TEMPERATURE, "5", "9", "459.67"),

  KELVIN_DIFFERENCE("K{difference}", "K apart", Kind.TEMPERATURE_DIFFERENCE, "1"),
  FAHRENHEIT_DIFFERENCE("[degR]{difference}", "°F apart", Kind.TEMPERATURE_DIFFERENCE, "5", "9"),

  KELVIN_PER_MINUTE("K/min", "K/min", Kind.TEMPERATURE_RATE, "1", "60"),
  FAHRENHEIT_PER_MINUTE("[degR]/min", "°F/min", Kind.TEMPERATURE_RATE, "5", "9 60"),

  NEWTON("N", "N", Kind.FORCE, "1"),
  KILONEWTON("kN", "kN", Kind.FORCE, "1000"),
  POUND_FORCE("[lbf_av]", "lbf", Kind.FORCE, Unit.LBF),
  KILOGRAM_FORCE("kgf", "kgf", Kind.FORCE, Unit.GRAVITY),

  PASCAL("Pa", "Pa", Kind.PRESSURE, "1"),
  KILOPASCAL("kPa", "kPa", Kind.PRESSURE, "1000"),
  MEGAPASCAL("MPa", "MPa", Kind.PRESSURE, "1000000"),
  MILLIBAR("mbar", "mbar", Kind.PRESSURE, "100"),
  BAR("bar", "bar", Kind.PRESSURE, "100000"),
  POUND_PER_SQUARE_INCH("[psi]", "psi", Kind.PRESSURE, Unit.LBF, Unit.IN + " " + Unit.IN),
  STANDARD_ATMOSPHERE("atm", "atm", Kind.PRESSURE, "101325"),

  NEWTON_PER_METRE("N/m", "N/m", Kind.FORCE_PER_LENGTH, "1"),
  NEWTON_PER_MILLIMETRE("N/mm", "N/mm", Kind.FORCE_PER_LENGTH, "1000"),
  POUND_FORCE_PER_INCH("[lbf_av]/[in_i]", "lbf/in", Kind.FORCE_PER_LENGTH, Unit.LBF, Unit.IN),

  KILOGRAM_PER_METRE("kg/m", "kg/m", Kind.MASS_PER_LENGTH, "1"),
  GRAM_PER_METRE("g/m", "g/m", Kind.MASS_PER_LENGTH, "0.001"),
  POUND_PER_FOOT("[lb_av]/[ft_i]", "lb/ft", Kind.MASS_PER_LENGTH, Unit.LB, Unit.IN + " 12"),
  OUNCE_PER_FOOT("[oz_av]/[ft_i]", "oz/ft", Kind.MASS_PER_LENGTH, Unit.LB, "16 12 " + Unit.IN),

  KILOGRAM_PER_SQUARE_METRE("kg/m2", "kg/m²", Kind.MASS_PER_AREA, "1"),
  GRAM_PER_SQUARE_METRE("g/m2", "g/m²", Kind.MASS_PER_AREA, "0.001"),
  OUNCE_PER_SQUARE_YARD(
      "[oz_av]/[yd_i]2",
      "oz/yd²",
      Kind.MASS_PER_AREA,
      Unit.LB,
      "16 36 36 " + Unit.IN + " " + Unit.IN),

  KILOGRAM_PER_CUBIC_METRE("kg/m3", "kg/m³", Kind.DENSITY, "1"),
  GRAM_PER_CUBIC_CENTIMETRE("g/cm3", "g/cm³", Kind.DENSITY, "1000"),

  JOULE("J", "J", Kind.ENERGY, "1"),
  KILOJOULE("kJ", "kJ", Kind.ENERGY, "1000"),
  KILOWATT_HOUR("kW.h", "kWh", Kind.ENERGY, "3600000"),
  INCH_POUND("[lbf_av].[in_i]", "in·lbf", Kind.ENERGY, Unit.LBF + " " + Unit.IN),
  NEWTON_METRE("N.m", "N·m", Kind.ENERGY, "1"),
  DECINEWTON_METRE("dN.m", "dN·m", Kind.ENERGY, "0.1"),

  KILOWATT("kW", "kW", Kind.POWER, "1000"),

  GRAM_CENTIMETRE("g.cm", "g·cm", Kind.STATIC_UNBALANCE, "0.00001"),
  OUNCE_INCH("[oz_av].[in_i]", "oz·in", Kind.STATIC_UNBALANCE, Unit.LB + " " + Unit.IN, "16"),

  DEGREE("deg", "°", Kind.ANGLE, "1"),

  SECOND("s", "s", Kind.TIME, "1"),
  MINUTE("min", "min", Kind.TIME, "60"),
  HOUR("h", "h", Kind.TIME, "3600"),
  DAY("d", "d", Kind.TIME, "86400"),

  METRE_PER_SECOND("m/s", "m/s", Kind.SPEED, "1"),
  METRE_PER_MINUTE("m/min", "m/min", Kind.SPEED, "1", "60"),
  MILLIMETRE_PER_MINUTE("mm/min", "mm/min", Kind.SPEED, "0.001", "60"),
  KILOMETRE_PER_HOUR("km/h", "km/h", Kind.SPEED, "1000", "3600"),
  FOOT_PER_MINUTE("[ft_i]/min", "ft/min", Kind.SPEED, Unit.IN + " 12", "60"),
  MILE_PER_HOUR("[mi_i]/h", "mile/h", Kind.SPEED, Unit.IN + " 63360", "3600"),

  HERTZ("Hz", "Hz", Kind.FREQUENCY, "1"),
  REVOLUTION_PER_MINUTE("{rev}/min", "rev/min", Kind.FREQUENCY, "1", "60"),

  ONE("1", "(ratio)", Kind.RATIO, "1"),
  PERCENT("%", "%", Kind.RATIO, "0.01"),

  COUNT("{count}", "counted", Kind.COUNT, "1"),
  COUNT_PER_DECIMETRE("{count}/dm", "per dm", Kind.COUNT_PER_LENGTH, "10"),
  COUNT_PER_INCH("{count}/[in_i]", "per in", Kind.COUNT_PER_LENGTH, "1", Unit.IN),

  SHORE_A("{ShoreA}", "Shore A", Kind.HARDNESS, "1"),
  MOONEY_UNIT("{MooneyUnit}", "MU", Kind.MOONEY_VISCOSITY, "1"),

  JOULE_PER_MOLE("J/mol", "J/mol", Kind.MOLAR_ENERGY, "1"),
  KILOJOULE_PER_MOLE("kJ/mol", "kJ/mol", Kind.MOLAR_ENERGY, "1000"),

  SQUARE_METRE_PER_SECOND("m2/s", "m²/s", Kind.THERMAL_DIFFUSIVITY, "1"),
  SQUARE_MILLIMETRE_PER_SECOND("mm2/s", "mm²/s", Kind.THERMAL_DIFFUSIVITY, "0.000001"),

  WATT_PER_METRE_KELVIN("W/(m.K)", "W/(m·K)", Kind.THERMAL_CONDUCTIVITY, "1"),

  WATT_PER_SQUARE_METRE_KELVIN("W/(m2.K)", "W/(m²·K)", Kind.HEAT_TRANSFER_COEFFICIENT, "1");

  private static final String LB = "0.45359237";
  private static final String IN = "0.0254";
  private static final String GRAVITY = "9.80665";
  private static final String LBF = LB + " " + GRAVITY;

  private static final Map<String, Unit> BY_CODE =
      Arrays.stream(values()).collect(Collectors.toUnmodifiableMap(Unit::code, unit -> unit));

  private final String code;
  private final String label;
  private final Kind kind;
  private final BigFraction factor;
  private final BigFraction zero;

  Unit(String code, String label, Kind kind, String times) {
    this(code, label, kind, times, "1");
  }

  Unit(String code, String label, Kind kind, String times, String per) {
    this(code, label, kind, times, per, "0");
  }

  Unit(String code, String label, Kind kind, String times, String per, String zero) {
    this.code = code;
    this.label = label;
    this.kind = kind;
    this.factor = product(times).divide(product(per));
    this.zero = Decimals.fraction(new BigDecimal(zero));
  }

  private static BigFraction product(String decimals) {
    return Arrays.stream(decimals.split(" "))
        .map(decimal -> Decimals.fraction(new BigDecimal(decimal)))
        .reduce(BigFraction.ONE, BigFraction::multiply);
  }

  /**
   * Returns the unit with this code.
   *
   * @throws IllegalArgumentException if there is none; the message is a sentence for people and
   *     names the codes that differ only in letter case or brackets, if any
   */
  public static Unit of(String code) {
    return find(code).orElseThrow(() -> new IllegalArgumentException(UnknownUnit.message(code)));
  }

  /** Returns the unit with this code, letter case and brackets included, or nothing. */
  public static Optional<Unit> find(String code) {
    return Optional.ofNullable(BY_CODE.get(code));
  }

  /** Returns the value in another unit, exactly. */
  public static BigFraction convert(BigDecimal value, Unit from, Unit to) {
    return convert(Decimals.fraction(value), from, to);
  }

  /**
   * Returns the value in another unit, exactly.
   *
   * @throws UnitMismatchException if the units are of different kinds
   */
  public static BigFraction convert(BigFraction value, Unit from, Unit to) {
    return from == to ? value : value.multiply(from.factorTo(to)).add(from.offsetTo(to));
  }

  /**
   * Returns what a value in this unit is multiplied by, before {@link #offsetTo} is added, to stand
   * in the other unit. Differences, spreads and margins take the factor alone, variances its
   * square.
   *
   * @throws UnitMismatchException if the units are of different kinds
   */
  public BigFraction factorTo(Unit other) {
    requireSameKind(other);
    return factor.divide(other.factor);
  }

  /**
   * Returns what is added after multiplying by {@link #factorTo}; zero but among temperatures. The
   * sum of n values takes n times the offset.
   *
   * @throws UnitMismatchException if the units are of different kinds
   */
  public BigFraction offsetTo(Unit other) {
    return zero.multiply(factorTo(other)).subtract(other.zero);
  }

  /** Says whether values convert between the two units. */
  public boolean sameKindAs(Unit other) {
    return kind == other.kind;
  }

  private void requireSameKind(Unit other) {
    if (!sameKindAs(other)) {
      throw new UnitMismatchException(this, other);
    }
  }

  /** Returns the UCUM code, as sent and stored. */
  public String code() {
    return code;
  }

  /** Returns what people read beside a value: {@code lb}, {@code °C}. */
  public String label() {
    return label;
  }

  /** Returns what the unit measures. */
  public Kind kind() {
    return kind;
  }

  /** Returns the {@link #code()}. */
  @Override
  public String toString() {
    return code;
  }
}
