package org.tarebook.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.math.BigDecimal;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.tarebook.fixtures.ReferenceTable;

class PoundsOuncesTests {

  /** NIST SP 811 Appendix B: 1 lb = 16 oz = 0.45359237 kg. */
  static Stream<Map<String, String>> table() {
    return ReferenceTable.read("trade/pounds_ounces.csv").stream();
  }

  @ParameterizedTest
  @MethodSource("table")
  void addsBothPartsExactly(Map<String, String> row) {
    BigDecimal pounds =
        PoundsOunces.inPounds(new BigDecimal(row.get("lb")), new BigDecimal(row.get("oz")));
    assertThat(pounds).isEqualByComparingTo(row.get("lb_decimal_exact"));
    assertThat(Decimals.of(Unit.convert(pounds, Unit.POUND, Unit.KILOGRAM)))
        .isEqualByComparingTo(row.get("kg_exact"));
  }

  @ParameterizedTest
  @CsvSource({"1, 16", "1, -1", "0, 16.5"})
  void refusesOuncesThatMakeAPound(String pounds, String ounces) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> PoundsOunces.inPounds(new BigDecimal(pounds), new BigDecimal(ounces)))
        .withMessage(
            "the ounces must be 0 or more and less than 16, were %s;".formatted(ounces)
                + " carry 16 ounces over into a pound");
  }

  @Test
  void refusesNegativePounds() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> PoundsOunces.inPounds(new BigDecimal("-1"), BigDecimal.ONE))
        .withMessage("the pounds must be 0 or more, were -1");
  }
}
