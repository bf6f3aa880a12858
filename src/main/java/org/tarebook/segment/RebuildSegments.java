package org.tarebook.segment;

import java.io.PrintStream;
import java.util.List;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.storage.Command;

/**
 * The command {@code rebuild-segments}. It may be interrupted: what is not built again is read from
 * readings meanwhile, and the running service builds it.
 */
@Component
class RebuildSegments implements Command {

  private final SegmentBuilder builder;

  RebuildSegments(SegmentBuilder builder) {
    this.builder = builder;
  }

  @Override
  public String name() {
    return "rebuild-segments";
  }

  @Override
  public String usage() {
    return "[chart ...]: builds the summaries of charts, or of all, from their readings";
  }

  @Override
  public void run(List<String> arguments, PrintStream progress) {
    List<Chart> charts = wanted(builder.charts(), arguments);
    for (int i = 0; i < charts.size(); i++) {
      Chart chart = charts.get(i);
      builder.forget(chart);
      long built = builder.build(chart);
      progress.printf("%d of %d: %s, %,d segments%n", i + 1, charts.size(), chart.code(), built);
    }
  }

  /** The charts that arguments name, or all. */
  static List<Chart> wanted(List<Chart> charts, List<String> codes) {
    for (String code : codes) {
      if (charts.stream().noneMatch(chart -> chart.code().equals(code))) {
        throw new Command.Refused(
            "There is no chart " + code + "; name charts by their codes, or none for all.");
      }
    }
    return codes.isEmpty()
        ? charts
        : charts.stream().filter(chart -> codes.contains(chart.code())).toList();
  }
}
