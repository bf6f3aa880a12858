package org.tarebook.capability;

import java.util.EnumMap;
import java.util.Map;
import org.tarebook.control.Summary;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Tolerance;
import org.tarebook.quantity.Verdict;
import org.tarebook.stats.Interval;
import org.tarebook.stats.OneWayAnova;
import org.tarebook.stats.Proportion;
import org.tarebook.stats.SubgroupSums;

/**
 * Readings counted out of tolerance, each judged exactly in the unit it was shown in.
 *
 * @param below how many lie below the lower limit
 * @param above how many lie above the upper limit
 * @param readings how many there are
 */
record OutOfTolerance(long below, long above, long readings) {

  static OutOfTolerance count(Summary summary, Tolerance tolerance) {
    Map<Verdict, Long> verdicts = new EnumMap<>(Verdict.class);
    summary
        .shown()
        .forEach(
            (source, shown) ->
                shown
                    .values()
                    .forEach(
                        (nanos, count) ->
                            verdicts.merge(
                                tolerance
                                    .judge(Decimals.fromNanos(nanos, 0), source.unit())
                                    .verdict(),
                                count,
                                Long::sum)));
    return new OutOfTolerance(
        verdicts.getOrDefault(Verdict.FAIL_BELOW, 0L),
        verdicts.getOrDefault(Verdict.FAIL_ABOVE, 0L),
        summary.readings());
  }

  /**
   * As shares with their intervals; there must be a reading.
   *
   * @param points what the points of the readings come to
   */
  Study.Outside shares(double confidence, SubgroupSums points) {
    return new Study.Outside(
        share(below, confidence),
        share(above, confidence),
        share(below + above, confidence),
        OneWayAnova.of(points).map(OneWayAnova::p).orElse(null));
  }

  private Study.Share share(long counted, double confidence) {
    Proportion.Count count = new Proportion.Count(counted, readings);
    Interval interval = Proportion.clopperPearson(count, confidence);
    return new Study.Share(counted, count.share(), interval.lower(), interval.upper());
  }
}
