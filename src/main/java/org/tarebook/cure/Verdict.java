package org.tarebook.cure;

import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What was judged of a press load. A later verdict succeeds it and leaves it as it is.
 *
 * @param number counted from 1 within the cure
 * @param revisionId the schedule revision it judges by; absent where none was in force
 * @param cureVersion the version of the cure it was reached at
 * @param samples how many samples it was reached from
 * @param changed what changed against the verdict before; empty of the first
 */
public record Verdict(
    long id,
    long cureId,
    int number,
    @Nullable Long revisionId,
    Because because,
    Instant reachedAt,
    String reachedBy,
    long cureVersion,
    int samples,
    List<CavityVerdict> cavities,
    List<String> changed) {

  /** Why a verdict was reached. */
  public enum Because {
    CLOSED,
    LATE_SAMPLES,
    REVISION_CHANGED
  }

  /** What was judged of one cavity, and every reason. */
  public record CavityVerdict(
      int cavity, CureVerdict verdict, List<Reason> reasons, CavityFigures figures) {

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
