package org.tarebook.check;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
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
   * What the checks on record say of instruments, in two queries whatever their number. Take the
   * lock of their stations first to be sure that it stays so.
   *
   * @param plan says how often they are to be checked
   * @return a state for every id given
   */
  public Map<Long, InstrumentState> states(Plan plan, Collection<Long> instrumentIds) {
    Map<Long, InstrumentState> states = new HashMap<>();
    Map<Long, Instant> lastRight = doubts.lastRight(instrumentIds);
    CheckPlan checkPlan = checkPlan(plan);
    doubts
        .doubts(instrumentIds)
        .forEach(
            (id, known) ->
                states.put(
                    id,
                    new InstrumentState(
                        known.all(),
                        checkPlan
                            .every(plan.instruments().get(id))
                            .map(every -> due(lastRight.get(id), every))
                            .orElse(null))));
    return states;
  }

  /** How an instrument stands now. */
  InstrumentStanding standing(Instrument instrument) {
    Plan plan = plans.current();
    List<Long> id = List.of(instrument.id());
    return InstrumentStanding.of(
        instrument.code(),
        states(plan, id).getOrDefault(instrument.id(), new InstrumentState(List.of(), null)),
        doubts.lastRight(id).get(instrument.id()),
        checkPlan(plan).every(instrument),
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
