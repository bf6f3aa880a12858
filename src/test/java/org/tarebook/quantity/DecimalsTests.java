package org.tarebook.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.Random;
import org.apache.commons.numbers.fraction.BigFraction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class DecimalsTests {

  @ParameterizedTest
  @CsvSource({
    "12.5, 12.5, 1",
    "-0.125, -0.125, 3",
    "0, 0, 0",
    "-0, 0, 0",
    "4.3850, 4.3850, 4",
    "4.385e0, 4.385, 3",
    "1.50E1, 15.0, 1",
    "1e3, 1000, 0",
    "125E-3, 0.125, 3",
    "1e-9, 0.000000001, 9",
    "1e+0000008, 100000000, 0",
    "1.50000000000000000000, 1.50000000000000000000, 20",
    "999999999.999999999, 999999999.999999999, 9",
    "-999999999.999999999, -999999999.999999999, 9",
  })
  void readsWhatJsonCallsANumberAndKeepsItsDecimals(String text, String plain, int decimals) {
    BigDecimal value = Decimals.parse(text);
    assertThat(value).isEqualTo(new BigDecimal(plain));
    assertThat(Decimals.decimals(value)).isEqualTo(decimals);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "NaN",
        "Infinity",
        "-Infinity",
        "0x1F",
        "1.0f",
        "1d",
        "+1",
        ".5",
        "5.",
        "012.5",
        "-",
        "--1",
        "1e",
        "1e+",
        "1.2.3",
        "1_000",
        "1 000",
        " 12.5",
        "12.5 ",
        "12.5 kg",
        "1'000",
        "\u0661\u0662",
        "12.5\n",
        "true",
        "1,234.5"
      })
  void refusesEverythingElseAndSaysHowToWriteIt(String text) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Decimals.parse(text))
        .withMessageContaining(" is not a decimal number; write it like 12.5 or -0.125");
  }

  @Test
  void saysThatACommaIsToBeAPoint() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Decimals.parse("12,5"))
        .withMessage("'12,5' has a comma; write a decimal point and no thousands sign: '12.5'");
  }

  @ParameterizedTest
  @ValueSource(strings = {"", " ", "\t\n"})
  void saysThatABlankIsNoNumber(String text) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Decimals.parse(text))
        .withMessage("the number is blank; send a decimal such as 12.5");
  }

  @ParameterizedTest
  @ValueSource(strings = {"1e9", "1000000000", "-1000000000", "1000000000.000000001", "1e30"})
  void refusesABillionAndMore(String text) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Decimals.parse(text))
        .withMessageContaining("a value lies between -1000000000 and 1000000000");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "0.1234567891",
        "1e-10",
        "0.30000000000000004",
        "1.00000000000000000001",
        "123456789.1234567891"
      })
  void refusesATenthDecimal(String text) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Decimals.parse(text))
        .withMessageEndingWith(
            " has more than 9 decimals; send at most 9, as the instrument shows them");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"1e400", "1e-400", "0e400", "1e999999999", "1e-99999999999999999999", "1e31"})
  void refusesAHostileExponentWithoutExpandingIt(String text) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Decimals.parse(text))
        .withMessage(
            "'%s' is out of bounds; write the digits out, with at most 9 before and 9 after the point"
                .formatted(text));
  }

  @Test
  void refusesAnEndlessTextUnread() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Decimals.parse("1".repeat(1_000_000)))
        .withMessage("'%s...' is longer than 64 characters; shorten it".formatted("1".repeat(40)));
  }

  @Test
  void holdsAParsedNumberToTheSameBounds() {
    assertThat(Decimals.check(new BigDecimal("1E+3"))).isEqualTo(new BigDecimal("1000"));
    assertThat(Decimals.check(new BigDecimal("4.3850"))).isEqualTo(new BigDecimal("4.3850"));
    for (BigDecimal hostile :
        new BigDecimal[] {
          new BigDecimal(BigInteger.ONE, Integer.MIN_VALUE),
          new BigDecimal(BigInteger.ONE, Integer.MAX_VALUE),
          new BigDecimal(BigInteger.ZERO, Integer.MIN_VALUE),
          new BigDecimal(BigInteger.ONE.shiftLeft(1_000_000), 0)
        }) {
      assertThatIllegalArgumentException()
          .isThrownBy(() -> Decimals.check(hostile))
          .withMessageContaining("is out of bounds; write the digits out");
      assertThatIllegalArgumentException()
          .isThrownBy(() -> Decimals.fraction(hostile))
          .withMessageContaining("is out of bounds; write the digits out");
    }
    assertThatIllegalArgumentException().isThrownBy(() -> Decimals.check(new BigDecimal("1E+9")));
    assertThatIllegalArgumentException().isThrownBy(() -> Decimals.check(new BigDecimal("1E-10")));
  }

  @Test
  void turnsIntoBillionthsAndBackWithoutLoss() {
    Random random = new Random(20264);
    for (int i = 0; i < 2_000; i++) {
      int decimals = random.nextInt(Decimals.MOST_DECIMALS + 1);
      BigDecimal value = BigDecimal.valueOf(random.nextInt(999_999_999), decimals).negate();
      assertThat(Decimals.fromNanos(Decimals.toNanos(value), decimals)).isEqualTo(value);
    }
    assertThat(Decimals.toNanos(new BigDecimal("-999999999.999999999")))
        .isEqualTo(-999_999_999_999_999_999L);
    assertThat(Decimals.toNanos(new BigDecimal("4.3850"))).isEqualTo(4_385_000_000L);
    assertThatIllegalArgumentException().isThrownBy(() -> Decimals.toNanos(new BigDecimal("1E9")));
  }

  @Test
  void dropsNoDigitForWantOfDecimals() {
    assertThat(Decimals.fromNanos(4_385_000_000L, 4)).hasToString("4.3850");
    assertThat(Decimals.fromNanos(4_385_000_000L, 1)).hasToString("4.385");
    assertThat(Decimals.fromNanos(1_000_000_000_000L, 0)).hasToString("1000");
    assertThat(Decimals.fromNanos(0, 2)).hasToString("0.00");
  }

  @ParameterizedTest
  @CsvSource({
    "1/8, 0.125",
    "-1/3, -0.33333333333333333333",
    "2/3, 0.66666666666666666667",
    "0, 0",
    "3000, 3000",
    "20000000000000000001/2, 10000000000000000000",
    "12345678901234567890, 12345678901234567890",
    "1/1048576, 0.00000095367431640625",
    "123456789012345678905, 123456789012345678900",
    "123456789012345678915, 123456789012345678920",
  })
  void showsAFractionInTwentyDigits(String fraction, String shown) {
    assertThat(Decimals.of(BigFraction.parse(fraction)).toPlainString()).isEqualTo(shown);
  }

  @Test
  void ordersNegativeFractionsToo() {
    String[] ascending = {"-2", "-3/2", "-1/3", "0", "1/3", "3/2", "2"};
    for (int i = 0; i < ascending.length; i++) {
      for (int j = 0; j < ascending.length; j++) {
        assertThat(
                Decimals.compare(BigFraction.parse(ascending[i]), BigFraction.parse(ascending[j])))
            .as("%s and %s", ascending[i], ascending[j])
            .isEqualTo(Integer.compare(i, j));
      }
    }
  }

  @Test
  void isTheFractionItWasWrittenAs() {
    assertThat(Decimals.fraction(new BigDecimal("12.50"))).isEqualTo(BigFraction.of(25, 2));
    assertThat(Decimals.fraction(new BigDecimal("-1E+3"))).isEqualTo(BigFraction.of(-1000));
  }
}
