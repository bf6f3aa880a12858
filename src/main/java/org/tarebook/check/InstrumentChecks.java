package org.tarebook.check;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.plant.Instrument;

/** The checks of instruments, and what they say of each instrument. */
@Service
public class InstrumentChecks {

  private final DoubtStore doubts;
  private final Plans plans;
  private final Clock clock;
  private volatile @Nullable CheckPlan heldPlan;

  InstrumentChecks(DoubtStore doubts, Plans plans, Clock clock) {
    this.doubts = doubts;
    this.plans = plans;
    this.clock = clock;
  }

  /**
   * What the checks on record say of instruments, in one query whatever their number. Take the lock
   * of their stations first to be sure that it stays so.
   *
   * @param plan says how often they are to be checked
   * @return a state for every id given
   */
  public Map<Long, InstrumentState> states(Plan plan, Collection<Long> instrumentIds) {
    Map<Long, InstrumentState> states = new HashMap<>();
    CheckPlan checkPlan = checkPlan(plan);
    doubts
        .known(instrumentIds)
        .forEach((id, known) -> states.put(id, state(plan, checkPlan, id, known)));
    return states;
  }

  private static InstrumentState state(
      Plan plan, CheckPlan checkPlan, long id, DoubtStore.Known known) {
    return new InstrumentState(
        known.doubts().all(),
        checkPlan
            .every(plan.instruments().get(id))
            .map(every -> due(known.lastRight(), every))
            .orElse(null));
  }

  /** Adds to what a change of doubts has come to with readings, in the transaction that did it. */
  public void addEffect(DoubtedReadings.By by, DoubtedReadings.Effect more) {
    doubts.addEffect(by, more);
  }

  /** How an instrument stands now. */
  InstrumentStanding standing(Instrument instrument) {
    Plan plan = plans.current();
    CheckPlan checkPlan = checkPlan(plan);
    long id = instrument.id();
    DoubtStore.Known known = Objects.requireNonNull(doubts.known(List.of(id)).get(id));
    return InstrumentStanding.of(
        instrument.code(),
        state(plan, checkPlan, id, known),
        known.lastRight(),
        checkPlan.every(instrument),
        clock.instant());
  }

  /** What the control plan asks of checks. */
  CheckPlan checkPlan(Plan plan) {
    CheckPlan held = heldPlan;
    if (held == null || held.plan() != plan) {
      held = new CheckPlan(plan);
      heldPlan = held;
    }
    return held;
  }

  private static Instant due(@Nullable Instant lastRight, Duration every) {
    return lastRight == null ? Instant.EPOCH : lastRight.plus(every);
  }
}
