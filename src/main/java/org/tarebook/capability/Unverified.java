package org.tarebook.capability;

import java.time.Instant;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.tarebook.chart.Plan;
import org.tarebook.check.InstrumentChecks;
import org.tarebook.control.ChartedWindows;
import org.tarebook.control.Part;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.control.Summary;
import org.tarebook.plant.Instrument;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.reading.ReadingWindow.Row;

/**
 * Since when instruments are not verified, and how many readings were taken with one since. Each
 * instrument is asked for once.
 */
final class Unverified {

  private final Plan plan;
  private final InstrumentChecks checks;
  private final ChartedWindows windows;
  private final Set<Long> known = new HashSet<>();
  private final Map<Long, Instant> since = new HashMap<>();

  Unverified(Plan plan, InstrumentChecks checks, ChartedWindows windows) {
    this.plan = plan;
    this.checks = checks;
    this.windows = windows;
  }

  /**
   * Since when the instruments of a line are not verified; those that are verified are left out.
   */
  Map<Long, Instant> since(long lineId) {
    return since(
        plan.instruments().all().stream()
            .filter(each -> plan.stations().get(each.stationId()).lineId() == lineId)
            .map(Instrument::id)
            .collect(Collectors.toSet()));
  }

  /** The same of some instruments. */
  private Map<Long, Instant> since(Set<Long> instruments) {
    Set<Long> unknown = new HashSet<>(instruments);
    unknown.removeAll(known);
    checks
        .states(plan, unknown)
        .forEach((id, state) -> state.unverifiedFrom().ifPresent(from -> since.put(id, from)));
    known.addAll(unknown);
    Map<Long, Instant> wanted = new HashMap<>(since);
    wanted.keySet().retainAll(instruments);
    return wanted;
  }

  /** How many readings of a window were taken with an instrument that was not verified. */
  long count(SummarisedWindow window) {
    Set<Long> instruments = new HashSet<>();
    window.summary().shown().keySet().stream()
        .flatMap(source -> Optional.ofNullable(source.instrument()).stream())
        .forEach(instruments::add);
    Map<Long, Instant> from = since(instruments);
    return window.parts().stream().mapToLong(part -> count(window, part, from)).sum();
  }

  private long count(SummarisedWindow window, Part part, Map<Long, Instant> since) {
    long count = 0;
    for (Map.Entry<Summary.Source, Summary.Shown> each : part.summary().shown().entrySet()) {
      Summary.Shown shown = each.getValue();
      Instant from = since.get(each.getKey().instrument());
      if (from != null && shown.first().isBefore(from) && !shown.last().isBefore(from)) {
        ReadingWindow.Asked own = window.asked().over(part.from(), part.before());
        return windows.read(plan, own, window.stratum()).readings().stream()
            .filter(row -> isUnverified(row, since))
            .count();
      }
      count += from == null || shown.first().isBefore(from) ? 0 : shown.values().count();
    }
    return count;
  }

  private static boolean isUnverified(Row row, Map<Long, Instant> since) {
    Instant from = since.get(row.instrumentId());
    return from != null && !row.measuredAt().isBefore(from);
  }
}
