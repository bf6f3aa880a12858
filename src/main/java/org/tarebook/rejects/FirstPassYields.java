package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Unsettled;
import org.tarebook.stats.ClusteredShare;
import org.tarebook.stats.FirstPassYield;
import org.tarebook.stats.Interval;
import org.tarebook.stats.MethodRevision;
import org.tarebook.stats.Overdispersion;
import org.tarebook.stats.Proportion;

/** The first-pass yield of several steps and of all of them one after the other. */
@Schema(
    name = "FirstPassYield",
    description = "The first-pass yield of several steps, and of all of them one after the other.")
record FirstPassYields(
    Instant measuredFrom,
    Instant measuredBefore,
    @Schema(description = "Of each interval, two-sided.") double confidence,
    @Schema(description = "How the interval of each step is made.") IntervalMethod method,
    @Schema(description = "In the order asked for.") List<Step> steps,
    @Schema(
            description =
                "Product of the yields of all steps, 0 to 1; absent where a step judged nothing.")
        @Nullable Double yield,
    @Schema(
            description =
                "Approximate confidence interval of yield; absent where it cannot be computed.")
        @Nullable Interval interval,
    @Schema(
            description =
                "The same where shifts may differ by more than chance; absent where a step has fewer"
                    + " than two shifts.")
        @Nullable Interval betweenShifts,
    @Schema(description = "What the product takes for granted.") String assumption,
    List<AbsentFigure> notComputed,
    @Schema(description = MethodRevision.MEANING) int methodRevision,
    @Schema(description = "The moment as of which the record was looked at; absent for now.")
        @Nullable Instant asOf,
    @Schema(description = "Readings of the window that changed since; of now absent.")
        @Nullable Long changedSince,
    @Nullable Unsettled unsettled) {

  private static final String ASSUMPTION =
      "The product takes what fails at one step as unrelated to what fails at another, and every"
          + " step as seeing the same kind of items. Where items bear numbers through all steps,"
          + " count those that passed every one instead. Its interval is Wilson's, of as many items"
          + " as would give one share the variance of the product, and takes items as independent but those of a press"
          + " load; betweenShifts allows for shifts that differ by more than chance.";

  /** One step. */
  @Schema(name = "FirstPassYieldStep", description = "The first-pass yield of one step.")
  record Step(
      String line,
      @Schema(description = "Items with at least one judged reading or cure on the line.")
          long judged,
      @Schema(description = "Items of which no first judged reading or cure failed.") long passed,
      @Schema(description = "Of judged: items that rest on a suspect instrument.")
          long judgedSuspect,
      @Schema(description = "Of those that did not pass: items that no sound instrument rejects.")
          long firstPassRejectedSuspect,
      @Schema(description = RateAnswer.UNVERIFIED) @Nullable Long unverified,
      @Schema(description = "Readings left out: not judged.") long notJudged,
      @Schema(description = "Cavities left out: the standing verdict is NOT_JUDGED.")
          long curesNotJudged,
      @Schema(description = "Cavities left out: the load has no log.") long curesWithoutLog,
      @Schema(description = "passed over judged, 0 to 1; absent where nothing was judged.")
          @Nullable Double yield,
      @Schema(description = "Confidence interval of yield; notComputed says why it is absent.")
          @Nullable Interval interval,
      @Schema(
              description =
                  "How many independent items say as much; absent where no two items share a press"
                      + " load.")
          @Nullable Double effectiveItems,
      @Schema(
              description =
                  "What the spread between shifts says of yield; absent where nothing was judged.")
          RateAnswer.@Nullable BetweenShifts betweenShifts) {}

  static FirstPassYields of(RateQuestion asked, List<String> lines, List<RejectRates.Total> found) {
    List<Double> totals = new ArrayList<>();
    List<Double> ofShifts = new ArrayList<>();
    List<Step> steps = new ArrayList<>();
    List<Proportion.Count> counts = new ArrayList<>();
    List<AbsentFigure> absent = new ArrayList<>();
    for (int i = 0; i < lines.size(); i++) {
      Tally tally = found.get(i).tally();
      long judged = tally.judged();
      long passed = judged - tally.failures(Tally.Reason.ANY).firstPassRejected();
      if (judged == 0) {
        steps.add(
            new Step(
                lines.get(i),
                0,
                0,
                0,
                0,
                asked.asOf() == null ? (Long) tally.unverified() : null,
                tally.apart(Apart.NOT_JUDGED),
                tally.apart(Apart.CURE_NOT_JUDGED),
                tally.apart(Apart.CURE_WITHOUT_LOG),
                null,
                null,
                null,
                null));
        absent.add(
            new AbsentFigure(
                "yield",
                RateAnswer.NotComputed.NOTHING_JUDGED,
                "No item was judged on line " + lines.get(i) + "."));
        continue;
      }
      Proportion.Count count = new Proportion.Count(passed, judged);
      counts.add(count);
      Optional<ClusteredShare> loads = tally.firstPassRejectedByLoad(Tally.Reason.ANY);
      Double effective =
          loads.flatMap(share -> share.effectiveTotal(asked.confidence())).orElse(null);
      double least = loads.map(ClusteredShare::designEffect).orElse(1.0);
      Optional<Overdispersion> spread = Overdispersion.of(passedByShift(tally));
      spread.map(of -> of.effectiveTotal(asked.confidence(), least)).ifPresent(ofShifts::add);
      if (loads.isPresent() && effective == null) {
        absent.add(
            new AbsentFigure(
                "interval",
                RateAnswer.NotComputed.ONE_LOAD,
                "All items judged on line " + lines.get(i) + " are of one press load."));
      } else {
        totals.add(effective == null ? (Double) (double) judged : effective);
      }
      steps.add(
          new Step(
              lines.get(i),
              judged,
              passed,
              tally.judgedSuspect(),
              tally.failures(Tally.Reason.ANY).firstPassRejectedSuspect(),
              asked.asOf() == null ? (Long) tally.unverified() : null,
              tally.apart(Apart.NOT_JUDGED),
              tally.apart(Apart.CURE_NOT_JUDGED),
              tally.apart(Apart.CURE_WITHOUT_LOG),
              count.share(),
              asked.method().of(count, loads, asked.confidence()).orElse(null),
              effective,
              RateAnswer.BetweenShifts.of(spread, least, asked.confidence())));
    }
    FirstPassYield rolled = counts.size() == lines.size() ? new FirstPassYield(counts) : null;
    return new FirstPassYields(
        asked.measuredFrom(),
        asked.measuredBefore(),
        asked.confidence(),
        asked.method(),
        steps,
        rolled == null ? null : rolled.share(),
        rolled == null || totals.size() < lines.size()
            ? null
            : rolled.interval(asked.confidence(), totals),
        rolled == null || ofShifts.size() < lines.size()
            ? null
            : rolled.interval(asked.confidence(), ofShifts),
        ASSUMPTION,
        absent,
        MethodRevision.NOW,
        asked.asOf(),
        changedSince(found),
        Unsettled.together(found.stream().map(RejectRates.Total::unsettled).toList()));
  }

  private static List<Proportion.Count> passedByShift(Tally tally) {
    return tally.firstPassRejectedByShift(Tally.Reason.ANY).stream()
        .map(shift -> new Proportion.Count(shift.total() - shift.counted(), shift.total()))
        .toList();
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
