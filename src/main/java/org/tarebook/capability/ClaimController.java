package org.tarebook.capability;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plans;
import org.tarebook.control.Flag;
import org.tarebook.control.NotComputed;
import org.tarebook.control.StudyWindow;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.reading.AsOf;
import org.tarebook.reading.Cause;
import org.tarebook.stats.Proportion;

/** {@code /claims}: whether the readings of a chart support what is claimed of it. */
@Tag(name = "Capability")
@RestController
class ClaimController {

  /** What may have been anything, since no value of it can be judged. */
  private static final List<Cause> UNKNOWN =
      List.of(
          Cause.NO_VALUE, Cause.ABOVE_CAPACITY, Cause.INSTRUMENT_FAILED, Cause.INSTRUMENT_SUSPECT);

  private final Studies studies;
  private final Plans plans;
  private final Clock clock;

  ClaimController(Studies studies, Plans plans, Clock clock) {
    this.studies = studies;
    this.plans = plans;
    this.clock = clock;
  }

  /** Indices that something can be claimed of. */
  enum Claimed {
    CP,
    CPK,
    PP,
    PPK
  }

  @Operation(
      summary = "Tell whether readings support a claim",
      description =
          "\"Is Cpk at least 1.33 with 95 % confidence?\" (index and atLeast): held against the"
              + " one-sided lower limit of the index, of Cpk and Ppk by the exact limits of both"
              + " sides, of which the lower one counts, so it may lie below the lower limit that the"
              + " capability study gives by its normal approximation. \"May we promise under 0.5 %"
              + " out of tolerance?\" (outsideBelow): held against the exact one-sided upper limit"
              + " (Clopper and Pearson) of the counted share, with the number of readings that"
              + " supports it without one outside, and with the same if every reading that could not"
              + " be judged lay outside.")
  @GetMapping("/api/v1/claims")
  View claim(
      @Parameter(description = "The chart, by its code.") @RequestParam String chart,
      @Parameter(description = "The index claimed; with atLeast.", example = "CPK") @RequestParam
          @Nullable Claimed index,
      @Parameter(description = "The index is at least this.", example = "1.33")
          @RequestParam
          @DecimalMin("0.1")
          @DecimalMax("10")
          @Nullable Double atLeast,
      @Parameter(
              description = "The share out of tolerance is below this, 0 to 1.",
              example = "0.005")
          @RequestParam
          @DecimalMin("0.000001")
          @DecimalMax("0.5")
          @Nullable Double outsideBelow,
      @Parameter(description = "Confidence of the claim, one-sided.")
          @RequestParam(defaultValue = "0.95")
          @DecimalMin("0.51")
          @DecimalMax("0.999")
          double confidence,
      @Parameter(description = "First moment; when left out, 30 days before measuredBefore.")
          @RequestParam
          @Nullable Instant measuredFrom,
      @Parameter(description = "First moment behind; when left out, now.") @RequestParam
          @Nullable Instant measuredBefore,
      @Parameter(description = "One stratum, as points name it.", example = "DIE=D7") @RequestParam
          @Nullable String stratum,
      @Parameter(description = "How the index is made, as for the capability study.")
          @RequestParam(defaultValue = "NORMAL")
          Method method,
      @Parameter(description = AsOf.ASKED) @RequestParam @Nullable Instant asOf) {
    boolean ofIndex = index != null && atLeast != null && outsideBelow == null;
    boolean ofShare = index == null && atLeast == null && outsideBelow != null;
    if (!ofIndex && !ofShare) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "index",
          "give index and atLeast, such as CPK and 1.33, or outsideBelow alone, such as 0.005");
    }
    Chart of = plans.current().charts().require(chart, "chart");
    StudyWindow window = StudyWindow.of(measuredFrom, measuredBefore, clock.instant());
    Study study =
        studies
            .of(
                List.of(of),
                new Studies.Question(
                    window, stratum, null, 2 * confidence - 1, false, false, method, asOf))
            .get(0);
    return ofIndex
        ? ofIndex(
            study,
            window,
            Objects.requireNonNull(index),
            Objects.requireNonNull(atLeast),
            method,
            confidence)
        : ofShare(study, window, Objects.requireNonNull(outsideBelow), confidence);
  }

  private static View ofIndex(
      Study study,
      StudyWindow window,
      Claimed claimed,
      double atLeast,
      Method method,
      double confidence) {
    boolean within = claimed == Claimed.CP || claimed == Claimed.CPK;
    boolean potential = claimed == Claimed.CP || claimed == Claimed.PP;
    Study.Index own =
        potential ? (within ? study.cp() : study.pp()) : within ? study.cpk() : study.ppk();
    List<Study.@Nullable Index> limits = new ArrayList<>();
    if (potential) {
      limits.add(own);
    } else {
      limits.add(within ? study.cpu() : study.ppu());
      limits.add(within ? study.cpl() : study.ppl());
    }
    Double limit =
        own == null || limits.stream().anyMatch(each -> each != null && each.lower() == null)
            ? null
            : (Double)
                limits.stream()
                    .flatMap(each -> each == null ? Stream.of() : Stream.of(each.lower()))
                    .mapToDouble(each -> each)
                    .min()
                    .orElseThrow();
    String name = claimed.name().charAt(0) + claimed.name().substring(1).toLowerCase(Locale.ROOT);
    String figure = claimed.name().toLowerCase(Locale.ROOT);
    Boolean supported = limit == null ? null : (Boolean) (limit >= atLeast);
    String said =
        limit == null || own == null
            ? "Whether %s is at least %s cannot be told; notComputed says why."
                .formatted(name, atLeast)
            : "%s is %s, and at least %s with %s %% confidence: the claim of at least %s is %s."
                .formatted(
                    name,
                    digits(own.value()),
                    digits(limit),
                    percent(confidence),
                    atLeast,
                    limit >= atLeast ? "supported" : "not supported");
    return new View(
        study.chart(),
        study.stratum(),
        window.from(),
        window.before(),
        study.state().asOf(),
        study.state().changedSince(),
        method,
        confidence,
        name + " at least " + atLeast,
        supported,
        study.counts().readings(),
        own == null ? null : (Double) own.value(),
        limit,
        null,
        null,
        said,
        study.notComputed().stream()
            .filter(each -> each.figure().equals(figure) || each.figure().startsWith(figure + "."))
            .toList(),
        study.flags());
  }

  private static View ofShare(Study study, StudyWindow window, double below, double confidence) {
    Study.Outside counted = study.counted();
    long without = Proportion.itemsWithoutOne(below, confidence);
    String claim = "fewer than " + percent(below) + " % out of tolerance";
    if (counted == null) {
      return new View(
          study.chart(),
          study.stratum(),
          window.from(),
          window.before(),
          study.state().asOf(),
          study.state().changedSince(),
          null,
          confidence,
          claim,
          null,
          study.counts().readings(),
          null,
          null,
          without,
          null,
          "Whether fewer are out of tolerance cannot be told; notComputed says why.",
          study.notComputed().stream().filter(each -> each.figure().equals("counted")).toList(),
          study.flags());
    }
    Proportion.Count seen =
        new Proportion.Count(counted.total().readings(), study.counts().readings());
    double limit = Proportion.upperLimit(seen, confidence);
    long unknown =
        study.counts().excluded().stream()
            .filter(each -> UNKNOWN.contains(each.cause()))
            .mapToLong(each -> each.readings())
            .sum();
    Proportion.Count bad = new Proportion.Count(seen.counted() + unknown, seen.total() + unknown);
    double worst = Proportion.upperLimit(bad, confidence);
    String said =
        "%d of %d readings lie out of tolerance, with %s %% confidence at most %s %%: the claim of %s is %s. Without one outside it takes %d readings."
            .formatted(
                seen.counted(),
                seen.total(),
                percent(confidence),
                percent(limit),
                claim,
                limit < below ? "supported" : "not supported",
                without);
    return new View(
        study.chart(),
        study.stratum(),
        window.from(),
        window.before(),
        study.state().asOf(),
        study.state().changedSince(),
        null,
        confidence,
        claim,
        limit < below,
        seen.total(),
        seen.share(),
        limit,
        without,
        new IfAllBad(unknown, bad.share(), worst, worst < below),
        unknown == 0
            ? said
            : said
                + " If all %d that could not be judged lay outside, it would be %s %% at most, and %s."
                    .formatted(
                        unknown, percent(worst), worst < below ? "supported" : "not supported"),
        List.of(),
        study.flags());
  }

  private static String percent(double share) {
    return digits(100 * share);
  }

  private static String digits(double figure) {
    return String.format(Locale.ROOT, "%.4g", figure);
  }

  /** What readings say of a claim. */
  @Schema(name = "Claim")
  record View(
      String chart,
      @Schema(description = "The one stratum asked for; absent for all.", example = "DIE=D7")
          @Nullable String stratum,
      Instant measuredFrom,
      Instant measuredBefore,
      @Schema(description = "The moment that the claim is held against; absent for now.")
          @Nullable Instant asOf,
      @Schema(
              description =
                  "Readings of the window written, voided or doubted since; absent for now.")
          @Nullable Long changedSince,
      @Schema(description = "How the index is made; absent for a share.") @Nullable Method method,
      @Schema(description = "One-sided.", example = "0.95") double confidence,
      @Schema(example = "Cpk at least 1.33") String claim,
      @Schema(
              description =
                  "Whether the limit supports the claim; false says that it is not shown, not that"
                      + " it is wrong. Absent where there is no limit.")
          @Nullable Boolean supported,
      @Schema(description = "Readings that count.") long readings,
      @Schema(description = "The index, or the share out of tolerance.") @Nullable Double value,
      @Schema(description = "One-sided limit: lower of an index, upper of a share.")
          @Nullable Double limit,
      @Schema(description = "Of a share: readings that support it with none outside.")
          @Nullable Long readingsWithoutOne,
      @Nullable IfAllBad ifNotJudgedWereOutside,
      String words,
      List<NotComputed> notComputed,
      @Schema(
              description =
                  "What makes the study doubtful, as the capability study says it; a claim is no"
                      + " better than its study.")
          List<Flag> flags) {}

  /** The share if every reading that could not be judged lay out of tolerance. */
  @Schema(name = "ClaimIfAllBad")
  record IfAllBad(
      @Schema(
              description =
                  "Readings without a value, or of an instrument that had failed or is suspect; of"
                      + " all strata of the chart.")
          long notJudged,
      double value,
      double limit,
      boolean supported) {}
}
