package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What was judged of a press load. A later verdict succeeds it and leaves it as it is.
 *
 * <p>Methods: 1 held single samples against the bands, without those at the end of a step; 2 holds
 * the course of each channel ({@link Course}) against them, and takes no minute with a gap for
 * steam, water and the difference of inside and outside; 3 passes nothing and proves nothing by
 * what is not known: steps without marks, reports on change that are overdue, what a sample beyond
 * a mark shows, kinetics outside their range, gaps in a temperature that heats the tyre, and the
 * interval of an estimate on both sides of a limit; 4 proves nothing by what contradicts itself
 * (spikes, conflicts, marks out of turn); 5 gives each end of an interval its own doubts; 6 judges
 * no load whose green tyre has an unknown age that the schedule limits, and takes the rows of a
 * piece in the order of time, whatever their order in the piece; 7 credits no equivalents to what a
 * channel on change has not reported, to channels that are not believed, and to samples hotter than
 * a medium can be; 8 takes the margin of hot water moment by moment, doubts the diffusivity of each
 * compound by itself, joins excursions over marks, leaves out what was logged outside the cure,
 * ends a release where the pressure is known to be gone, doubts a step marked twice, and compares
 * channels that share one cavity only.
 *
 * @param number counted from 1 within the cure
 * @param method revision of the method it was reached by
 * @param asked who asked for it in what words; absent where nobody did
 * @param revisionId the schedule revision it judges by; absent where none was in force
 * @param cureVersion the version of the cure it was reached at
 * @param samples how many samples it was reached from
 * @param changed what changed against the verdict before; empty of the first
 */
@Schema(name = "Verdict")
public record Verdict(
    long id,
    long cureId,
    int number,
    @Nullable Long revisionId,
    Because because,
    int method,
    @Nullable Asked asked,
    Instant reachedAt,
    String reachedBy,
    long cureVersion,
    int samples,
    List<CavityVerdict> cavities,
    List<String> changed) {

  /** The revision of the method by which cures are judged now. */
  public static final int METHOD = 8;

  /** Why a verdict was reached. */
  @Schema(name = "VerdictCause", description = "Why a verdict was reached.")
  public enum Because {
    @Schema(description = "The cure was closed.")
    CLOSED,
    @Schema(description = "Samples arrived after the cure was closed.")
    LATE_SAMPLES,
    @Schema(
        description =
            "Another revision of the cure schedule is in force for it, since one was withdrawn or"
                + " recorded.")
    REVISION_CHANGED,
    @Schema(description = "A person had the cure judged again by the present method.")
    ASKED,
    @Schema(description = "A person settled samples that were in conflict.")
    SETTLED
  }

  /** That a person asked for a verdict: the key of the question, and why. */
  public record Asked(String key, String reason) {}

  /** What was judged of one cavity, and every reason. */
  @Schema(name = "CavityVerdict", description = "The verdict on one cavity, with every reason.")
  public record CavityVerdict(
      int cavity,
      @Schema(description = "The result.") CureVerdict verdict,
      @Schema(description = "Every reason of the verdict, and remarks.") List<Reason> reasons,
      @Schema(description = "The figures of the cavity.") CavityFigures figures) {

    /** Judges by reasons: what is proven comes before what is not known. */
    static CavityVerdict of(int cavity, List<Reason> reasons, CavityFigures figures) {
      CureVerdict verdict = CureVerdict.GOOD;
      for (Reason reason : reasons) {
        if (reason.weight() == Reason.Weight.BREACH) {
          verdict = CureVerdict.NOT_GOOD;
        } else if (reason.weight() == Reason.Weight.DOUBT && verdict == CureVerdict.GOOD) {
          verdict = CureVerdict.NOT_JUDGED;
        }
      }
      return new CavityVerdict(cavity, verdict, List.copyOf(reasons), figures);
    }
  }
}
