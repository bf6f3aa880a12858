package org.tarebook.capability;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Tolerance;
import org.tarebook.quantity.Unit;
import org.tarebook.quantity.Verdict;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.stats.Interval;
import org.tarebook.stats.Proportion;

/**
 * Readings counted out of tolerance, each judged exactly in the unit it was shown in.
 *
 * @param below how many lie below the lower limit
 * @param above how many lie above the upper limit
 * @param readings how many there are
 */
record OutOfTolerance(long below, long above, long readings) {

  private record Value(long nanos, Unit unit) {}

  static OutOfTolerance count(List<Row> readings, Tolerance tolerance) {
    Map<Value, Verdict> verdicts = new HashMap<>();
    long below = 0;
    long above = 0;
    for (Row row : readings) {
      Verdict verdict =
          verdicts.computeIfAbsent(
              new Value(row.nanos(), row.unit()),
              value ->
                  tolerance.judge(Decimals.fromNanos(value.nanos(), 0), value.unit()).verdict());
      below += verdict == Verdict.FAIL_BELOW ? 1 : 0;
      above += verdict == Verdict.FAIL_ABOVE ? 1 : 0;
    }
    return new OutOfTolerance(below, above, readings.size());
  }

  /** As shares with their intervals; there must be a reading. */
  Study.Outside shares(double confidence) {
    return new Study.Outside(
        share(below, confidence), share(above, confidence), share(below + above, confidence));
  }

  private Study.Share share(long counted, double confidence) {
    Proportion.Count count = new Proportion.Count(counted, readings);
    Interval interval = Proportion.clopperPearson(count, confidence);
    return new Study.Share(counted, count.share(), interval.lower(), interval.upper());
  }
}
