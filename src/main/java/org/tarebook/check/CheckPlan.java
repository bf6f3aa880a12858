package org.tarebook.check;

import java.time.Duration;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Instrument;
import org.tarebook.quantity.Kind;

/**
 * What the control plan asks of checks. The rows in use on the line of an instrument whose
 * characteristic is measured in the same kind of unit apply to it; the strictest of them counts.
 */
final class CheckPlan {

  private final Plan plan;
  private final Map<Place, PermissibleError> smallestError = new HashMap<>();
  private final Map<Place, Duration> shortestInterval = new HashMap<>();

  private record Place(long lineId, Kind kind) {}

  CheckPlan(Plan plan) {
    this.plan = plan;
    List<Chart> inUse =
        plan.charts().all().stream()
            .filter(chart -> !chart.retired())
            .sorted(Comparator.comparing(Chart::code))
            .toList();
    for (Chart chart : inUse) {
      Kind kind = plan.characteristics().get(chart.characteristicId()).unit().kind();
      Place place = new Place(chart.lineId(), kind);
      Chart.Checking checking = chart.checking();
      if (checking.permissibleError() != null && checking.unit() != null) {
        smallestError.merge(
            place,
            new PermissibleError(
                checking.permissibleError(), checking.unit(), "control plan " + chart.code()),
            PermissibleError::orSmaller);
      }
      if (checking.every() != null) {
        shortestInterval.merge(
            place, checking.every(), (one, other) -> one.compareTo(other) <= 0 ? one : other);
      }
    }
  }

  /** The plan it was read from. */
  Plan plan() {
    return plan;
  }

  /** The error the control plan permits an instrument. */
  Optional<PermissibleError> permissibleError(Instrument instrument) {
    return Optional.ofNullable(smallestError.get(place(instrument)));
  }

  /** How often an instrument is to be checked at least. */
  Optional<Duration> every(Instrument instrument) {
    return Optional.ofNullable(shortestInterval.get(place(instrument)));
  }

  private Place place(Instrument instrument) {
    return new Place(
        plan.stations().get(instrument.stationId()).lineId(), instrument.unit().kind());
  }
}
