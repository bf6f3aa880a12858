package org.tarebook.reading;

import java.util.List;
import java.util.Map;
import org.tarebook.chart.Plan;
import org.tarebook.check.InstrumentState;

/**
 * What became of postings that were taken in together.
 *
 * @param plan by which they were understood; it was current while they were stored
 * @param instruments how the instruments of new readings stood then, by their ids
 * @param outcomes one a posting, in order
 */
public record Recorded(Plan plan, Map<Long, InstrumentState> instruments, List<Outcome> outcomes) {}
