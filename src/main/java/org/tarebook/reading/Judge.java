package org.tarebook.reading;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Plan;
import org.tarebook.check.InstrumentState;
import org.tarebook.quantity.Judgement;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Specification;

/**
 * Judges readings: by the specification in force when they were measured, in exact arithmetic,
 * limits inclusive, in the unit the limits were written in. What cannot be judged is not judged and
 * says why.
 */
final class Judge {

  private Judge() {}

  static Reading.Judged judge(
      Plan plan,
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
    if (instrument != null && instrument.failedAt(measuredAt).isPresent()) {
      return Reading.Judged.not(NotJudged.INSTRUMENT_FAILED);
    }
    return bySpecification(plan, characteristic, shown, value, measuredAt);
  }

  /** Judges a reading again that had a value and a sound instrument. */
  static Reading.Judged bySpecification(
      Plan plan,
      Characteristic characteristic,
      Reading.Shown shown,
      BigDecimal value,
      Instant measuredAt) {
    Optional<Specification> specification = plan.inForce(characteristic, measuredAt);
    if (specification.isEmpty()) {
      return Reading.Judged.not(NotJudged.NO_SPECIFICATION);
    }
    Judgement judgement = specification.get().limits().tolerance().judge(value, shown.unit());
    long id = specification.get().id();
    return switch (judgement.verdict()) {
      case PASS -> new Reading.Judged(Result.PASS, null, null, id);
      case CONDITIONAL -> new Reading.Judged(Result.CONDITIONAL, side(judgement), null, id);
      case FAIL_BELOW -> new Reading.Judged(Result.FAIL, Direction.BELOW, null, id);
      case FAIL_ABOVE -> new Reading.Judged(Result.FAIL, Direction.ABOVE, null, id);
    };
  }

  private static Direction side(Judgement judgement) {
    return switch (judgement.nearest()) {
      case LOWER -> Direction.BELOW;
      case UPPER -> Direction.ABOVE;
    };
  }
}
