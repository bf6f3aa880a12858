package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.LongToDoubleFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class FactorsTests {

  private static final Map<String, LongToDoubleFunction> FACTORS =
      Map.ofEntries(
          Map.entry("A2", Factors::meanByRange),
          Map.entry("A3", Factors::meanBySd),
          Map.entry("c4", Factors::c4),
          Map.entry("c5", Factors::c5),
          Map.entry("B3", Factors::sdLower),
          Map.entry("B4", Factors::sdUpper),
          Map.entry("d2", Factors::d2),
          Map.entry("d3", Factors::d3),
          Map.entry("D3", Factors::rangeLower),
          Map.entry("D4", Factors::rangeUpper),
          Map.entry("E2", Factors::individualByRange));

  static List<Map<String, String>> exact() {
    return ReferenceTable.rows("factors_exact.csv");
  }

  @ParameterizedTest
  @MethodSource("exact")
  void agreesWithTwentyDigitValues(Map<String, String> row) {
    long n = Long.parseLong(row.get("n"));
    FACTORS.forEach(
        (name, factor) -> {
          double expected = ReferenceTable.number(row, name);
          Accuracy.relative(
              "Factors " + name, "factors_exact.csv", factor.applyAsDouble(n), expected, 1e-12);
        });
  }

  @Test
  void agreesWithEveryPrintedFactorButTheKnownMisprints() {
    Set<String> misprints = new HashSet<>();
    for (Map<String, String> row : ReferenceTable.rows("factor_misprints.csv")) {
      misprints.add(key(row));
    }
    Set<String> seenMisprints = new HashSet<>();
    int agreed = 0;
    for (Map<String, String> row : ReferenceTable.rows("factors_published.csv")) {
      LongToDoubleFunction factor = FACTORS.get(row.get("factor"));
      if (factor == null) {
        continue;
      }
      BigDecimal printed = new BigDecimal(row.get("published"));
      BigDecimal own =
          new BigDecimal(factor.applyAsDouble(Long.parseLong(row.get("n"))))
              .setScale(printed.scale(), RoundingMode.HALF_UP);
      boolean same = own.compareTo(printed) == 0;
      assertThat(same).as(row.toString()).isEqualTo(!misprints.contains(key(row)));
      if (same) {
        agreed++;
      } else {
        seenMisprints.add(key(row));
      }
    }
    assertThat(agreed).isGreaterThan(250);
    assertThat(seenMisprints)
        .contains("5 d3 0.8798 S3", "2 E2 2.660 S4", "3 D4 2.574 S6", "15 D4 1.652 S5");
  }

  @Test
  void knowsTheClosedFormsOfTwoAndThree() {
    assertThat(Factors.c4(2)).isCloseTo(Math.sqrt(2 / Math.PI), within(1e-15));
    assertThat(Factors.c4(3)).isCloseTo(Math.sqrt(Math.PI) / 2, within(1e-15));
    assertThat(Factors.d2(2)).isCloseTo(2 / Math.sqrt(Math.PI), within(1e-14));
    assertThat(Factors.d2(3)).isCloseTo(3 / Math.sqrt(Math.PI), within(1e-14));
    assertThat(Factors.d3(2)).isCloseTo(Math.sqrt(2 - 4 / Math.PI), within(1e-14));
  }

  @Test
  void keepsItsDigitsBeyondFifty() {
    for (Map<String, String> row : ReferenceTable.rows("factors_beyond_50.csv")) {
      long n = Long.parseLong(row.get("n"));
      if (!row.get("d2").isEmpty()) {
        assertThat(Factors.d2(n)).isCloseTo(Double.parseDouble(row.get("d2")), within(1e-12));
      }
      assertThat(Factors.c4(n)).isCloseTo(Double.parseDouble(row.get("c4")), within(1e-14));
    }
  }

  @Test
  void risesSteadilyUpToTheLargestSize() {
    for (int n = 3; n <= Factors.MAX_RANGE_SIZE; n++) {
      assertThat(Factors.d2(n)).isGreaterThan(Factors.d2(n - 1));
      assertThat(Factors.d3(n)).isBetween(0.6, 0.89);
      assertThat(Factors.c4(n)).isGreaterThan(Factors.c4(n - 1)).isLessThan(1);
    }
  }

  // 4n / (4n + 1) (1 - ...) : c4 of a large sample is 1 - 1/(4(n-1)) - ... (asymptotic series).
  @Test
  void keepsItsDigitsForVeryLargeSamples() {
    long n = 1_000_000_001L;
    assertThat(Factors.c4(n)).isEqualTo(1 - 0.25e-9);
    assertThat(Factors.c5(n)).isCloseTo(Math.sqrt(0.5e-9), within(1e-14));
  }

  @Test
  void hasNoLowerLimitForSmallSubgroups() {
    assertThat(Factors.sdLower(5)).isZero();
    assertThat(Factors.sdLower(6)).isPositive();
    assertThat(Factors.rangeLower(6)).isZero();
    assertThat(Factors.rangeLower(7)).isPositive();
  }

  @Test
  void refusesSizesWithoutFactors() {
    assertThatThrownBy(() -> Factors.c4(1))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("subgroup size 1: factors start at 2");
    assertThatThrownBy(() -> Factors.d2(101))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("range factors end at 100, use the standard deviation");
  }

  private static String key(Map<String, String> row) {
    return String.join(
        " ", row.get("n"), row.get("factor"), row.get("published"), row.get("source_key"));
  }
}
