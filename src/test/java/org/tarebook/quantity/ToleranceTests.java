package org.tarebook.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.math.BigDecimal;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.fixtures.ReferenceTable;

class ToleranceTests {

  static Stream<Map<String, String>> strips() {
    return ReferenceTable.read("trade/tread_strip_decisions.csv").stream();
  }

  static Stream<Map<String, String>> conversions() {
    return ReferenceTable.read("trade/decision_after_conversion.csv").stream();
  }

  /** ASTM E29, absolute and rounding methods. */
  static Stream<Map<String, String>> methods() {
    return ReferenceTable.read("trade/rounding_conformance.csv").stream();
  }

  /** JCGM 106:2012, 8.2 simple and 8.3.2 guarded acceptance. */
  static Stream<Map<String, String>> guardBands() {
    return ReferenceTable.read("trade/weigh_guard_band.csv").stream();
  }

  static Stream<Map<String, String>> ingredients() {
    return ReferenceTable.read("trade/ingredient_weighing.csv").stream();
  }

  @ParameterizedTest
  @MethodSource("strips")
  void sortsStripsIntoAcceptLightAndHeavy(Map<String, String> row) {
    BigDecimal target = decimal(row, "target");
    Unit unit = Unit.of(row.get("unit"));
    Tolerance tolerance =
        Tolerance.between(
            target.add(decimal(row, "lower_deviation")),
            target.add(decimal(row, "upper_deviation")),
            unit);
    Judgement judgement = tolerance.judge(decimal(row, "actual"), unit);
    assertThat(judgement.verdict())
        .isEqualTo(
            switch (row.get("decision")) {
              case "accept" -> Verdict.PASS;
              case "reject light" -> Verdict.FAIL_BELOW;
              case "reject heavy" -> Verdict.FAIL_ABOVE;
              default -> throw new IllegalArgumentException(row.get("decision"));
            });
    BigFraction deviation = judgement.value().subtract(Decimals.fraction(target));
    assertThat(Decimals.of(deviation)).isEqualByComparingTo(row.get("deviation"));
  }

  @ParameterizedTest
  @MethodSource("conversions")
  void convertsTheReadingAndNotTheLimit(Map<String, String> row) {
    Tolerance tolerance =
        Tolerance.between(
            decimal(row, "low"), decimal(row, "high"), Unit.of(row.get("limit_unit")));
    Judgement judgement = tolerance.judge(decimal(row, "reading"), Unit.of(row.get("unit")));
    assertThat(Decimals.of(judgement.value()))
        .isEqualByComparingTo(row.get("reading_in_limit_unit"));
    assertThat(judgement.verdict() == Verdict.PASS)
        .isEqualTo(row.get("decision_absolute_method").equals("accept"));
  }

  @ParameterizedTest
  @MethodSource("methods")
  void comparesAsItIsOrRoundedFirst(Map<String, String> row) {
    BigDecimal limit = decimal(row, "limit");
    BigDecimal observed = decimal(row, "observed");
    boolean bottom = row.get("side").equals("min");
    Tolerance absolute =
        bottom
            ? Tolerance.atLeast(limit, Unit.MEGAPASCAL)
            : Tolerance.atMost(limit, Unit.MEGAPASCAL);
    Tolerance rounding = absolute.roundedTo(decimal(row, "rounding_interval"));
    Judgement asItIs = absolute.judge(observed, Unit.MEGAPASCAL);
    Judgement rounded = rounding.judge(observed, Unit.MEGAPASCAL);
    Verdict fail = bottom ? Verdict.FAIL_BELOW : Verdict.FAIL_ABOVE;
    assertThat(asItIs.verdict()).isEqualTo(verdict(row.get("absolute_method"), fail));
    assertThat(rounded.verdict()).isEqualTo(verdict(row.get("rounding_method"), fail));
    assertThat(asItIs.rounded()).isNull();
    assertThat(rounded.rounded()).isEqualByComparingTo(row.get("rounded_half_even"));
    assertThat(rounded.value()).isEqualTo(Decimals.fraction(observed));
    BigDecimal inside =
        bottom ? rounded.rounded().subtract(limit) : limit.subtract(rounded.rounded());
    assertThat(Decimals.of(rounded.margin())).isEqualByComparingTo(inside);
  }

  private static Verdict verdict(String cell, Verdict fail) {
    return cell.equals("conforms") ? Verdict.PASS : fail;
  }

  @ParameterizedTest
  @MethodSource("guardBands")
  void acceptsInsideTheGuardBandOnly(Map<String, String> row) {
    BigDecimal value = decimal(row, "value");
    Tolerance simple = Tolerance.between(decimal(row, "low"), decimal(row, "high"), Unit.KILOGRAM);
    Verdict plain = simple.judge(value, Unit.KILOGRAM).verdict();
    Judgement guarded = simple.guardedBy(decimal(row, "U_k2")).judge(value, Unit.KILOGRAM);
    assertThat(plain == Verdict.PASS).isEqualTo(row.get("simple_acceptance").equals("accept"));
    assertThat(guarded.verdict() == Verdict.PASS)
        .isEqualTo(row.get("guarded_acceptance_w_equals_U").equals("accept"));
    assertThat(fourWay(guarded, decimal(row, "U_k2"))).isEqualTo(row.get("four_way"));
  }

  /** The table splits failures too: by whether the guard band reaches the value from outside. */
  private static String fourWay(Judgement guarded, BigDecimal width) {
    return switch (guarded.verdict()) {
      case PASS -> "pass";
      case CONDITIONAL -> "conditional pass";
      case FAIL_BELOW, FAIL_ABOVE ->
          Decimals.of(guarded.margin()).negate().compareTo(width) > 0 ? "fail" : "conditional fail";
    };
  }

  @ParameterizedTest
  @MethodSource("ingredients")
  void weighsIngredientsToAPercentageOfTheTarget(Map<String, String> row) {
    BigDecimal target = decimal(row, "target_kg");
    BigDecimal width = target.multiply(decimal(row, "tolerance_percent")).movePointLeft(2);
    Tolerance tolerance =
        Tolerance.between(target.subtract(width), target.add(width), Unit.KILOGRAM);
    assertThat(tolerance.lower()).isEqualByComparingTo(row.get("low_kg"));
    assertThat(tolerance.upper()).isEqualByComparingTo(row.get("high_kg"));
    Verdict inKilograms = tolerance.judge(decimal(row, "actual_kg"), Unit.KILOGRAM).verdict();
    Verdict inGrams =
        tolerance.judge(decimal(row, "actual_kg").movePointRight(3), Unit.GRAM).verdict();
    assertThat(inKilograms == Verdict.PASS).isEqualTo(row.get("decision").equals("accept"));
    assertThat(inGrams).isEqualTo(inKilograms);
  }

  @Test
  void measuresTheMarginFromTheNearestLimit() {
    Tolerance tolerance = between("10", "20");
    assertJudged(tolerance, "12", Verdict.PASS, Side.LOWER, "2");
    assertJudged(tolerance, "19.5", Verdict.PASS, Side.UPPER, "0.5");
    assertJudged(tolerance, "15", Verdict.PASS, Side.LOWER, "5");
    assertJudged(tolerance, "10", Verdict.PASS, Side.LOWER, "0");
    assertJudged(tolerance, "20.00", Verdict.PASS, Side.UPPER, "0");
    assertJudged(tolerance, "9.999", Verdict.FAIL_BELOW, Side.LOWER, "-0.001");
    assertJudged(tolerance, "23", Verdict.FAIL_ABOVE, Side.UPPER, "-3");
  }

  @Test
  void guardsASingleLimitToo() {
    Tolerance atLeast = Tolerance.atLeast(new BigDecimal("6"), Unit.KILOGRAM);
    Tolerance guarded = atLeast.guardedBy(new BigDecimal("0.5"));
    assertJudged(guarded, "6.5", Verdict.PASS, Side.LOWER, "0.5");
    assertJudged(guarded, "6.4", Verdict.CONDITIONAL, Side.LOWER, "0.4");
    assertJudged(guarded, "6", Verdict.CONDITIONAL, Side.LOWER, "0");
    assertJudged(guarded, "5.9", Verdict.FAIL_BELOW, Side.LOWER, "-0.1");
    assertJudged(guarded, "999999999", Verdict.PASS, Side.LOWER, "999999993");
  }

  @Test
  void mayLeaveASingleValueToAccept() {
    Tolerance guarded = between("10", "20").guardedBy(new BigDecimal("5"));
    assertJudged(guarded, "15", Verdict.PASS, Side.LOWER, "5");
    assertJudged(guarded, "14.999", Verdict.CONDITIONAL, Side.LOWER, "4.999");
    assertJudged(guarded, "15.001", Verdict.CONDITIONAL, Side.UPPER, "4.999");
    assertJudged(between("10", "10.0"), "10", Verdict.PASS, Side.LOWER, "0");
  }

  @Test
  void passesNothingWhereTheGuardBandsOverlap() {
    Tolerance guarded = between("10", "20").guardedBy(new BigDecimal("5.1"));
    assertJudged(guarded, "15", Verdict.CONDITIONAL, Side.LOWER, "5");
    assertJudged(guarded, "20", Verdict.CONDITIONAL, Side.UPPER, "0");
    assertJudged(guarded, "9.9", Verdict.FAIL_BELOW, Side.LOWER, "-0.1");
    assertThat(guarded.guardBandsMeet()).isTrue();
    assertThat(between("10", "20").guardedBy(new BigDecimal("5")).guardBandsMeet()).isTrue();
    assertThat(between("10", "20").guardedBy(new BigDecimal("4.999")).guardBandsMeet()).isFalse();
    assertThat(between("10", "10").guardBandsMeet()).isFalse();
    Tolerance atLeast = Tolerance.atLeast(new BigDecimal("6"), Unit.KILOGRAM);
    assertThat(atLeast.guardedBy(new BigDecimal("900")).guardBandsMeet()).isFalse();
  }

  @Test
  void keepsAGuardBandThatIsNoDecimal() {
    BigFraction third = BigFraction.of(1, 3);
    Tolerance guarded = between("10", "20").guardedBy(third);
    assertThat(guarded.acceptanceLower()).isEqualTo(BigFraction.of(31, 3));
    assertThat(guarded.acceptanceUpper()).isEqualTo(BigFraction.of(59, 3));
    assertJudged(guarded, "10.333333333", Verdict.CONDITIONAL, Side.LOWER, "0.333333333");
    assertJudged(guarded, "10.333333334", Verdict.PASS, Side.LOWER, "0.333333334");
  }

  /** Rounded once to the interval, then compared with both limits, neither of which is rounded. */
  @Test
  void comparesTheRoundedValueWithTheAcceptanceLimitToo() {
    Tolerance guarded =
        between("10", "20").roundedTo(new BigDecimal("0.1")).guardedBy(new BigDecimal("0.25"));
    assertJudged(guarded, "10.25", Verdict.CONDITIONAL, Side.LOWER, "0.2");
    assertJudged(guarded, "10.251", Verdict.PASS, Side.LOWER, "0.3");
    assertJudged(guarded, "9.95", Verdict.CONDITIONAL, Side.LOWER, "0.0");
    assertJudged(guarded, "9.949", Verdict.FAIL_BELOW, Side.LOWER, "-0.1");
  }

  @Test
  void judgesTheSumOfATenthAndTwoTenthsAgainstThreeTenths() {
    BigDecimal sum = new BigDecimal("0.1").add(new BigDecimal("0.2"));
    Tolerance tolerance = Tolerance.atMost(new BigDecimal("0.3"), Unit.KILOGRAM);
    assertThat(tolerance.judge(sum, Unit.KILOGRAM).margin()).isEqualTo(BigFraction.ZERO);
  }

  @Test
  void judgesATemperatureWrittenInTheOtherScale() {
    Tolerance tolerance =
        Tolerance.between(new BigDecimal("300"), new BigDecimal("310"), Unit.FAHRENHEIT);
    Judgement judgement = tolerance.judge(new BigDecimal("150"), Unit.CELSIUS);
    assertThat(judgement.verdict()).isEqualTo(Verdict.PASS);
    assertThat(judgement.value()).isEqualTo(BigFraction.of(302));
    assertThat(judgement.margin()).isEqualTo(BigFraction.of(2));
  }

  @Test
  void neverGetsBetterByMovingOutwardsAndItsMarginAgrees() {
    Random random = new Random(20265);
    Unit[] units = {Unit.KILOGRAM, Unit.GRAM, Unit.POUND, Unit.OUNCE};
    for (int i = 0; i < 3_000; i++) {
      Tolerance tolerance = randomTolerance(random, units[random.nextInt(units.length)]);
      Unit unit = units[random.nextInt(units.length)];
      BigDecimal value = BigDecimal.valueOf(random.nextInt(60_000), 3);
      BigDecimal heavier = value.add(BigDecimal.valueOf(random.nextInt(5_000), 3));
      Judgement first = tolerance.judge(value, unit);
      Judgement second = tolerance.judge(heavier, unit);
      assertThat(place(second))
          .as("%s, then %s", first, second)
          .isGreaterThanOrEqualTo(place(first));
      boolean failed =
          first.verdict() == Verdict.FAIL_BELOW || first.verdict() == Verdict.FAIL_ABOVE;
      assertThat(first.margin().signum() < 0).as("%s", first).isEqualTo(failed);
    }
  }

  /** From far below (-2) over accepted (0) to far above (2). */
  private static int place(Judgement judgement) {
    return switch (judgement.verdict()) {
      case FAIL_BELOW -> -2;
      case CONDITIONAL -> judgement.nearest() == Side.LOWER ? -1 : 1;
      case PASS -> 0;
      case FAIL_ABOVE -> 2;
    };
  }

  private static Tolerance randomTolerance(Random random, Unit unit) {
    BigDecimal lower = BigDecimal.valueOf(random.nextInt(30_000), 3);
    BigDecimal width = BigDecimal.valueOf(2 + random.nextInt(20_000), 3);
    BigDecimal guard = BigDecimal.valueOf(random.nextInt(width.unscaledValue().intValue() / 2), 3);
    Tolerance plain =
        switch (random.nextInt(3)) {
          case 0 -> Tolerance.atLeast(lower, unit);
          case 1 -> Tolerance.atMost(lower, unit);
          default -> Tolerance.between(lower, lower.add(width), unit);
        };
    Tolerance guarded = random.nextBoolean() ? plain.guardedBy(guard) : plain;
    return random.nextBoolean() ? guarded.roundedTo(new BigDecimal("0.05")) : guarded;
  }

  @Test
  void refusesAReadingOfAnotherKind() {
    assertThatExceptionOfType(UnitMismatchException.class)
        .isThrownBy(() -> between("10", "20").judge(BigDecimal.ONE, Unit.METRE))
        .withMessageContaining("'m' (length) cannot be converted to 'kg' (mass)");
  }

  @Test
  void refusesLimitsThatAcceptNothing() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> new Tolerance(null, null, Unit.KILOGRAM, null, BigFraction.ZERO))
        .withMessage("a tolerance needs a lower or an upper limit; give one");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> between("20", "10"))
        .withMessage("the lower limit 20 is above the upper limit 10; exchange them");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> between("10", "20").guardedBy(new BigDecimal("-1")))
        .withMessage("a guard band must be 0 or more, was -1; use 0 for simple acceptance");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> between("10", "20").roundedTo(BigDecimal.ZERO))
        .withMessage("a rounding interval must be greater than 0, was 0");
  }

  private static void assertJudged(
      Tolerance tolerance, String value, Verdict verdict, Side nearest, String margin) {
    Judgement judgement = tolerance.judge(new BigDecimal(value), Unit.KILOGRAM);
    assertThat(judgement.verdict()).isEqualTo(verdict);
    assertThat(judgement.nearest()).isEqualTo(nearest);
    assertThat(judgement.limit())
        .isEqualTo(nearest == Side.LOWER ? tolerance.lower() : tolerance.upper());
    assertThat(Decimals.of(judgement.margin())).isEqualByComparingTo(margin);
  }

  private static Tolerance between(String lower, String upper) {
    return Tolerance.between(new BigDecimal(lower), new BigDecimal(upper), Unit.KILOGRAM);
  }

  private static BigDecimal decimal(Map<String, String> row, String column) {
    return new BigDecimal(row.get(column));
  }
}
