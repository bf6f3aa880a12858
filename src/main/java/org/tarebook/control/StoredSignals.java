package org.tarebook.control;

import java.time.Instant;
import java.util.Collection;
import java.util.List;

/** The signals that stand by one way of cutting readings into shifts. */
interface StoredSignals {

  /** Those of a chart completed in a window, in order. */
  List<Signal> standing(long chartId, Instant from, Instant before);

  /** Those of a stratum that some readings completed. */
  List<Signal> standingCompletedBy(long chartId, String stratum, Collection<Long> readingIds);

  /**
   * Takes back what no longer holds and adds what was found.
   *
   * @param version of the chart's lock, which is held
   */
  void replace(List<Signal> wrong, List<Signal> raised, Instant now, long version);
}
