package org.tarebook.reading;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Plan;
import org.tarebook.check.InstrumentState;
import org.tarebook.plant.Instrument;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Judgement;
import org.tarebook.quantity.Side;
import org.tarebook.quantity.Tolerance;
import org.tarebook.quantity.Unit;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Specification;

/**
 * Judges readings: by the specification in force when they were measured, in exact arithmetic,
 * limits inclusive, in the unit the limits were written in; under guarded acceptance with the
 * measuring uncertainty of the station that was in force then. A censored value is judged where the
 * bound decides. What cannot be judged is not judged and says why.
 */
final class Judge {

  private Judge() {}

  static Reading.Judged judge(
      Plan plan,
      long stationId,
      Characteristic characteristic,
      Reading.Shown shown,
      Instant measuredAt,
      @Nullable InstrumentState instrument) {
    Set<Flag> flags = shown.flags();
    if (flags.contains(Flag.OVERLOAD)) {
      return Reading.Judged.not(NotJudged.OVERLOAD);
    }
    BigDecimal value = shown.value();
    if (flags.contains(Flag.UNDER) || value == null) {
      return Reading.Judged.not(NotJudged.UNDER);
    }
    if (flags.contains(Flag.UNSTABLE)) {
      return Reading.Judged.not(NotJudged.UNSTABLE);
    }
    if (aboveCapacity(plan, shown, measuredAt)) {
      return Reading.Judged.not(NotJudged.ABOVE_CAPACITY);
    }
    if (instrument != null && instrument.failedAt(measuredAt).isPresent()) {
      return Reading.Judged.not(NotJudged.INSTRUMENT_FAILED);
    }
    return bySpecification(plan, stationId, characteristic, shown, value, measuredAt);
  }

  /** Whether more lay on an instrument than it can weigh, so that the value shown means little. */
  private static boolean aboveCapacity(Plan plan, Reading.Shown shown, Instant measuredAt) {
    BigDecimal weighed = shown.gross() != null ? shown.gross() : shown.value();
    if (shown.instrumentId() == null || weighed == null) {
      return false;
    }
    Instrument instrument = plan.instruments().get(shown.instrumentId());
    BigDecimal most = plan.scale(instrument, measuredAt).capacity();
    return most != null
        && shown.unit().sameKindAs(instrument.unit())
        && Decimals.compare(
                Unit.convert(weighed, shown.unit(), instrument.unit()), Decimals.fraction(most))
            > 0;
  }

  /** Judges a reading again that had a value and a sound instrument. */
  static Reading.Judged bySpecification(
      Plan plan,
      long stationId,
      Characteristic characteristic,
      Reading.Shown shown,
      BigDecimal value,
      Instant measuredAt) {
    Optional<Specification> specification = plan.inForce(characteristic, measuredAt);
    if (specification.isEmpty()) {
      return Reading.Judged.not(NotJudged.NO_SPECIFICATION);
    }
    Specification.Limits limits = specification.get().limits();
    long id = specification.get().id();
    if (limits.decisionRule() == Specification.DecisionRule.SIMPLE) {
      return judged(limits.tolerance(), value, shown, id, null);
    }
    return plan.uncertainty(stationId, characteristic, measuredAt)
        .map(
            uncertainty ->
                judged(limits.tolerance(uncertainty), value, shown, id, uncertainty.id()))
        .orElseGet(() -> Reading.Judged.not(NotJudged.NO_UNCERTAINTY, id));
  }

  private static Reading.Judged judged(
      Tolerance tolerance,
      BigDecimal value,
      Reading.Shown shown,
      long specification,
      @Nullable Long uncertainty) {
    Judgement judgement = tolerance.judge(value, shown.unit());
    if (shown.censored() != null && !decides(shown.censored(), tolerance, judgement)) {
      return Reading.Judged.not(NotJudged.CENSORED, specification);
    }
    return judged(judgement, specification, uncertainty);
  }

  /** Whether a bound decides: it fails already, or nothing on its open side can fail. */
  private static boolean decides(Censored censored, Tolerance tolerance, Judgement judgement) {
    boolean above = censored.open() == Side.UPPER;
    return switch (judgement.verdict()) {
      case PASS -> (above ? tolerance.upper() : tolerance.lower()) == null;
      case FAIL_ABOVE -> above;
      case FAIL_BELOW -> !above;
      case CONDITIONAL -> false;
    };
  }

  private static Reading.Judged judged(
      Judgement judgement, long specification, @Nullable Long uncertainty) {
    return switch (judgement.verdict()) {
      case PASS -> new Reading.Judged(Result.PASS, null, null, specification, uncertainty);
      case CONDITIONAL ->
          new Reading.Judged(Result.CONDITIONAL, side(judgement), null, specification, uncertainty);
      case FAIL_BELOW ->
          new Reading.Judged(Result.FAIL, Direction.BELOW, null, specification, uncertainty);
      case FAIL_ABOVE ->
          new Reading.Judged(Result.FAIL, Direction.ABOVE, null, specification, uncertainty);
    };
  }

  private static Direction side(Judgement judgement) {
    return switch (judgement.nearest()) {
      case LOWER -> Direction.BELOW;
      case UPPER -> Direction.ABOVE;
    };
  }
}
