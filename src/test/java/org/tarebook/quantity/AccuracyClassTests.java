package org.tarebook.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.io.IOException;
import java.io.InputStream;
import java.math.BigDecimal;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Stream;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.fixtures.ReferenceTable;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

class AccuracyClassTests {

  private static final BigDecimal STEP = new BigDecimal("0.000001");

  /** OIML R 76-1:2006, Table 6: loads in e up to which the error is 0.5 e and 1 e. */
  static Stream<Map<String, String>> tableSix() {
    return ReferenceTable.read("trade/r76_mpe.csv").stream();
  }

  /** OIML R 76-1:2006, Tables 3 and 6. */
  static Stream<Map<String, String>> cases() {
    return ReferenceTable.read("statistics/08_conformity/oiml_r76_cases.csv").stream();
  }

  /** OIML R 76-1:2006, Table 6, as intervals such as {@code 500 < m <= 2000}. */
  static Stream<JsonNode> tableSixAsIntervals() throws IOException {
    try (InputStream stream =
        AccuracyClassTests.class.getResourceAsStream(
            "/reference/statistics/08_conformity/oiml_r76.json")) {
      JsonNode table = new JsonMapper().readTree(Objects.requireNonNull(stream));
      return StreamSupport.stream(table.get("mpe_initial").spliterator(), false);
    }
  }

  /** NIST Handbook 44, section 2.20, Table 3, class III in pounds and ounces (from memory). */
  @ParameterizedTest
  @CsvSource({
    "0.0002, [lb_av], 100",
    "0.002, [lb_av], 100",
    "0.005, [lb_av], 100",
    "0.01, [lb_av], 500",
    "0.5, [lb_av], 500",
    "0.005, [oz_av], 100",
    "0.125, [oz_av], 100",
    "0.25, [oz_av], 500",
    "1, [oz_av], 500"
  })
  void poundsAndOuncesHaveTheIntervalsOfTheirOwnTable(
      BigDecimal interval, String code, BigDecimal fewest) {
    Unit unit = Unit.of(code);
    BigDecimal few = interval.multiply(fewest);
    BigDecimal many = interval.multiply(new BigDecimal(10_000));
    assertThat(AccuracyClass.validFor(few, interval, unit)).contains(AccuracyClass.III);
    assertThat(AccuracyClass.validFor(many, interval, unit)).contains(AccuracyClass.III);
    assertThat(AccuracyClass.validFor(few.subtract(interval), interval, unit))
        .doesNotContain(AccuracyClass.III);
    assertThat(AccuracyClass.validFor(many.add(interval), interval, unit))
        .doesNotContain(AccuracyClass.III);
  }

  @Test
  void gramsHaveNoIntervalBetweenTheRowsOfTheTable() {
    BigDecimal three = new BigDecimal("3");
    assertThat(AccuracyClass.validFor(new BigDecimal("15000"), three, Unit.GRAM))
        .doesNotContain(AccuracyClass.III);
  }

  @ParameterizedTest
  @MethodSource("tableSix")
  void stepsUpJustAboveTheLoadsOfTheTable(Map<String, String> row) {
    AccuracyClass accuracyClass = AccuracyClass.valueOf(row.get("class"));
    BigDecimal half = new BigDecimal(row.get("load_up_to_e_for_0.5e"));
    BigDecimal one = new BigDecimal(row.get("load_up_to_e_for_1.0e"));
    assertThat(errorInE(accuracyClass, BigDecimal.ZERO)).isEqualByComparingTo("0.5");
    assertThat(errorInE(accuracyClass, half)).isEqualByComparingTo("0.5");
    assertThat(errorInE(accuracyClass, half.add(STEP))).isEqualByComparingTo("1");
    assertThat(errorInE(accuracyClass, one)).isEqualByComparingTo("1");
    assertThat(errorInE(accuracyClass, one.add(STEP))).isEqualByComparingTo("1.5");
    String last = row.get("above_that_1.5e_up_to_n_max");
    if (last.startsWith("no ")) {
      assertThat(errorInE(accuracyClass, new BigDecimal("1E+8"))).isEqualByComparingTo("1.5");
    } else {
      BigDecimal most = new BigDecimal(last);
      assertThat(errorInE(accuracyClass, most)).isEqualByComparingTo("1.5");
      assertThatIllegalArgumentException()
          .isThrownBy(() -> errorInE(accuracyClass, most.add(STEP)))
          .withMessageContaining("which no scale of class " + accuracyClass + " has");
    }
  }

  @ParameterizedTest
  @MethodSource("tableSixAsIntervals")
  void givesTheErrorOfEachIntervalOfTheTable(JsonNode row) {
    BigDecimal error = new BigDecimal(row.get("mpe").asString().replace(" e", ""));
    for (AccuracyClass accuracyClass : AccuracyClass.values()) {
      String[] parts = row.get(accuracyClass.name()).asString().split(" ");
      BigDecimal from = new BigDecimal(parts[0]);
      boolean fromItself = parts[1].equals("<=");
      assertThat(errorInE(accuracyClass, fromItself ? from : from.add(STEP)))
          .isEqualByComparingTo(error);
      if (parts.length == 5) {
        assertThat(errorInE(accuracyClass, new BigDecimal(parts[4]))).isEqualByComparingTo(error);
      }
    }
  }

  @ParameterizedTest
  @MethodSource("cases")
  void givesTheErrorOfTheCases(Map<String, String> row) {
    BigDecimal interval = new BigDecimal(row.get("e"));
    BigDecimal error =
        AccuracyClass.valueOf(row.get("class"))
            .maximumPermissibleError(new BigDecimal(row.get("load")), interval);
    assertThat(error).isEqualByComparingTo(row.get("mpe_initial"));
    assertThat(error)
        .isEqualByComparingTo(interval.multiply(new BigDecimal(row.get("mpe_in_e_initial"))));
  }

  @Test
  void refusesANegativeLoadAndAnIntervalOfZero() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> errorInE(AccuracyClass.III, new BigDecimal("-1")))
        .withMessage("a load must be 0 or more, was -0.2");
    assertThatIllegalArgumentException()
        .isThrownBy(
            () -> AccuracyClass.III.maximumPermissibleError(BigDecimal.ONE, BigDecimal.ZERO))
        .withMessage("a scale interval e must be greater than 0, was 0");
  }

  private static BigDecimal errorInE(AccuracyClass accuracyClass, BigDecimal loadInE) {
    BigDecimal interval = new BigDecimal("0.2");
    return accuracyClass
        .maximumPermissibleError(loadInE.multiply(interval), interval)
        .divide(interval);
  }
}
