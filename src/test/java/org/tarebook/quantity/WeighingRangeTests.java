package org.tarebook.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.fixtures.ReferenceTable;

class WeighingRangeTests {

  private static final BigDecimal HAIR = new BigDecimal("0.000000001");

  /** OIML R 76-1:2006, Table 3. */
  static Stream<Map<String, String>> tableThree() {
    return ReferenceTable.read("trade/r76_classes.csv").stream();
  }

  /** OIML R 76-1:2006, Table 6, and twice its values in service (3.5.2). */
  static Stream<Map<String, String>> errors() {
    return ReferenceTable.read("trade/weigh_mpe.csv").stream();
  }

  @ParameterizedTest
  @MethodSource("errors")
  void givesTheErrorsOnVerificationAndInService(Map<String, String> row) {
    WeighingRange range = range(row.get("class"), row.get("Max_g"), row.get("e_g"));
    BigDecimal load = new BigDecimal(row.get("load_g"));
    assertThat(Decimals.of(range.intervals())).isEqualByComparingTo(row.get("n"));
    assertThat(range.errorOnVerification(load)).isEqualByComparingTo(row.get("mpe_initial_g"));
    assertThat(range.errorInService(load)).isEqualByComparingTo(row.get("mpe_in_service_g"));
  }

  @ParameterizedTest
  @MethodSource("tableThree")
  void holdsTheFewestAndMostIntervalsOfTheTable(Map<String, String> row) {
    String name = row.get("class");
    BigDecimal fewest = new BigDecimal(row.get("n_min"));
    BigDecimal most = new BigDecimal(row.get("n_max").isEmpty() ? "1E+7" : row.get("n_max"));
    for (String column : new String[] {"e_from_g", "e_to_g"}) {
      if (row.get(column).isEmpty()) {
        continue;
      }
      BigDecimal interval = new BigDecimal(row.get(column));
      BigDecimal smallest = interval.multiply(fewest);
      BigDecimal largest = interval.multiply(most);
      assertThat(range(name, smallest, interval).min())
          .isEqualByComparingTo(interval.multiply(new BigDecimal(row.get("Min_in_e"))));
      assertThat(AccuracyClass.validFor(smallest, interval, Unit.GRAM))
          .contains(AccuracyClass.valueOf(name));
      assertThat(AccuracyClass.validFor(largest, interval, Unit.GRAM))
          .contains(AccuracyClass.valueOf(name));
      assertThatIllegalArgumentException()
          .isThrownBy(() -> range(name, smallest.subtract(HAIR), interval))
          .withMessageContaining("where class " + name + " has " + fewest);
      if (!row.get("n_max").isEmpty()) {
        assertThatIllegalArgumentException()
            .isThrownBy(() -> range(name, largest.add(HAIR), interval))
            .withMessageContaining(fewest + " to " + most);
      }
    }
  }

  @Test
  void listsEveryClassAScaleMayHave() {
    assertThat(validFor("15000", "5")).containsExactly(AccuracyClass.III);
    assertThat(validFor("5000", "5")).containsExactly(AccuracyClass.III, AccuracyClass.IIII);
    assertThat(validFor("6000", "0.1")).containsExactly(AccuracyClass.I, AccuracyClass.II);
    assertThat(validFor("1000", "0.1")).containsExactly(AccuracyClass.II, AccuracyClass.III);
    assertThat(validFor("50", "1")).isEmpty();
  }

  @Test
  void measuresTheIntervalOfAPoundScaleInGrams() {
    WeighingRange range =
        new WeighingRange(
            AccuracyClass.III, new BigDecimal("60"), new BigDecimal("0.02"), Unit.POUND);
    assertThat(Decimals.of(range.intervals())).isEqualByComparingTo("3000");
    assertThat(range.min()).isEqualByComparingTo("0.4");
    assertThat(range.errorInService(new BigDecimal("10"))).isEqualByComparingTo("0.02");
    assertThat(range.errorInService(new BigDecimal("10.02"))).isEqualByComparingTo("0.04");
  }

  @Test
  void refusesAnIntervalTheClassDoesNotHave() {
    for (String interval : new String[] {"0.05", "3"}) {
      assertThatIllegalArgumentException()
          .isThrownBy(() -> range("III", "3000", interval))
          .withMessage(
              "class III has no interval e of %s g; check e and the class on the plate"
                  .formatted(interval));
    }
  }

  @Test
  void refusesTooManyIntervalsAndSaysHowManyThereAre() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> range("III", "60000", "5"))
        .withMessage(
            "Max 60000 and e 5 g make n = 12000 intervals, where class III has 500 to 10000;"
                + " check Max, e and class");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> range("I", "10", "0.001"))
        .withMessageContaining("class I has 50000 or more");
  }

  @Test
  void refusesALoadAboveMaxOrBelowZero() {
    WeighingRange range = range("III", "15000", "5");
    assertThat(range.errorOnVerification(new BigDecimal("15000"))).isEqualByComparingTo("7.5");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> range.errorInService(new BigDecimal("15000.1")))
        .withMessage("a load of 15000.1 g is above Max 15000 g; use a larger scale");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> range.errorOnVerification(new BigDecimal("-5")))
        .withMessage("a load must be 0 or more, was -5");
  }

  @Test
  void refusesAUnitThatIsNotOfMassAndAnIntervalOfZero() {
    assertThatExceptionOfType(UnitMismatchException.class)
        .isThrownBy(
            () -> new WeighingRange(AccuracyClass.III, BigDecimal.TEN, BigDecimal.ONE, Unit.METRE));
    assertThatIllegalArgumentException()
        .isThrownBy(() -> range("III", "100", "0"))
        .withMessage("a scale interval e must be greater than 0, was 0");
  }

  private static List<AccuracyClass> validFor(String max, String interval) {
    return AccuracyClass.validFor(new BigDecimal(max), new BigDecimal(interval), Unit.GRAM);
  }

  private static WeighingRange range(String name, String max, String interval) {
    return range(name, new BigDecimal(max), new BigDecimal(interval));
  }

  private static WeighingRange range(String name, BigDecimal max, BigDecimal interval) {
    return new WeighingRange(AccuracyClass.valueOf(name), max, interval, Unit.GRAM);
  }
}
