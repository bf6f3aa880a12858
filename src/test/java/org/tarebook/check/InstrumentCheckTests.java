package org.tarebook.check;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.io.InputStream;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.check.InstrumentCheck.Posted;
import org.tarebook.http.Problem.Fault;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

class InstrumentCheckTests {

  private static final Instant AT = Instant.parse("2026-03-02T06:00:00Z");

  /** Error = reading less conventional mass of the check weight (OIML R 111-1). */
  static Stream<JsonNode> checkWeights() throws IOException {
    try (InputStream stream =
        InstrumentCheckTests.class.getResourceAsStream("/reference/trade/weigh_checkweight.json")) {
      JsonNode table = new JsonMapper().readTree(Objects.requireNonNull(stream));
      return StreamSupport.stream(table.get("cases").spliterator(), false);
    }
  }

  @ParameterizedTest
  @MethodSource("checkWeights")
  void takesErrorsFromTheCertifiedMassAndNotTheNominal(JsonNode row) {
    List<BigDecimal> indications = numbers(row.get("readings_kg"));
    InstrumentCheck check =
        check(
            row.get("conventional_mass_kg").asString(),
            Unit.KILOGRAM,
            indications,
            new PermissibleError(
                new BigDecimal(row.get("limit_kg").asString()), Unit.KILOGRAM, "the table"));
    InstrumentCheckView.Phase phase =
        InstrumentCheckView.Phase.of(check, indications, Unit.KILOGRAM);
    assertThat(phase.errors())
        .usingElementComparator(BigDecimal::compareTo)
        .isEqualTo(numbers(row.get("errors_kg")));
    assertThat(phase.meanError())
        .isCloseTo(
            new BigDecimal(row.get("mean_error_kg").asString()), within(new BigDecimal("1E-16")));
    assertThat(check.asFound())
        .isEqualTo(
            row.get("result").asString().equals("pass") ? CheckResult.PASS : CheckResult.FAIL);
    assertThat(check.asLeft()).isNull();
  }

  @Test
  void passesAnErrorOnTheLimitAndFailsTheNextDigit() {
    PermissibleError limit =
        new PermissibleError(new BigDecimal("0.005"), Unit.KILOGRAM, "the test");
    for (String passes : List.of("10.0052", "9.9952", "10.0002")) {
      assertThat(check("10.0002", Unit.KILOGRAM, numbers(passes), limit).asFound())
          .isEqualTo(CheckResult.PASS);
    }
    for (String fails : List.of("10.005200001", "9.995199999")) {
      assertThat(check("10.0002", Unit.KILOGRAM, numbers("10.000", fails), limit).asFound())
          .isEqualTo(CheckResult.FAIL);
    }
  }

  @Test
  void convertsTheStandardAndTheLimitExactlyIntoTheUnitOfTheInstrument() {
    // 0.45359237 kg is one pound; five grams are 0.0110231... lb
    PermissibleError fiveGrams = new PermissibleError(new BigDecimal("5"), Unit.GRAM, "the test");
    InstrumentCheck check =
        InstrumentCheck.judged(
            1,
            2,
            Unit.POUND,
            posted("0.45359237", Unit.KILOGRAM, numbers("1.01102311", "0.98897689")),
            fiveGrams,
            AT,
            "W-03");
    assertThat(check.errors(numbers("1.01"), Unit.POUND))
        .containsExactly(Decimals.fraction(new BigDecimal("0.01")));
    assertThat(check.asFound()).isEqualTo(CheckResult.PASS);
    assertThat(
            InstrumentCheck.judged(
                    1,
                    2,
                    Unit.POUND,
                    posted("0.45359237", Unit.KILOGRAM, numbers("1.01102312")),
                    fiveGrams,
                    AT,
                    "W-03")
                .asFound())
        .isEqualTo(CheckResult.FAIL);
  }

  @Test
  void takesTheLimitOfAThermometerAsADifference() {
    // 100 Cel is 212 degF; 1 Cel of error is 1.8 degF, not 33.8
    PermissibleError oneDegree = new PermissibleError(BigDecimal.ONE, Unit.CELSIUS, "the test");
    for (String[] row : new String[][] {{"213.8", "PASS"}, {"213.81", "FAIL"}, {"210.2", "PASS"}}) {
      assertThat(
              InstrumentCheck.judged(
                      1,
                      2,
                      Unit.FAHRENHEIT,
                      posted("100", Unit.CELSIUS, numbers(row[0])),
                      oneDegree,
                      AT,
                      "W-03")
                  .asFound())
          .isEqualTo(CheckResult.valueOf(row[1]));
    }
  }

  @Test
  void takesTheSmallerOfTwoLimitsInWhateverUnitTheyAre() {
    PermissibleError fiveGrams = new PermissibleError(new BigDecimal("5"), Unit.GRAM, "one");
    PermissibleError inPounds = new PermissibleError(new BigDecimal("0.011"), Unit.POUND, "two");
    PermissibleError sameInKilograms =
        new PermissibleError(new BigDecimal("0.0050"), Unit.KILOGRAM, "three");
    assertThat(fiveGrams.orSmaller(inPounds)).isSameAs(inPounds);
    assertThat(inPounds.orSmaller(fiveGrams)).isSameAs(inPounds);
    assertThat(fiveGrams.orSmaller(sameInKilograms)).isSameAs(fiveGrams);
  }

  @Test
  void seesNoDifferenceInTrailingZerosAndNamesEveryOther() {
    Posted stored = posted("10.0002", Unit.KILOGRAM, numbers("4.385", "4.39"));
    assertThat(
            posted("10.00020", Unit.KILOGRAM, numbers("4.3850", "4.390")).differencesFrom(stored))
        .isEmpty();
    assertThat(posted("10.0003", Unit.GRAM, numbers("4.385")).differencesFrom(stored))
        .extracting(Fault::pointer)
        .containsExactly("/standardValue", "/unit", "/asFound");
  }

  @Test
  void keepsTheDecimalsThatWereShown() {
    assertThat(posted("10.00", Unit.KILOGRAM, numbers("10.000", "9.9950000000000")).asFound())
        .extracting(BigDecimal::toPlainString)
        .containsExactly("10.000", "9.995000000");
  }

  private static InstrumentCheck check(
      String certified, Unit unit, List<BigDecimal> asFound, PermissibleError limit) {
    return InstrumentCheck.judged(1, 2, unit, posted(certified, unit, asFound), limit, AT, "W-03");
  }

  private static Posted posted(String certified, Unit unit, List<BigDecimal> asFound) {
    return new Posted(
        "W-03:1",
        AT,
        "weight A",
        "C-1",
        new BigDecimal(certified),
        unit,
        asFound,
        List.of(),
        false,
        null);
  }

  private static List<BigDecimal> numbers(JsonNode array) {
    return StreamSupport.stream(array.spliterator(), false)
        .map(number -> new BigDecimal(number.asString()))
        .toList();
  }

  private static List<BigDecimal> numbers(String... numbers) {
    return Arrays.stream(numbers).map(BigDecimal::new).toList();
  }
}
