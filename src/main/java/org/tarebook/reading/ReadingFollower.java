package org.tarebook.reading;

import java.time.Instant;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;

/**
 * A feature above that must act in the same transaction when the readings of a chart change, and
 * may have something to say of a reading. Called after the readings are written, under the chart's
 * lock.
 */
public interface ReadingFollower {

  /**
   * Some readings of a chart were added, or count now where they did not, or the reverse.
   *
   * @param from measuring time of the earliest of them
   * @param last measuring time of the latest of them
   */
  record Change(Chart chart, Instant from, Instant last) {}

  /** Acts on changes, at least one for each chart touched. */
  void changed(Plan plan, Collection<Change> changes);

  /** What it has to say of readings, by their ids. */
  Map<Long, List<Notice>> notices(Collection<Long> readingIds);
}
