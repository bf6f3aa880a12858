package org.tarebook.spec;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.time.Instant;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;

/**
 * One revision of how uncertain a station measures a characteristic. It is never edited: it holds
 * from its start until the next one begins, and a wrong one is withdrawn by a later fact.
 *
 * @param revision counted from 1 within station and characteristic
 * @param key the sender's own key
 * @param validFrom the first moment it holds for
 * @param expanded U, half the width of the interval about a reading that holds the true value with
 *     the confidence the coverage factor stands for; in unit
 * @param unit a unit of the characteristic's kind; a temperature's is how far two are apart
 * @param coverageFactor k, the expanded over the standard uncertainty
 * @param basis where it comes from, in words
 * @param fromStudy whether it was computed from a crossed study that is stored with it
 * @param withdrawal why it does not stand; absent while it does
 */
public record MeasuringUncertainty(
    long id,
    long stationId,
    long characteristicId,
    int revision,
    String key,
    Instant validFrom,
    BigDecimal expanded,
    Unit unit,
    BigDecimal coverageFactor,
    String basis,
    boolean fromStudy,
    String person,
    Instant recordedAt,
    @Nullable Withdrawal withdrawal) {

  private static final MathContext WITHOUT_BINARY_DUST =
      new MathContext(12, RoundingMode.HALF_EVEN);
  private static final MathContext THREE_DIGITS_UP = new MathContext(3, RoundingMode.CEILING);

  /** The later fact that it was wrong. */
  public record Withdrawal(String reason, String person, Instant recordedAt) {}

  /** Whether it stands. */
  public boolean stands() {
    return withdrawal == null;
  }

  /** U in another unit of the kind, exactly. It is a difference: no zero of a scale moves it. */
  public BigFraction expandedIn(Unit wanted) {
    return Decimals.fraction(expanded).multiply(unit.factorTo(wanted));
  }

  /**
   * A computed uncertainty as it is recorded: three significant digits, rounded up, so that it is
   * never smaller than what was found (JCGM 100:2008, 7.2.6), and at most nine decimals.
   */
  static BigDecimal recorded(double found) {
    BigDecimal up = new BigDecimal(found).round(WITHOUT_BINARY_DUST).round(THREE_DIGITS_UP);
    return Decimals.plain(
        up.scale() > Decimals.MOST_DECIMALS
            ? up.setScale(Decimals.MOST_DECIMALS, RoundingMode.CEILING)
            : up);
  }
}
