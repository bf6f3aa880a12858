package org.tarebook.control;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Signals of a chart as they stand and as they should, in a form that can be compared. */
final class ComparedSignals {

  private ComparedSignals() {}

  /** The signals that stand on record, each under the last reading of its point. */
  static List<String> stored(
      RunningTarebook tarebook, ChartBench bench, Instant from, Instant before) {
    Plan plan = tarebook.bean(Plans.class).current();
    Chart chart = plan.charts().find(bench.chart()).orElseThrow();
    Map<Long, Long> last = new HashMap<>();
    for (Point point : tarebook.bean(ChartedWindows.class).points(plan, chart, from, before)) {
      point.completing().forEach(reading -> last.put(reading, point.lastReading()));
    }
    List<String> signals = new ArrayList<>();
    String path = "/api/v1/signals?limit=1000&chart=" + bench.chart();
    for (JsonNode signal : bench.engineer().get(path).expect(200).at("/items")) {
      signals.add(
          signal.at("/limitSet").asString()
              + " "
              + signal.at("/stratum").asString()
              + " "
              + signal.at("/rule").asString()
              + " "
              + signal.at("/side").asString()
              + " "
              + last.getOrDefault(signal.at("/completedBy").asLong(), 0L));
    }
    return signals.stream().sorted().toList();
  }

  /** The signals of a window by its points and the limits in force, computed at once. */
  static List<String> recomputed(
      RunningTarebook tarebook, ChartBench bench, Instant from, Instant before) {
    Plan plan = tarebook.bean(Plans.class).current();
    Chart chart = plan.charts().find(bench.chart()).orElseThrow();
    LimitsInForce limits = tarebook.bean(LimitSets.class).of(chart);
    return tarebook.bean(ChartedWindows.class).points(plan, chart, from, before).stream()
        .collect(Collectors.groupingBy(Point::stratum, TreeMap::new, Collectors.toList()))
        .entrySet()
        .stream()
        .flatMap(
            each ->
                limits.broken(chart.cut(), each.getValue()).stream()
                    .map(
                        broken ->
                            broken.set().code()
                                + " "
                                + each.getKey()
                                + " "
                                + broken.found().rule()
                                + " "
                                + broken.found().side()
                                + " "
                                + broken.found().completing().lastReading()))
        .sorted()
        .toList();
  }
}
