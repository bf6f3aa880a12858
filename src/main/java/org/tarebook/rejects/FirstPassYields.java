package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.FirstPassYield;
import org.tarebook.stats.Interval;
import org.tarebook.stats.Proportion;

/**
 * The first-pass yield of several steps and of all of them one after the other.
 *
 * @param yield product of the yields of the steps; absent where a step judged nothing
 * @param interval of the product, approximate
 */
@Schema(name = "FirstPassYield")
record FirstPassYields(
    Instant measuredFrom,
    Instant measuredBefore,
    @Schema(description = "Of each interval, two-sided.") double confidence,
    @Schema(description = "How the interval of each step is made.") IntervalMethod method,
    @Schema(description = "In the order asked for.") List<Step> steps,
    @Nullable Double yield,
    @Nullable Interval interval,
    @Schema(description = "What the product takes for granted.") String assumption,
    List<AbsentFigure> notComputed,
    @Schema(description = "The moment as of which the record was looked at; absent for now.")
        @Nullable Instant asOf,
    @Schema(description = "Readings of the window that changed since; of now absent.")
        @Nullable Long changedSince) {

  private static final String ASSUMPTION =
      "The product takes what fails at one step as unrelated to what fails at another, and every"
          + " step as seeing the same kind of items. Where items bear numbers through all steps,"
          + " count those that passed every one instead. Its interval is Wilson's, of as many items"
          + " as would give one share the variance of the product, and takes items as independent.";

  /**
   * One step.
   *
   * @param passed items of which no first judged reading failed
   * @param yield passed over judged; absent where nothing was judged
   */
  @Schema(name = "FirstPassYieldStep")
  record Step(
      String line,
      long judged,
      long passed,
      @Schema(description = "Of judged: items that rest on a suspect instrument.")
          long judgedSuspect,
      @Schema(description = "Of those that did not pass: items that no sound instrument rejects.")
          long firstPassRejectedSuspect,
      @Nullable Double yield,
      @Nullable Interval interval) {}

  static FirstPassYields of(
      RateQuestion asked, List<String> lines, List<RejectRates.Total> totals) {
    List<Step> steps = new ArrayList<>();
    List<Proportion.Count> counts = new ArrayList<>();
    List<AbsentFigure> absent = new ArrayList<>();
    for (int i = 0; i < lines.size(); i++) {
      Tally tally = totals.get(i).tally();
      long judged = tally.judged();
      long passed = judged - tally.failures(Tally.Reason.ANY).firstPassRejected();
      if (judged == 0) {
        steps.add(new Step(lines.get(i), 0, 0, 0, 0, null, null));
        absent.add(
            new AbsentFigure(
                "yield",
                RateAnswer.NotComputed.NOTHING_JUDGED,
                "No item was judged on line " + lines.get(i) + "."));
        continue;
      }
      Proportion.Count count = new Proportion.Count(passed, judged);
      counts.add(count);
      steps.add(
          new Step(
              lines.get(i),
              judged,
              passed,
              tally.judgedSuspect(),
              tally.failures(Tally.Reason.ANY).firstPassRejectedSuspect(),
              count.share(),
              asked.method().of(count, asked.confidence())));
    }
    FirstPassYield rolled = absent.isEmpty() ? new FirstPassYield(counts) : null;
    return new FirstPassYields(
        asked.measuredFrom(),
        asked.measuredBefore(),
        asked.confidence(),
        asked.method(),
        steps,
        rolled == null ? null : rolled.share(),
        rolled == null ? null : rolled.interval(asked.confidence()),
        ASSUMPTION,
        absent,
        asked.asOf(),
        changedSince(totals));
  }

  private static @Nullable Long changedSince(List<RejectRates.Total> totals) {
    long sum = 0;
    for (RejectRates.Total total : totals) {
      Long changed = total.changedSince();
      if (changed == null) {
        return null;
      }
      sum += changed;
    }
    return sum;
  }
}
