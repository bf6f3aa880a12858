package org.tarebook.control;

import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plans;
import org.tarebook.reading.Notice;

/** Tells the person at the station that a reading completed a signal, and what to do. */
@Component
class SignalNotices {

  private final SignalStore store;
  private final LimitSetStore limitSets;
  private final Plans plans;

  SignalNotices(SignalStore store, LimitSetStore limitSets, Plans plans) {
    this.store = store;
    this.limitSets = limitSets;
    this.plans = plans;
  }

  /** The notices of readings that completed standing signals. */
  Map<Long, List<Notice>> of(Collection<Long> readingIds) {
    Map<Long, List<Notice>> notices = new HashMap<>();
    for (Signal signal : store.completedBy(readingIds)) {
      Chart chart = plans.current().charts().get(signal.chartId());
      LimitSet set = limitSets.byId(signal.limitSetId());
      notices
          .computeIfAbsent(signal.completedBy(), id -> new ArrayList<>())
          .add(
              new Notice(
                  Notice.Code.SIGNAL,
                  SignalWords.of(chart, signal, set)
                      + " Follow the control plan: "
                      + chart.practice().response()));
    }
    return notices;
  }
}
