package org.tarebook.check;

import java.time.Duration;
import java.time.Instant;
import java.util.Collection;
import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.chart.Plan;

/** What the checks on record say of instruments, for whoever judges or counts their readings. */
@Service
public class InstrumentStates {

  private final DoubtStore doubts;
  private volatile @Nullable CheckPlan heldPlan;

  InstrumentStates(DoubtStore doubts) {
    this.doubts = doubts;
  }

  /**
   * What the checks on record say of instruments, in two queries whatever their number. Take the
   * lock of their stations first to be sure that it stays so.
   *
   * @param plan says how often they are to be checked
   * @return a state for every id given
   */
  public Map<Long, InstrumentState> of(Plan plan, Collection<Long> instrumentIds) {
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
