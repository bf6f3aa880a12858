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
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.capability.TargetIndices;

/**
 * The capability study of one chart: figures, and what they rest on. A figure that does not exist
 * is absent, and told under {@code notComputed}.
 */
@Schema(
    name = "CapabilityStudy",
    description =
        "The capability study of one chart: figures, and what they rest on. A figure"
            + " that does not exist is absent, and notComputed says why.")
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
    @Schema(description = "How many readings and points are in the study, and what is left out.")
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
    @Schema(
            description =
                "Capability index Cp: width of the tolerance over six sigma within subgroups.")
        @Nullable Index cp,
    @Schema(description = "Capability index Cpk: the smaller of cpu and cpl.") @Nullable Index cpk,
    @Schema(description = "Capability index to the upper limit, by the sigma within subgroups.")
        @Nullable Index cpu,
    @Schema(description = "Capability index to the lower limit, by the sigma within subgroups.")
        @Nullable Index cpl,
    @Schema(
            description =
                "Performance index Pp: width of the tolerance over six sigma of all readings.")
        @Nullable Index pp,
    @Schema(description = "Performance index Ppk: the smaller of ppu and ppl.") @Nullable Index ppk,
    @Schema(description = "Performance index to the upper limit, by the sigma of all readings.")
        @Nullable Index ppu,
    @Schema(description = "Performance index to the lower limit, by the sigma of all readings.")
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
  @Schema(
      name = "StudyState",
      description = "The state of the chart's record that the study rests on.")
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
  @Schema(
      name = "StudiedStream",
      description = "One stream of a chart: its readings of one stratum.")
  public record Stream(
      @Schema(description = "Empty for readings that name none.", example = "DIE=D7")
          String stratum,
      @Schema(description = "Readings that count.", example = "125") long readings,
      @Schema(description = "Points they make.", example = "25") long points,
      @Schema(description = "In the unit of the study.") @Nullable Double mean,
      @Schema(description = "Sigma within the subgroups of this stream, in the unit of the study.")
          @Nullable Sigma sigmaWithin,
      @Schema(
              description =
                  "Sigma of all counted readings of this stream together, in the unit of"
                      + " the study.")
          @Nullable Sigma sigmaTotal,
      @Schema(description = "Whether this stream was in control.") @Nullable InControl control,
      @Schema(description = Study.SHOWN_ALTHOUGH) @Nullable Boolean shownAlthoughNotInControl,
      @Schema(description = "Capability index Cp of this stream.") @Nullable Index cp,
      @Schema(description = "Capability index Cpk of this stream.") @Nullable Index cpk,
      @Schema(description = "Capability index to the upper limit of this stream.")
          @Nullable Index cpu,
      @Schema(description = "Capability index to the lower limit of this stream.")
          @Nullable Index cpl,
      List<NotComputed> notComputed) {}

  /** What went in, and what did not. */
  @Schema(
      name = "StudyCounts",
      description = "How many readings are in the study, and what is left out.")
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
  @Schema(
      name = "StudySpecification",
      description = "The specification used: as written, and converted to the unit of the study.")
  public record Used(
      int revision,
      @Schema(description = "Why this revision.") String because,
      @Schema(description = "As written.") @Nullable BigDecimal lowerWritten,
      @Schema(description = "Upper limit as written, in unitWritten; absent where there is none.")
          @Nullable BigDecimal upperWritten,
      @Schema(description = "UCUM code of the unit they are written in.") String unitWritten,
      @Schema(description = "In the unit of the study.") @Nullable Double lower,
      @Schema(description = "In the unit of the study.") @Nullable Double upper) {}

  /** A revision of the specification. */
  @Schema(
      name = "StudyRevision",
      description = "A revision of the specification that was in force in the window.")
  public record Revision(
      int revision,
      Instant validFrom,
      @Schema(
              description =
                  "First moment at which it is no longer in force; absent where no end is known.")
          @Nullable Instant validBefore) {}

  /** An estimate of sigma. */
  @Schema(name = "Sigma", description = "An estimate of sigma.")
  public record Sigma(
      @Schema(description = "In the unit of the study.", example = "0.0541") double sigma,
      @Schema(example = "72.7") double degreesOfFreedom,
      @Schema(description = "How sigma was estimated.", example = "R_BAR") Estimator estimator) {

    static Sigma of(SigmaEstimate found) {
      return new Sigma(found.sigma(), found.degreesOfFreedom(), found.estimator());
    }
  }

  /** An index with its confidence interval. */
  @Schema(name = "CapabilityIndex", description = "Dimensionless, with its confidence interval.")
  public record Index(
      @Schema(description = "The index.", example = "1.42") double value,
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
      @Schema(description = "The index Cpm.", example = "1.31") double value,
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
  @Schema(name = "InControl", description = "Whether the process was in control, and why.")
  public record InControl(
      @Schema(
              description =
                  "Absent where it cannot be told: too few points, or limits of too few; then told under"
                      + " notComputed as control.inControl.")
          @Nullable Boolean inControl,
      @Schema(description = "What shows that it was not in control; empty where nothing does.")
          List<Ground> against,
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
      @Schema(
              description =
                  "How far the farthest of the signalled points lies from its centre, in its own sigmas;"
                      + " absent where none is signalled.",
              example = "3.4")
          @Nullable Double farthest,
      @Schema(description = "The most that 999 of 1,000 such windows have.", example = "4.6")
          double farthestByChance,
      @Schema(
              description =
                  "Points that were not judged one by one: from before limits came into force, or, by"
                      + " limits of the window, before its last 1,000. Absent where all were.")
          @Nullable Together together,
      @Schema(description = "How it was decided.") String criterion) {

    /** What shows a process not to be in control. */
    @Schema(
        name = "NotInControlGround",
        description = "What shows that a process was not in control.")
    public enum Ground {
      @Schema(description = "A signal stands that nobody has responded to.")
      OPEN_SIGNALS,
      @Schema(description = "More points complete a signal than chance explains.")
      TOO_MANY_SIGNALS,
      @Schema(description = "A signalled point lies farther off than chance explains.")
      TOO_FAR,
      @Schema(description = "A signalled spread is larger than chance explains.")
      SPREAD_TOO_LARGE,
      @Schema(
          description =
              "Points that were not judged one by one scatter about the centre by more than chance"
                  + " explains.")
      SCATTER
    }

    /**
     * Points that were not judged one by one.
     *
     * @param scatter mean square about the centre of the limits
     */
    @Schema(
        name = "PointsTogether",
        description = "Points that were not judged one by one, but by their scatter together.")
    public record Together(
        @Schema(description = "How many there are.", example = "180") long points,
        @Schema(
                description =
                    "Their mean square about the centre, in squares of the sigma of a point; about 1"
                        + " for an unchanged process. Of several strata that of the worst.",
                example = "1.08")
            double scatter,
        @Schema(description = "The most that is taken for chance.", example = "1.5")
            double scatterByChance) {}

    /** Where the limits come from. */
    @Schema(name = "ControlLimitsSource", description = "Where control limits come from.")
    public enum Source {
      @Schema(description = "The frozen limit sets in force.")
      FROZEN,
      @Schema(description = "The window of the study itself.")
      COMPUTED_FROM_WINDOW
    }
  }

  /** Readings counted out of tolerance. */
  @Schema(name = "CountedOutside", description = "Readings counted out of tolerance.")
  public record Outside(
      @Schema(description = "Readings below the lower limit.") Share below,
      @Schema(description = "Readings above the upper limit.") Share above,
      @Schema(description = "Readings outside either limit.") Share total,
      @Schema(
              description =
                  "Chance, 0 to 1, that points differ so much if all readings were independent (one-way"
                      + " analysis of variance). Where it is small, readings of one sample, load or"
                      + " shift are alike, and the intervals are too narrow. Absent where points hold"
                      + " one reading each.",
              example = "0.31")
          @Nullable Double pointsDifferP) {}

  /** A counted share with its confidence interval. */
  @Schema(
      name = "CountedShare",
      description = "A counted share of readings with its confidence interval.")
  public record Share(
      @Schema(description = "Number of readings counted.", example = "3") long readings,
      @Schema(description = "0 to 1.", example = "0.006") double share,
      @Schema(description = "Lower limit, Clopper and Pearson.", example = "0.0012") double lower,
      @Schema(description = "Upper limit, Clopper and Pearson.", example = "0.0174")
          double upper) {}

  /** Shares estimated by a distribution. */
  @Schema(
      name = "EstimatedOutside",
      description = "Shares out of tolerance, estimated by a distribution.")
  public record Estimated(
      @Schema(description = "0 to 1.", example = "0.0021") double below,
      @Schema(description = "0 to 1.", example = "0.0004") double above) {}
}
