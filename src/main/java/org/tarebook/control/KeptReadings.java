package org.tarebook.control;

import java.time.Instant;
import java.util.List;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Plan;
import org.tarebook.reading.ReadingWindow;

/** The readings that count of whole shifts, kept where they are read faster than in the record. */
public interface KeptReadings {

  /**
   * A stretch of a window.
   *
   * @param readings that count, by measuring time, then id; absent where only the record tells them
   */
  record Stretch(Instant from, Instant before, @Nullable List<ReadingWindow.Row> readings) {}

  /**
   * Tells the stretches of a window of whole shifts, in order, few at a time; outside them it holds
   * no reading. In the caller's snapshot, or under the chart's lock.
   */
  void read(Plan plan, ReadingWindow.Asked asked, Consumer<Stretch> each);
}
