package org.tarebook.segment;

import java.util.ArrayList;
import java.util.List;
import org.tarebook.chart.Chart;
import org.tarebook.fixtures.RunningTarebook;

/** The segments of every chart, compared with the readings they stand for. */
public record CheckedSegments(long compared, List<String> differences) {

  /** Compares them as a service finds them. */
  public static CheckedSegments of(RunningTarebook tarebook) {
    long compared = 0;
    List<String> differences = new ArrayList<>();
    for (Chart chart : tarebook.bean(SegmentBuilder.class).charts()) {
      SegmentCheck.Found found = tarebook.bean(SegmentCheck.class).check(chart);
      compared += found.segments();
      differences.addAll(found.differences());
    }
    return new CheckedSegments(compared, differences);
  }
}
