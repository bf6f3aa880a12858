package org.tarebook.quantity;

import java.math.BigDecimal;
import java.util.Objects;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;

/**
 * One or two limits and how a value is compared with them. Limits are inclusive. The value is
 * converted into the unit of the limits, exactly; the limits stay as they were written.
 *
 * <p>Under the <i>absolute method</i> the value is compared as it is; under the <i>rounding
 * method</i> it is first rounded, once and half-even, to the rounding interval (ASTM E29). A guard
 * band w moves the acceptance limits inwards, to {@code lower + w} and {@code upper - w} (guarded
 * acceptance, JCGM 106:2012, 8.3.2); between an acceptance and a tolerance limit the verdict is
 * {@link Verdict#CONDITIONAL}. With w = 0 there is no such place (simple acceptance, 8.2). Where
 * the guard bands of both limits overlap, nothing passes and all that is inside is conditional;
 * where they touch, the middle alone passes.
 *
 * <p>Both methods go together with a guard band thus: the value is rounded once, and the rounded
 * value is compared with the tolerance limits and with the acceptance limits; neither limit is
 * rounded. Rounding can so move a value by half an interval over an acceptance limit, which an
 * interval that is small beside w keeps harmless.
 *
 * @param lower the lowest value allowed, or null if there is none
 * @param upper the highest value allowed, or null if there is none
 * @param unit of the limits, the rounding interval and the guard band
 * @param roundingInterval what is rounded to under the rounding method, greater than 0; null for
 *     the absolute method
 * @param guardBand w, 0 or more
 */
public record Tolerance(
    @Nullable BigDecimal lower,
    @Nullable BigDecimal upper,
    Unit unit,
    @Nullable BigDecimal roundingInterval,
    BigFraction guardBand) {

  /**
   * Checks that there is something to keep to.
   *
   * @throws IllegalArgumentException if there is no limit, the limits are crossed, the rounding
   *     interval is not positive, or the guard band is negative
   */
  public Tolerance {
    if (lower == null && upper == null) {
      throw new IllegalArgumentException("a tolerance needs a lower or an upper limit; give one");
    }
    if (roundingInterval != null) {
      Decimals.requirePositive("a rounding interval", roundingInterval);
    }
    if (guardBand.signum() < 0) {
      throw new IllegalArgumentException(
          "a guard band must be 0 or more, was "
              + Decimals.of(guardBand)
              + "; use 0 for simple acceptance");
    }
    if (lower != null && upper != null && lower.compareTo(upper) > 0) {
      throw new IllegalArgumentException(
          "the lower limit " + lower + " is above the upper limit " + upper + "; exchange them");
    }
  }

  /** Returns a tolerance with two limits, the absolute method and no guard band. */
  public static Tolerance between(BigDecimal lower, BigDecimal upper, Unit unit) {
    return new Tolerance(lower, upper, unit, null, BigFraction.ZERO);
  }

  /** Returns a tolerance with a lower limit only, the absolute method and no guard band. */
  public static Tolerance atLeast(BigDecimal lower, Unit unit) {
    return new Tolerance(lower, null, unit, null, BigFraction.ZERO);
  }

  /** Returns a tolerance with an upper limit only, the absolute method and no guard band. */
  public static Tolerance atMost(BigDecimal upper, Unit unit) {
    return new Tolerance(null, upper, unit, null, BigFraction.ZERO);
  }

  /** Returns the same limits under the rounding method. */
  public Tolerance roundedTo(BigDecimal interval) {
    return new Tolerance(lower, upper, unit, interval, guardBand);
  }

  /** Returns the same limits with a guard band. */
  public Tolerance guardedBy(BigDecimal width) {
    return guardedBy(Decimals.fraction(width));
  }

  /** Returns the same limits with a guard band that need not be a decimal. */
  public Tolerance guardedBy(BigFraction width) {
    return new Tolerance(lower, upper, unit, roundingInterval, width);
  }

  /** Returns the lowest value that passes, {@code lower + w}; null if there is no lower limit. */
  public @Nullable BigFraction acceptanceLower() {
    return lower == null ? null : Decimals.fraction(lower).add(guardBand);
  }

  /** Returns the highest value that passes, {@code upper - w}; null if there is no upper limit. */
  public @Nullable BigFraction acceptanceUpper() {
    return upper == null ? null : Decimals.fraction(upper).subtract(guardBand);
  }

  /**
   * Says whether the guard bands take up all there is between two limits: w is half of it or more.
   */
  public boolean guardBandsMeet() {
    BigFraction least = acceptanceLower();
    BigFraction greatest = acceptanceUpper();
    return guardBand.signum() > 0
        && least != null
        && greatest != null
        && Decimals.compare(least, greatest) >= 0;
  }

  /**
   * Judges a value.
   *
   * @throws UnitMismatchException if the unit measures something else than the limits
   */
  public Judgement judge(BigDecimal value, Unit unitOfValue) {
    BigFraction converted = Unit.convert(value, unitOfValue, unit);
    BigDecimal rounded =
        roundingInterval == null ? null : Rounding.HALF_EVEN.round(converted, roundingInterval);
    BigFraction compared = rounded == null ? converted : Decimals.fraction(rounded);
    Judgement byLower = null;
    if (lower != null) {
      BigFraction margin = compared.subtract(Decimals.fraction(lower));
      Verdict verdict = verdict(margin, Verdict.FAIL_BELOW);
      byLower = new Judgement(verdict, converted, rounded, Side.LOWER, lower, margin);
    }
    if (upper != null) {
      BigFraction margin = Decimals.fraction(upper).subtract(compared);
      if (byLower == null || Decimals.compare(margin, byLower.margin()) < 0) {
        Verdict verdict = verdict(margin, Verdict.FAIL_ABOVE);
        return new Judgement(verdict, converted, rounded, Side.UPPER, upper, margin);
      }
    }
    return Objects.requireNonNull(byLower, "one limit is always there");
  }

  private Verdict verdict(BigFraction margin, Verdict outside) {
    if (margin.signum() < 0) {
      return outside;
    }
    boolean guarded = Decimals.compare(margin, guardBand) < 0;
    return guarded ? Verdict.CONDITIONAL : Verdict.PASS;
  }
}
