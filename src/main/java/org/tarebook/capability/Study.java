package org.tarebook.capability;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Unsettled;
import org.tarebook.control.Excluded;
import org.tarebook.control.Flag;
import org.tarebook.control.NotComputed;
import org.tarebook.control.ShownLimits;
import org.tarebook.reading.Cause;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.MethodRevision;
import org.tarebook.stats.capability.TargetIndices;

/**
 * The capability study of one chart: figures, and what they rest on. A figure that does not exist
 * is absent, and told under {@code notComputed}.
 */
@Schema(name = "CapabilityStudy")
public record Study(
    String chart,
    String characteristic,
    String line,
    @Schema(description = "The one stratum studied; absent for all.") @Nullable String stratum,
    @Schema(description = "UCUM code of the unit of mean, sigmas and limits.", example = "[lb_av]")
        String unit,
    @Schema(description = "Confidence of every interval.", example = "0.95") double confidence,
    @Schema(description = MethodRevision.MEANING) int methodRevision,
    @Schema(description = "The state of the chart's record that this is told from.") State state,
    Counts counts,
    @Schema(description = "The specification used; absent where none is in force.")
        @Nullable Used specification,
    @Schema(description = "Every revision in force at some moment of the window.")
        List<Revision> revisions,
    @Schema(
            description =
                "True where no revision was in force in a part of the window before the one used:"
                    + " readings of that part are held against it too. Absent otherwise.")
        @Nullable Boolean partlyWithoutSpecification,
    @Schema(description = "Whether the process was in control; absent where it cannot be told.")
        @Nullable InControl control,
    @Schema(description = "Mean of all counted readings, in the unit.", example = "12.304")
        @Nullable Double mean,
    @Schema(description = "Sigma within subgroups, in the unit.") @Nullable Sigma sigmaWithin,
    @Schema(description = "Sigma of all counted readings together, in the unit.")
        @Nullable Sigma sigmaTotal,
    @Schema(description = Study.SHOWN_ALTHOUGH) @Nullable Boolean shownAlthoughNotInControl,
    @Schema(description = "How the indices were made; absent where none could be.")
        @Nullable MethodUsed method,
    @Nullable Index cp,
    @Nullable Index cpk,
    @Nullable Index cpu,
    @Nullable Index cpl,
    @Nullable Index pp,
    @Nullable Index ppk,
    @Nullable Index ppu,
    @Nullable Index ppl,
    @Schema(description = "About the target of the specification.") @Nullable Cpm cpm,
    @Schema(description = "Counted readings out of tolerance; absent without specification.")
        @Nullable Outside counted,
    @Schema(
            description =
                "Shares out of tolerance by the method's distribution: a normal process with mean"
                    + " and sigmaTotal, or the fitted one.")
        @Nullable Estimated estimated,
    @Schema(
            description =
                "Where the chart has strata and none was asked for: each stream by itself, that is"
                    + " the chart's readings of one stratum. Then cp to cpl of all together are left"
                    + " out unless mixture=true.")
        @Nullable List<Stream> streams,
    @Schema(
            description =
                "The stream with the least cpk; absent where a stream has none, or there are no"
                    + " streams.",
            example = "DIE=D7")
        @Nullable String worstStream,
    @Schema(
            description =
                "Whether cp to cpl are of several streams mixed, because they were asked for.")
        boolean mixture,
    List<Flag> flags,
    List<NotComputed> notComputed) {

  static final String SHOWN_ALTHOUGH =
      "True where cp to cpl are shown because evenIfNotInControl asked for them, although the"
          + " process is not in control or cannot be shown to be; else absent. Whether it is in"
          + " control is said by control.inControl.";

  /**
   * A state of a chart's record.
   *
   * @param version what was written under it or an earlier one is in
   * @param asOf the moment asked for; absent where nothing earlier than now was asked
   * @param changedSince readings of the window written, voided, doubted or moved into other shifts
   *     since; absent for now
   * @param unsettled what long work was changing; absent where nothing was
   */
  @Schema(name = "StudyState")
  public record State(
      @Schema(description = "Grows with everything written to the chart.", example = "5120")
          long version,
      @Schema(
              description =
                  "The moment asked for, found to the minute; absent where the study is of now.")
          @Nullable Instant asOf,
      @Schema(
              description =
                  "Readings of the window that were written, voided or doubted since; absent where the"
                      + " study is of now.")
          @Nullable Long changedSince,
      @Nullable Unsettled unsettled) {}

  /** One stream of a chart: its readings of one stratum. */
  @Schema(name = "StudiedStream")
  public record Stream(
      @Schema(description = "Empty for readings that name none.", example = "DIE=D7")
          String stratum,
      @Schema(description = "Readings that count.", example = "125") long readings,
      @Schema(description = "Points they make.", example = "25") long points,
      @Schema(description = "In the unit of the study.") @Nullable Double mean,
      @Nullable Sigma sigmaWithin,
      @Nullable Sigma sigmaTotal,
      @Schema(description = "Whether this stream was in control.") @Nullable InControl control,
      @Schema(description = Study.SHOWN_ALTHOUGH) @Nullable Boolean shownAlthoughNotInControl,
      @Nullable Index cp,
      @Nullable Index cpk,
      @Nullable Index cpu,
      @Nullable Index cpl,
      List<NotComputed> notComputed) {}

  /** What went in, and what did not. */
  @Schema(name = "StudyCounts")
  public record Counts(
      @Schema(description = "Readings that count.", example = "500") long readings,
      @Schema(description = "Points they make.", example = "100") long points,
      @Schema(description = "Counted readings that make no point.", example = "4") long incomplete,
      @Schema(
              description =
                  "Counted readings whose instrument's check is overdue; known only as of now.")
          @Nullable Long unverified,
      @Schema(description = "Readings of the chart's window that do not count.")
          List<Excluded> excluded) {

    /** How many readings do not count for one of some causes. */
    long excluded(Cause... causes) {
      return excluded.stream()
          .filter(each -> List.of(causes).contains(each.cause()))
          .mapToLong(Excluded::readings)
          .sum();
    }
  }

  /** The specification used: as written, and converted into the unit of the study. */
  @Schema(name = "StudySpecification")
  public record Used(
      int revision,
      @Schema(description = "Why this revision.") String because,
      @Schema(description = "As written.") @Nullable BigDecimal lowerWritten,
      @Nullable BigDecimal upperWritten,
      @Schema(description = "UCUM code of the unit they are written in.") String unitWritten,
      @Schema(description = "In the unit of the study.") @Nullable Double lower,
      @Schema(description = "In the unit of the study.") @Nullable Double upper) {}

  /** A revision of the specification. */
  @Schema(name = "StudyRevision")
  public record Revision(int revision, Instant validFrom, @Nullable Instant validBefore) {}

  /** An estimate of sigma. */
  @Schema(name = "Sigma")
  public record Sigma(
      @Schema(description = "In the unit of the study.", example = "0.0541") double sigma,
      @Schema(example = "72.7") double degreesOfFreedom,
      @Schema(example = "R_BAR") Estimator estimator) {}

  /** An index with its confidence interval. */
  @Schema(name = "Index", description = "Dimensionless, with its confidence interval.")
  public record Index(
      @Schema(example = "1.42") double value,
      @Schema(
              description =
                  "Lower limit of the interval; absent where the method gives none for these"
                      + " readings.",
              example = "1.23")
          @Nullable Double lower,
      @Schema(description = "Upper limit of the interval.", example = "1.61")
          @Nullable Double upper) {}

  /** The index about the target. */
  @Schema(name = "Cpm", description = "Dimensionless, with its confidence interval.")
  public record Cpm(
      @Schema(example = "1.31") double value,
      @Schema(
              description =
                  "Lower limit of the interval; absent where there is too little for one.",
              example = "1.12")
          @Nullable Double lower,
      @Schema(description = "Upper limit of the interval.", example = "1.49")
          @Nullable Double upper,
      @Schema(description = "The target of the specification, in the unit of the study.")
          double target,
      @Schema(description = "Tau: the spread about the target, in the unit of the study.")
          double spread,
      @Schema(description = "N: squares about the target divided by the number of readings.")
          TargetIndices.Divisor divisor) {}

  /** Whether the process was in control. */
  @Schema(name = "InControl")
  public record InControl(
      @Schema(
              description =
                  "Absent where it cannot be told: too few points, or limits of too few; then told under"
                      + " notComputed as control.inControl.")
          @Nullable Boolean inControl,
      @Schema(description = "Frozen limits, or limits computed from this window itself.")
          Source limitsFrom,
      @Schema(description = "Codes of the limit sets in force.") List<String> limitSets,
      @Schema(description = "The limits computed from this window; absent where frozen.")
          @Nullable ShownLimits limits,
      @Schema(
              description =
                  "Points with limits in force that a reading of the window completes; with frozen"
                      + " limits also one that began before the window, which counts.points leaves"
                      + " out.",
              example = "100")
          long judgedPoints,
      @Schema(
              description =
                  "Points that complete a signal, whether it was responded to or not; a point that"
                      + " completes several counts once.",
              example = "2")
          long signalledPoints,
      @Schema(
              description =
                  "Signals that stand and that nobody has responded to, of which a point may complete"
                      + " several; absent where no limits are in force, since none is raised then.")
          @Nullable Long openSignals,
      @Schema(
              description =
                  "When the earliest of the open signals was completed; absent where none is open.")
          @Nullable Instant openSince,
      @Schema(
              description =
                  "Signalled points to expect of as many points of an unchanged process, by limits"
                      + " estimated like these.",
              example = "1.3")
          double expectedByChance,
      @Schema(description = "The most that 99 % of such windows have.", example = "5")
          long mostByChance,
      @Schema(description = "How it was decided.") String criterion) {

    /** Where the limits come from. */
    @Schema(name = "ControlLimitsSource")
    public enum Source {
      FROZEN,
      COMPUTED_FROM_WINDOW
    }
  }

  /** Readings counted out of tolerance. */
  @Schema(name = "CountedOutside")
  public record Outside(
      Share below,
      Share above,
      Share total,
      @Schema(
              description =
                  "Chance, 0 to 1, that points differ so much if all readings were independent (one-way"
                      + " analysis of variance). Where it is small, readings of one sample, load or"
                      + " shift are alike, and the intervals are too narrow. Absent where points hold"
                      + " one reading each.",
              example = "0.31")
          @Nullable Double pointsDifferP) {}

  /** A counted share with its confidence interval. */
  @Schema(name = "CountedShare")
  public record Share(
      @Schema(example = "3") long readings,
      @Schema(description = "0 to 1.", example = "0.006") double share,
      @Schema(description = "Lower limit, Clopper and Pearson.", example = "0.0012") double lower,
      @Schema(description = "Upper limit, Clopper and Pearson.", example = "0.0174")
          double upper) {}

  /** Shares estimated by a distribution. */
  @Schema(name = "EstimatedOutside")
  public record Estimated(
      @Schema(description = "0 to 1.", example = "0.0021") double below,
      @Schema(description = "0 to 1.", example = "0.0004") double above) {}
}
