package org.tarebook.capability;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plans;
import org.tarebook.chart.Unsettled;
import org.tarebook.control.Flag;
import org.tarebook.control.NotComputed;
import org.tarebook.control.StudyWindow;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.reading.AsOf;

/** {@code /claims}: whether the readings of a chart support what is claimed of it. */
@Tag(name = "Capability")
@RestController
class ClaimController {

  private final Studies studies;
  private final Plans plans;
  private final Clock clock;

  ClaimController(Studies studies, Plans plans, Clock clock) {
    this.studies = studies;
    this.plans = plans;
    this.clock = clock;
  }

  @Operation(
      operationId = "checkClaim",
      summary = "Tell whether readings support a claim",
      description =
          "\"Is Cpk at least 1.33 with 95 % confidence?\" (index and atLeast): held against the"
              + " one-sided lower limit of the index, of Cpk and Ppk by the exact limits of both"
              + " sides, of which the lower one counts, so it may lie below the lower limit that the"
              + " capability study gives by its normal approximation. \"May we promise under 0.5 %"
              + " out of tolerance?\" (outsideBelow): held against the exact one-sided upper limit"
              + " (Clopper and Pearson) of the counted share, with the number of readings that"
              + " supports it without one outside, and with the same if every reading left out for its"
              + " value or its instrument lay outside. It is computed from the capability study of the"
              + " same window: where that withholds an index the claim is withheld for the same reason,"
              + " and reservations say what else the answer rests on, such as a process that is not in"
              + " control or instruments without a valid check.")
  @GetMapping("/api/v1/claims")
  View claim(
      @Parameter(description = "The chart, by its code.") @RequestParam String chart,
      @Parameter(description = "The index claimed; with atLeast.", example = "CPK") @RequestParam
          Claim.@Nullable Of index,
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
      @Parameter(description = "First moment after it; when left out, now.") @RequestParam
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
    Claim held =
        ofIndex
            ? Claim.ofIndex(
                study, Objects.requireNonNull(index), Objects.requireNonNull(atLeast), confidence)
            : Claim.ofShare(study, of, Objects.requireNonNull(outsideBelow), confidence);
    return new View(
        study.chart(),
        study.unit(),
        study.stratum(),
        window.from(),
        window.before(),
        study.state().asOf(),
        study.state().changedSince(),
        ofIndex ? method : null,
        confidence,
        held.claim(),
        held.supported(),
        study.counts().readings(),
        held.value(),
        held.limit(),
        held.readingsWithoutOne(),
        held.ifLeftOutWereOutside(),
        study.counts().unverified(),
        study.control(),
        held.reservations(),
        held.words(),
        study.state().unsettled(),
        held.notComputed(),
        study.flags());
  }

  /** What readings say of a claim. */
  @Schema(name = "Claim", description = "What readings say of a claim about capability.")
  record View(
      String chart,
      @Schema(
              description =
                  "UCUM code of the unit that the chart is studied in; an index and a share have none.",
              example = "[lb_av]")
          String unit,
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
      @Schema(description = "The claim in words.", example = "Cpk at least 1.33") String claim,
      @Schema(
              description =
                  "Whether the limit supports the claim; false says that the readings do not show"
                      + " it, and it may still be true. Absent where the limit is.")
          @Nullable Boolean supported,
      @Schema(description = "Readings that count.") long readings,
      @Schema(description = "The index, or the share out of tolerance.") @Nullable Double value,
      @Schema(description = "One-sided limit: lower of an index, upper of a share.")
          @Nullable Double limit,
      @Schema(description = "Of a share: readings that support it with none outside.")
          @Nullable Long readingsWithoutOne,
      @Schema(
              description =
                  "For a claim about a share: the share if every reading that is left out were out"
                      + " of tolerance. Absent for an index.")
          Claim.@Nullable IfLeftOut ifLeftOutWereOutside,
      @Schema(
              description =
                  "Of readings: those whose instrument's check is overdue; known only as of now, and"
                      + " absent as of an earlier moment.")
          @Nullable Long unverified,
      @Schema(
              description =
                  "Whether the process was in control, as the capability study says it; absent where"
                      + " it cannot be told.")
          Study.@Nullable InControl control,
      @Schema(description = "What the answer rests on, whether the claim is supported or not.")
          List<Reservation> reservations,
      @Schema(description = "The answer, and its reservations, for a person.") String words,
      @Nullable Unsettled unsettled,
      List<NotComputed> notComputed,
      @Schema(
              description =
                  "What makes the study doubtful, as the capability study says it; a claim is only"
                      + " as good as its study.")
          List<Flag> flags) {}
}
