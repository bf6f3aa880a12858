package org.tarebook.quantity;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.apache.commons.numbers.fraction.BigFraction;

/**
 * The decimals that are recorded: of magnitude below 1,000,000,000 and with at most nine decimals
 * that are not trailing zeros. Such a number is a whole number of billionths that fits a {@code
 * long}, and has at most eighteen significant digits.
 *
 * <p>Nothing here expands a hostile exponent: {@code 1e400} is refused by its exponent alone.
 */
public final class Decimals {

  /** The decimals a recorded number may have, trailing zeros not counted. */
  public static final int MOST_DECIMALS = 9;

  private static final int WHOLE_DIGITS = 9;
  private static final BigDecimal BOUND = new BigDecimal("1000000000");
  private static final int LONGEST_TEXT = 64;
  private static final int LARGEST_EXPONENT = 30;
  private static final int WIDEST_BITS = 4096;
  private static final int WIDEST_SCALE = 1000;
  private static final MathContext SHOWN = new MathContext(20, RoundingMode.HALF_EVEN);

  private static final Pattern NUMBER =
      Pattern.compile("-?(?:0|[1-9][0-9]*)(?:\\.[0-9]+)?(?:[eE]([+-]?[0-9]+))?");
  private static final Pattern COMMA = Pattern.compile("([+-]?[0-9]+),([0-9]+)");

  private Decimals() {}

  /**
   * Reads a number as JSON writes it: {@code 12.5}, {@code -0.125}, {@code 4.385e0}. The decimals
   * written are kept; an exponent is resolved.
   *
   * @throws IllegalArgumentException if it is anything else or out of bounds; the message says what
   *     is wrong and how to mend it
   */
  public static BigDecimal parse(String text) {
    if (text.length() > LONGEST_TEXT) {
      throw refused(
          Quoted.of(text) + " is longer than " + LONGEST_TEXT + " characters; shorten it");
    }
    Matcher matcher = NUMBER.matcher(text);
    if (!matcher.matches()) {
      throw refused(notANumber(text));
    }
    String exponent = matcher.group(1);
    if (exponent != null && !isSmall(exponent)) {
      throw refused(Quoted.of(text) + outOfBounds());
    }
    return check(new BigDecimal(text));
  }

  /**
   * Returns the number, its exponent resolved, if it may be recorded.
   *
   * @throws IllegalArgumentException if it is out of bounds
   */
  public static BigDecimal check(BigDecimal value) {
    if (value.scale() < -LARGEST_EXPONENT
        || value.scale() > LONGEST_TEXT + LARGEST_EXPONENT
        || value.unscaledValue().bitLength() > WIDEST_BITS) {
      throw refused("a number with scale " + value.scale() + outOfBounds());
    }
    if (value.abs().compareTo(BOUND) >= 0) {
      throw refused(
          Quoted.of(value.toString())
              + " is out of bounds; a value lies between -1000000000 and 1000000000, use a larger unit");
    }
    if (value.stripTrailingZeros().scale() > MOST_DECIMALS) {
      throw refused(
          Quoted.of(value.toString())
              + " has more than 9 decimals; send at most 9, as the instrument shows them");
    }
    return value.scale() < 0 ? value.setScale(0) : value;
  }

  /** Returns the number of decimals as written: 2 for {@code 12.50}, 0 for {@code 1e3}. */
  public static int decimals(BigDecimal value) {
    return Math.max(0, value.scale());
  }

  /**
   * Returns the number in billionths, exactly.
   *
   * @throws IllegalArgumentException if it is out of bounds
   */
  public static long toNanos(BigDecimal value) {
    boolean plain =
        value.scale() >= 0
            && value.scale() <= MOST_DECIMALS
            && value.precision() - value.scale() <= WHOLE_DIGITS;
    return (plain ? value : check(value)).movePointRight(MOST_DECIMALS).longValueExact();
  }

  /**
   * Returns the number of so many billionths, with so many decimals or as many more as it needs.
   */
  public static BigDecimal fromNanos(long nanos, int decimals) {
    BigDecimal shortest = BigDecimal.valueOf(nanos, MOST_DECIMALS).stripTrailingZeros();
    return shortest.setScale(Math.max(decimals, decimals(shortest)));
  }

  /** Returns the number as people write it: without trailing zeros and without an exponent. */
  public static BigDecimal plain(BigDecimal value) {
    BigDecimal stripped = value.stripTrailingZeros();
    return stripped.scale() < 0 ? stripped.setScale(0) : stripped;
  }

  /** Returns a computed figure rounded half-even to so many significant digits, written plainly. */
  public static BigDecimal rounded(double figure, int digits) {
    return plain(new BigDecimal(figure, new MathContext(digits, RoundingMode.HALF_EVEN)));
  }

  /**
   * Returns a computed figure for a sentence, with so many significant digits, or with as many more
   * as show that it is not another one that stands beside it.
   */
  public static String beside(double figure, double other, int digits) {
    int shown = digits;
    while (shown < 17
        && figure != other
        && significant(figure, shown).equals(significant(other, shown))) {
      shown++;
    }
    return significant(figure, shown);
  }

  private static String significant(double figure, int digits) {
    return String.format(Locale.ROOT, "%." + digits + "g", figure);
  }

  /**
   * Returns the fraction as a decimal: exactly if twenty significant digits hold it, else rounded
   * half-even to twenty. No trailing zeros, no exponent.
   */
  public static BigDecimal of(BigFraction value) {
    BigDecimal shown =
        new BigDecimal(value.getNumerator())
            .divide(new BigDecimal(value.getDenominator()), SHOWN)
            .stripTrailingZeros();
    return shown.setScale(decimals(shown));
  }

  /**
   * Returns the decimal as a fraction, exactly. Wider than what may be recorded, since limits and
   * converted values pass here too.
   *
   * @throws IllegalArgumentException if writing it out would take thousands of digits
   */
  public static BigFraction fraction(BigDecimal value) {
    if (Math.abs((long) value.scale()) > WIDEST_SCALE
        || value.unscaledValue().bitLength() > WIDEST_BITS) {
      throw refused("a number with scale " + value.scale() + outOfBounds());
    }
    BigInteger power = BigInteger.TEN.pow(Math.abs(value.scale()));
    return value.scale() < 0
        ? BigFraction.of(value.unscaledValue().multiply(power))
        : BigFraction.of(value.unscaledValue(), power);
  }

  /**
   * Returns whether the first fraction is less than (-1), equal to (0) or greater than (1) the
   * second. Use this and not {@code BigFraction.compareTo}, which in version 1.2 is the wrong way
   * round for two negative fractions (NUMBERS-207).
   */
  public static int compare(BigFraction first, BigFraction second) {
    return first.subtract(second).signum();
  }

  /** Refuses a number that is 0 or less, naming what it is. */
  static void requirePositive(String what, BigDecimal value) {
    if (value.signum() <= 0) {
      throw refused(what + " must be greater than 0, was " + value);
    }
  }

  private static boolean isSmall(String exponent) {
    String digits = exponent.replaceFirst("^[+-]?0*", "");
    return digits.length() <= 2
        && (digits.isEmpty() || Integer.parseInt(digits) <= LARGEST_EXPONENT);
  }

  private static String notANumber(String text) {
    if (text.isBlank()) {
      return "the number is blank; send a decimal such as 12.5";
    }
    Matcher comma = COMMA.matcher(text);
    if (comma.matches()) {
      return "%s has a comma; write a decimal point and no thousands sign: '%s.%s'"
          .formatted(Quoted.of(text), comma.group(1), comma.group(2));
    }
    return Quoted.of(text)
        + " is not a decimal number; write it like 12.5 or -0.125: digits with a point, no sign but"
        + " a leading minus, no leading zeros, no blanks, no unit";
  }

  private static String outOfBounds() {
    return " is out of bounds; write the digits out, with at most 9 before and 9 after the point";
  }

  private static IllegalArgumentException refused(String message) {
    return new IllegalArgumentException(message);
  }
}
