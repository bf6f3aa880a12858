package org.tarebook.check;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.Optional;
import org.apache.commons.numbers.fraction.BigFraction;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.InstrumentRevision;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.quantity.WeighingRange;

/**
 * The largest error a check lets pass, plus and minus, the limit itself included.
 *
 * @param value greater than 0, in the unit it was written in
 * @param unit of the value, as a difference: one degree is one step of the scale
 * @param from what set it, in words
 */
record PermissibleError(BigDecimal value, Unit unit, String from) {

  /**
   * Upwards, so that a load just above a step of the table, or above Max, stays above it; the steps
   * themselves have far fewer digits.
   */
  private static final MathContext LOAD = new MathContext(40, RoundingMode.CEILING);

  PermissibleError {
    value = Decimals.plain(value);
  }

  /**
   * The limit for a check: what the control plan permits, or what OIML R 76 permits a scale of its
   * class at this load, whichever is smaller.
   *
   * @param planned what the control plan permits, if anything
   * @param scale what the instrument could show when it was checked
   * @param certified value of the standard, in the unit of the instrument
   * @param onVerification whether the errors on initial verification apply; in service they are
   *     double
   * @throws Problem if neither is known, the load is not one of the scale's, or an instrument
   *     without a class is to be verified
   */
  static PermissibleError choose(
      Optional<PermissibleError> planned,
      Instrument instrument,
      InstrumentRevision.Scale scale,
      BigFraction certified,
      boolean onVerification) {
    Optional<PermissibleError> byClass =
        byClass(scale, instrument.unit(), certified, onVerification);
    if (onVerification && byClass.isEmpty()) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/onVerification",
          "needs a scale with accuracyClass, verificationInterval and capacity, and "
              + instrument.code()
              + " was without when it was checked; leave it out, or record a revision of the scale"
              + " with them first");
    }
    return planned
        .map(first -> byClass.map(first::orSmaller).orElse(first))
        .or(() -> byClass)
        .orElseThrow(() -> unknown(instrument));
  }

  /** The limit in another unit, exactly. */
  BigFraction in(Unit other) {
    return Decimals.fraction(value).multiply(unit.factorTo(other));
  }

  /** The smaller of two limits; this one where they are equal. */
  PermissibleError orSmaller(PermissibleError other) {
    return Decimals.compare(other.in(unit), Decimals.fraction(value)) < 0 ? other : this;
  }

  private static Optional<PermissibleError> byClass(
      InstrumentRevision.Scale scale, Unit unit, BigFraction certified, boolean onVerification) {
    return scale
        .weighingRange(unit)
        .map(
            range ->
                new PermissibleError(
                    error(range, certified, onVerification),
                    range.unit(),
                    "OIML R 76 class "
                        + range.accuracyClass()
                        + (onVerification ? " on verification" : " in service")));
  }

  private static BigDecimal error(
      WeighingRange range, BigFraction certified, boolean onVerification) {
    BigDecimal load =
        new BigDecimal(certified.getNumerator())
            .divide(new BigDecimal(certified.getDenominator()), LOAD);
    try {
      return onVerification ? range.errorOnVerification(load) : range.errorInService(load);
    } catch (IllegalArgumentException notOfThisScale) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, "/standardValue", String.valueOf(notOfThisScale.getMessage()));
    }
  }

  private static Problem unknown(Instrument instrument) {
    return Problem.at(
        ProblemType.RULE_BROKEN,
        "/instrument",
        "has no limit of error to be checked against: give a control-plan row in use on the line of "
            + instrument.code()
            + " whose characteristic is measured in "
            + instrument.unit().kind().label()
            + " a permissibleError, or record a revision of the scale with accuracyClass,"
            + " verificationInterval and capacity");
  }
}
