package org.tarebook.check;

import java.time.Duration;
import java.time.Instant;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Instrument;

/** The checks of instruments, and what they say of each instrument. */
@Service
public class InstrumentChecks {

  private final CheckStore store;
  private volatile @Nullable CheckPlan heldPlan;

  InstrumentChecks(CheckStore store) {
    this.store = store;
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
    if (instrumentIds.isEmpty()) {
      return states;
    }
    Map<Long, List<Doubt>> doubts = store.doubts(instrumentIds);
    Map<Long, Instant> lastRight = store.lastRight(instrumentIds);
    CheckPlan checkPlan = checkPlan(plan);
    for (long id : instrumentIds) {
      Instrument instrument = plan.instruments().get(id);
      Optional<Duration> every = checkPlan.every(instrument);
      Instant right = lastRight.get(id);
      Instant due =
          every.map(interval -> right == null ? Instant.EPOCH : right.plus(interval)).orElse(null);
      states.put(id, new InstrumentState(doubts.getOrDefault(id, List.of()), due));
    }
    return states;
  }

  private CheckPlan checkPlan(Plan plan) {
    CheckPlan held = heldPlan;
    if (held == null || held.plan() != plan) {
      held = new CheckPlan(plan);
      heldPlan = held;
    }
    return held;
  }
}
