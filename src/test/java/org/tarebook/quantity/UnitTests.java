package org.tarebook.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.fixtures.ReferenceTable;

class UnitTests {

  /** In gram centimetres; nobody records kilogram metres, but the table counts in them. */
  private static final BigFraction KILOGRAM_METRE = BigFraction.of(100_000);

  /** International yard and pound, NIST SP 811 Appendix B; codes of UCUM 2.2. */
  static Stream<Map<String, String>> units() {
    return ReferenceTable.read("trade/units_exact.csv").stream();
  }

  /** Exact fractions and 20 digits by mpmath at 50 digits from the NIST SP 811 factors. */
  static Stream<Map<String, String>> conversions() {
    return ReferenceTable.read("trade/unit_conversions.csv").stream();
  }

  @ParameterizedTest
  @MethodSource("units")
  void hasTheExactFactorAndKindOfTheTable(Map<String, String> row) {
    Unit unit = Unit.of(row.get("ucum_code"));
    assertThat(unit.kind().label()).startsWith(row.get("quantity"));
    if (!row.get("SI_factor_fraction").isEmpty()) {
      BigFraction factor = unit.factorTo(reference(unit.kind()));
      BigFraction inSi =
          unit.kind() == Kind.STATIC_UNBALANCE ? factor.divide(KILOGRAM_METRE) : factor;
      assertThat(inSi).isEqualTo(BigFraction.parse(row.get("SI_factor_fraction")));
    }
  }

  /** The unit of factor 1, through which the table gives its factors. */
  private static Unit reference(Kind kind) {
    return switch (kind) {
      case MASS -> Unit.KILOGRAM;
      case LENGTH -> Unit.METRE;
      case VOLUME -> Unit.CUBIC_METRE;
      case TEMPERATURE -> Unit.KELVIN;
      case FORCE -> Unit.NEWTON;
      case PRESSURE -> Unit.PASCAL;
      case FORCE_PER_LENGTH -> Unit.NEWTON_PER_METRE;
      case MASS_PER_LENGTH -> Unit.KILOGRAM_PER_METRE;
      case MASS_PER_AREA -> Unit.KILOGRAM_PER_SQUARE_METRE;
      case DENSITY -> Unit.KILOGRAM_PER_CUBIC_METRE;
      case ENERGY -> Unit.JOULE;
      case STATIC_UNBALANCE -> Unit.GRAM_CENTIMETRE;
      case TIME -> Unit.SECOND;
      case RATIO -> Unit.ONE;
      default -> throw new IllegalArgumentException("not in the table: " + kind);
    };
  }

  @ParameterizedTest
  @MethodSource("conversions")
  void convertsExactlyAndShowsTwentyDigits(Map<String, String> row) {
    BigDecimal value = new BigDecimal(row.get("value"));
    boolean difference = row.get("from").endsWith(" as a difference");
    BigFraction converted =
        difference
            ? Unit.convert(value, Unit.FAHRENHEIT_DIFFERENCE, Unit.KELVIN_DIFFERENCE)
            : Unit.convert(value, Unit.of(row.get("from")), Unit.of(row.get("to")));
    assertThat(converted).isEqualTo(BigFraction.parse(row.get("exact_fraction")));
    assertThat(Decimals.of(converted)).isEqualByComparingTo(row.get("decimal_20_digits"));
    if (difference) {
      BigFraction slope = Unit.FAHRENHEIT.factorTo(Unit.CELSIUS);
      assertThat(slope.multiply(Decimals.fraction(value))).isEqualTo(converted);
    }
  }

  @ParameterizedTest
  @CsvSource({
    "1, kW.h, kJ, 3600",
    "1, N.m, dN.m, 10",
    "1, [in_i], [in_i]/32, 32",
    "90, km/h, m/s, 25",
    "60, m/min, m/s, 1",
    "600, {rev}/min, Hz, 10",
    "1, [ft_i]/min, m/min, 0.3048",
    "60, [mi_i]/h, [ft_i]/min, 5280",
    "25.4, mm, [in_i], 1",
    "1, [in_i]2, mm2, 645.16",
    "10, {count}/[in_i], {count}/dm, 39.370078740157480315",
    "1, d, h, 24",
    "0, K, Cel, -273.15",
    "-40, Cel, [degF], -40",
    "18, [degR]/min, K/min, 10",
    "90, kJ/mol, J/mol, 90000",
    "0.11, mm2/s, m2/s, 0.00000011",
  })
  void convertsWhatTheTableLeavesOut(String value, String from, String to, String expected) {
    BigFraction converted = Unit.convert(new BigDecimal(value), Unit.of(from), Unit.of(to));
    assertThat(Decimals.of(converted)).isEqualByComparingTo(expected);
  }

  @Test
  void comesBackExactlyThroughEveryUnitOfItsKind() {
    Random random = new Random(20261);
    for (Unit from : Unit.values()) {
      for (Unit to : ofKind(from)) {
        BigDecimal value = new BigDecimal(new BigInteger(60, random), random.nextInt(18)).negate();
        BigFraction there = Unit.convert(value, from, to);
        assertThat(Unit.convert(there, to, from))
            .as("%s %s to %s and back", value, from, to)
            .isEqualTo(Decimals.fraction(value));
      }
    }
  }

  @Test
  void keepsTheOrderOfValuesInEveryUnitOfTheKind() {
    Random random = new Random(20262);
    for (Unit from : Unit.values()) {
      for (Unit to : ofKind(from)) {
        BigDecimal smaller = BigDecimal.valueOf(random.nextInt(), 6);
        BigDecimal larger = smaller.add(new BigDecimal("0.000000001"));
        BigFraction first = Unit.convert(smaller, from, to);
        BigFraction second = Unit.convert(larger, from, to);
        assertThat(Decimals.compare(first, second)).as("%s to %s", from, to).isEqualTo(-1);
      }
    }
  }

  @Test
  void convertsASumByFactorAndCountTimesOffset() {
    BigDecimal[] readings = {
      new BigDecimal("149.8"), new BigDecimal("150.1"), new BigDecimal("151")
    };
    BigDecimal sum = Arrays.stream(readings).reduce(BigDecimal.ZERO, BigDecimal::add);
    BigFraction oneByOne =
        Arrays.stream(readings)
            .map(reading -> Unit.convert(reading, Unit.CELSIUS, Unit.FAHRENHEIT))
            .reduce(BigFraction.ZERO, BigFraction::add);
    BigFraction atOnce =
        Decimals.fraction(sum)
            .multiply(Unit.CELSIUS.factorTo(Unit.FAHRENHEIT))
            .add(Unit.CELSIUS.offsetTo(Unit.FAHRENHEIT).multiply(readings.length));
    assertThat(atOnce).isEqualTo(oneByOne);
  }

  @Test
  void hasNoOffsetOutsideTheTemperatureScales() {
    for (Unit from : Unit.values()) {
      for (Unit to : ofKind(from)) {
        if (from.kind() != Kind.TEMPERATURE || from == to) {
          assertThat(from.offsetTo(to)).as("%s to %s", from, to).isEqualTo(BigFraction.ZERO);
        }
      }
    }
  }

  @Test
  void refusesAnotherKindAndCarriesBothUnits() {
    assertThatExceptionOfType(UnitMismatchException.class)
        .isThrownBy(() -> Unit.convert(BigDecimal.ONE, Unit.POUND, Unit.MILLIMETRE))
        .withMessage(
            "a value in '[lb_av]' (mass) cannot be converted to 'mm' (length); use a unit of length")
        .satisfies(
            refusal -> {
              assertThat(refusal.from()).isEqualTo(Unit.POUND);
              assertThat(refusal.to()).isEqualTo(Unit.MILLIMETRE);
            });
  }

  @Test
  void keepsPoundMassFromPoundForceAndATemperatureFromADifference() {
    assertThat(Unit.POUND.sameKindAs(Unit.POUND_FORCE)).isFalse();
    assertThat(Unit.KELVIN.sameKindAs(Unit.KELVIN_DIFFERENCE)).isFalse();
    assertThat(Unit.KELVIN.sameKindAs(Unit.CELSIUS)).isTrue();
    assertThat(Unit.METRE.sameKindAs(Unit.MINUTE)).isFalse();
  }

  @Test
  void isFoundByItsOwnCodeOnly() {
    for (Unit unit : Unit.values()) {
      assertThat(Unit.of(unit.code())).isEqualTo(unit);
      assertThat(unit).hasToString(unit.code());
    }
    assertThat(Unit.find("KG")).isEmpty();
    assertThat(Unit.find(" kg")).isEmpty();
    assertThat(Unit.find("")).isEmpty();
  }

  @Test
  void hasAPlainLabelThatIsItsOwnWithinTheKind() {
    for (Unit unit : Unit.values()) {
      assertThat(unit.label()).isNotBlank().doesNotContainPattern("[\\[\\]{}_]");
      assertThat(ofKind(unit)).filteredOn(Unit::label, unit.label()).hasSize(1);
    }
    assertThat(Unit.POUND.label()).isEqualTo("lb");
    assertThat(Unit.CELSIUS.label()).isEqualTo("°C");
  }

  @ParameterizedTest
  @CsvSource({
    "Kg, kg",
    "lb, [lb_av]",
    "lbs, [lb_av]",
    "LB_AV, [lb_av]",
    "OZ, [oz_av]",
    "in, [in_i]",
    "KPA, kPa",
    "mpa, MPa",
    "psi, [psi]",
    "°C, Cel",
    "degf, [degF]",
    "kWh, kW.h",
    "Nm, N.m",
    "lb/ft, [lb_av]/[ft_i]",
    "g/m², g/m2",
  })
  void namesTheCodesThatWereProbablyMeant(String code, String near) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Unit.of(code))
        .withMessage(
            "unknown unit '%s'; units are case-sensitive UCUM codes, did you mean '%s'?"
                .formatted(code, near));
  }

  @Test
  void givesExamplesWhereNothingIsNear() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Unit.of("furlong"))
        .withMessage(
            "unknown unit 'furlong'; units are case-sensitive UCUM codes,"
                + " such as 'kg', '[lb_av]', 'mm', 'Cel' or 'kPa'");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Unit.of(""))
        .withMessageStartingWith("unknown unit ''; units are");
  }

  @Test
  void echoesAnUnknownCodeShortAndOnOneLine() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Unit.of("k\ng\u202e" + "x".repeat(10_000)))
        .withMessageStartingWith("unknown unit 'k?g?" + "x".repeat(36) + "...'; units are");
  }

  private static List<Unit> ofKind(Unit unit) {
    return Arrays.stream(Unit.values()).filter(unit::sameKindAs).toList();
  }
}
