package org.tarebook.segment;

import java.io.PrintStream;
import java.util.List;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.storage.Command;

/** The command {@code check-segments}: it changes nothing and may run beside the service. */
@Component
class CheckSegments implements Command {

  private final SegmentBuilder builder;
  private final SegmentCheck check;

  CheckSegments(SegmentBuilder builder, SegmentCheck check) {
    this.builder = builder;
    this.check = check;
  }

  @Override
  public String name() {
    return "check-segments";
  }

  @Override
  public String usage() {
    return "[chart ...]: compares the summaries of charts, or of all, with their readings";
  }

  @Override
  public void run(List<String> arguments, PrintStream progress) {
    List<Chart> charts = RebuildSegments.wanted(builder.charts(), arguments);
    SegmentCheck.Found all = new SegmentCheck.Found(0, 0, List.of());
    for (int i = 0; i < charts.size(); i++) {
      Chart chart = charts.get(i);
      SegmentCheck.Found found = check.check(chart);
      all = all.plus(found);
      progress.printf(
          "%d of %d: %s, %,d segments compared, %,d stale, %,d wrong%n",
          i + 1,
          charts.size(),
          chart.code(),
          found.segments(),
          found.stale(),
          found.differences().size());
      found.differences().forEach(each -> progress.println("  " + each));
    }
    if (!all.differences().isEmpty()) {
      throw new Command.Refused(
          "%,d segment(s) differ from their readings; rebuild-segments builds them again, and the cause should be found."
              .formatted(all.differences().size()));
    }
    progress.printf("All %,d segments agree with their readings.%n", all.segments());
  }
}
