package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Unsettled;
import org.tarebook.stats.ClusteredShare;
import org.tarebook.stats.FisherExact;
import org.tarebook.stats.Interval;
import org.tarebook.stats.MethodRevision;
import org.tarebook.stats.Proportion;
import org.tarebook.stats.ShareComparison;

/** Two reject rates held against each other, first pass and final. */
@Schema(name = "RejectComparison", description = "Two reject rates compared, first pass and final.")
record RejectComparison(
    @Schema(description = "What was counted on the first side.") Side first,
    @Schema(description = "What was counted on the second side.") Side second,
    @Schema(description = "Of each interval, two-sided.") double confidence,
    @Schema(description = MethodRevision.MEANING) int methodRevision,
    @Schema(description = "Rejected at the first pass over judged.") Difference firstPass,
    @Schema(description = "Rejected for good over judged.") Difference finalRate,
    @Schema(description = "How the figures are made.") List<String> definitions) {

  private static final double RARE = 0.01;

  private static final List<String> DEFINITIONS =
      List.of(
          "difference: share of the first side less that of the second; its interval is made of the"
              + " two score intervals (method 10 of Newcombe).",
          "ratio: share of the first side over that of the second; its interval is made of the same"
              + " two (Donner and Zou).",
          "p: chance of a difference at least this large if both sides had one rate, by the score"
              + " test; exactP: the same by Fisher's exact test.",
          "betweenShifts: the same where shifts may differ by more than chance, with the spread"
              + " between the shifts of each side, pooled, in place of chance alone. It is never the"
              + " sharper one, and it is the one to believe where the dispersion lies above 1.",
          "Where press loads hold several of the items, the larger design effect of loads of the two"
              + " sides divides both numbers of items, p is that of F with the degrees of freedom of"
              + " both, and there is no exactP.");

  /** What was counted on one side. */
  @Schema(name = "ComparedRejects", description = "What was counted on one side of a comparison.")
  record Side(
      @Schema(description = "Code or name; absent where two windows are compared.")
          @Nullable String name,
      Instant measuredFrom,
      Instant measuredBefore,
      long judged,
      long rejected,
      long firstPassRejected,
      @Schema(description = "Of judged: items that rest on a suspect instrument.")
          long judgedSuspect,
      @Schema(description = "Of rejected: items that no sound instrument rejects.")
          long rejectedSuspect,
      @Schema(description = "Of firstPassRejected: items that no sound instrument rejects.")
          long firstPassRejectedSuspect,
      @Schema(description = RateAnswer.UNVERIFIED) @Nullable Long unverified,
      @Schema(description = "Readings left out: not judged.") long notJudged,
      @Schema(description = "The moment as of which the record was looked at; absent for now.")
          @Nullable Instant asOf,
      @Schema(description = "Readings of the window that changed since; of now absent.")
          @Nullable Long changedSince,
      @Nullable Unsettled unsettled) {}

  /** How two shares differ; p is the chance of such a difference without one. */
  @Schema(name = "RejectDifference", description = "How two shares differ.")
  record Difference(
      @Schema(
              description =
                  "Share of the first side less that of the second; absent where a side judged"
                      + " nothing.")
          @Nullable Double difference,
      @Schema(
              description =
                  "Confidence interval of the difference; absent where it does not exist.")
          @Nullable Interval interval,
      @Schema(
              description =
                  "Share of the first side over that of the second; absent where it does"
                      + " not exist.")
          @Nullable Double ratio,
      @Schema(description = "Confidence interval of the ratio; absent where it does not exist.")
          @Nullable Interval ratioInterval,
      @Schema(
              description =
                  "p value: the probability of such a difference if the shares were equal. Absent"
                      + " where it does not exist.")
          @Nullable Double p,
      @Schema(description = "Absent where items share press loads.") @Nullable Double exactP,
      @Schema(
              description =
                  "The comparison with the spread between shifts allowed for; absent where it"
                      + " cannot be computed.")
          @Nullable BetweenShifts betweenShifts,
      String words,
      List<AbsentFigure> notComputed) {}

  /** The same, with the spread between shifts allowed for. */
  @Schema(
      name = "RejectDifferenceBetweenShifts",
      description = "A comparison of two shares that allows for the spread between shifts.")
  record BetweenShifts(
      @Schema(description = "Times the variance between shifts is that of chance, at least 1.")
          double dispersion,
      @Schema(description = "Shifts of both sides less two.") double degreesOfFreedom,
      @Schema(description = "Confidence interval of the difference.") Interval interval,
      @Schema(description = "Confidence interval of the ratio; absent where it does not exist.")
          @Nullable Interval ratioInterval,
      @Schema(
              description =
                  "p value: the probability of such a difference if the shares were equal.")
          double p) {}

  static RejectComparison of(
      List<RateQuestion> asked,
      List<RejectRates.Total> totals,
      @Nullable String first,
      @Nullable String second) {
    double confidence = asked.get(0).confidence();
    Tally one = totals.get(0).tally();
    Tally other = totals.get(1).tally();
    return new RejectComparison(
        side(asked.get(0), totals.get(0), first),
        side(asked.get(1), totals.get(1), second),
        confidence,
        MethodRevision.NOW,
        difference(
            one.firstPassRejectedByShift(Tally.Reason.ANY),
            other.firstPassRejectedByShift(Tally.Reason.ANY),
            one.firstPassRejectedByLoad(Tally.Reason.ANY),
            other.firstPassRejectedByLoad(Tally.Reason.ANY),
            confidence),
        difference(
            one.rejectedByShift(Tally.Reason.ANY),
            other.rejectedByShift(Tally.Reason.ANY),
            one.rejectedByLoad(Tally.Reason.ANY),
            other.rejectedByLoad(Tally.Reason.ANY),
            confidence),
        DEFINITIONS);
  }

  private static Side side(RateQuestion asked, RejectRates.Total total, @Nullable String name) {
    Tally tally = total.tally();
    Tally.Failures failures = tally.failures(Tally.Reason.ANY);
    return new Side(
        name,
        asked.measuredFrom(),
        asked.measuredBefore(),
        tally.judged(),
        failures.rejected(),
        failures.firstPassRejected(),
        tally.judgedSuspect(),
        failures.rejectedSuspect(),
        failures.firstPassRejectedSuspect(),
        asked.asOf() == null ? (Long) tally.unverified() : null,
        tally.apart(Apart.NOT_JUDGED),
        asked.asOf(),
        total.changedSince(),
        total.unsettled());
  }

  private static Difference difference(
      List<Proportion.Count> first,
      List<Proportion.Count> second,
      Optional<ClusteredShare> firstLoads,
      Optional<ClusteredShare> secondLoads,
      double confidence) {
    if (first.isEmpty() || second.isEmpty()) {
      return nothing(first.isEmpty() ? "first" : "second");
    }
    boolean independent = firstLoads.isEmpty() && secondLoads.isEmpty();
    ClusteredShare one = firstLoads.orElseGet(() -> ClusteredShare.ofSingle(sum(first)));
    ClusteredShare other = secondLoads.orElseGet(() -> ClusteredShare.ofSingle(sum(second)));
    Optional<ShareComparison> found =
        independent
            ? Optional.of(ShareComparison.of(one.pooled(), other.pooled()))
            : ShareComparison.ofClusters(one, other);
    if (found.isEmpty()) {
      return oneLoadEach();
    }
    ShareComparison plain = found.get();
    Optional<ShareComparison> spread =
        ShareComparison.ofShifts(first, second)
            .map(compared -> compared.withLeast(plain.dispersion()));
    List<AbsentFigure> absent = new ArrayList<>();
    if (!independent) {
      absent.add(
          new AbsentFigure(
              "exactP",
              RateAnswer.NotComputed.NOT_INDEPENDENT,
              "Items of one press load are not independent, and Fisher's test takes them so."));
    }
    if (plain.ratio().isEmpty()) {
      absent.add(
          new AbsentFigure(
              "ratio",
              RateAnswer.NotComputed.NOTHING_REJECTED,
              "Nothing was rejected on the second side, so there is nothing to divide by."));
    }
    if (spread.isEmpty()) {
      absent.add(
          new AbsentFigure(
              "betweenShifts",
              RateAnswer.NotComputed.TOO_FEW,
              "It takes three shifts with judged items to see how much shifts differ."));
    }
    return new Difference(
        plain.difference(),
        plain.interval(confidence),
        plain.ratio().orElse(null),
        plain.ratioInterval(confidence).orElse(null),
        plain.p(),
        independent ? FisherExact.chance(plain.first(), plain.second()) : null,
        spread
            .map(
                compared ->
                    new BetweenShifts(
                        compared.dispersion(),
                        compared.degrees(),
                        compared.interval(confidence),
                        compared.ratioInterval(confidence).orElse(null),
                        compared.p()))
            .orElse(null),
        words(plain, spread.orElse(null), independent),
        absent);
  }

  private static Difference nothing(String side) {
    return absent(
        RateAnswer.NotComputed.NOTHING_JUDGED, "No item was judged on the " + side + " side.");
  }

  private static Difference oneLoadEach() {
    return absent(
        RateAnswer.NotComputed.ONE_LOAD,
        "Each side is one press load, which does not show how much loads differ.");
  }

  private static Difference absent(RateAnswer.NotComputed reason, String words) {
    return new Difference(
        null,
        null,
        null,
        null,
        null,
        null,
        null,
        "There is nothing to compare. " + words,
        List.of(new AbsentFigure("difference", reason, words)));
  }

  private static Proportion.Count sum(List<Proportion.Count> shifts) {
    return new Proportion.Count(
        shifts.stream().mapToLong(Proportion.Count::counted).sum(),
        shifts.stream().mapToLong(Proportion.Count::total).sum());
  }

  private static String words(
      ShareComparison plain, @Nullable ShareComparison spread, boolean independent) {
    double p = spread == null ? plain.p() : spread.p();
    String allowed =
        spread == null
            ? independent ? ", as if items were independent" : ", press loads taken as wholes"
            : ", the spread between shifts allowed for";
    String finding =
        p < RARE
            ? "The rates differ by more than chance"
            : "Nothing tells the rates apart; that does not prove them equal, see the interval";
    return String.format(Locale.ROOT, "%s (p = %.2g%s).", finding, p, allowed);
  }
}
