package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.check.FoundErrors.FoundError;
import org.tarebook.control.Flag;
import org.tarebook.control.NotComputed;
import org.tarebook.control.StudyWindow;
import org.tarebook.plant.Instrument;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Moments;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Spread;

/** The errors found at the checks of one instrument against one standard, as single readings. */
@Schema(
    name = "CheckChart",
    description =
        "The errors found at the checks of one instrument against one standard, charted"
            + " as single readings.")
record CheckChart(
    String instrument,
    @Schema(description = "Name of the known standard.") String standard,
    @Schema(description = "Start of the window of check times, inclusive.") Instant checkedFrom,
    @Schema(description = "End of the window of check times, exclusive.") Instant checkedBefore,
    @Schema(description = "UCUM code of the instrument's unit, of every figure.") String unit,
    @Schema(description = "Limits of the mean errors, by the mean moving range.")
        @Nullable LimitLines limits,
    @Schema(
            description =
                "Limits of the moving ranges of the mean errors; absent where they do not exist.")
        @Nullable LimitLines movingRanges,
    @Schema(
            description =
                "Sigma of the mean errors by the mean moving range, in unit; absent where it"
                    + " does not exist.")
        @Nullable Double sigma,
    @Schema(description = "Degrees of freedom of sigma; absent where sigma is.")
        @Nullable Double degreesOfFreedom,
    String words,
    @Schema(description = "The checks in the order of time.") List<Charted> points,
    @Schema(description = "Points that are not listed: those beyond the first 10,000.")
        long unlisted,
    List<Flag> flags,
    List<NotComputed> notComputed) {

  /** Common practice, as for the subgroups of a chart. */
  private static final int FEW = 20;

  /** One check. */
  @Schema(name = "CheckChartPoint", description = "One check.")
  record Charted(
      @Schema(description = "Id of the check.") String check,
      @Schema(description = "When it was checked.") Instant at,
      @Schema(description = "Number of the standard's certificate.") String certificate,
      @Schema(description = "How many indications the mean error is of.") int indications,
      @Schema(description = "Mean of indication less certified value.") double meanError,
      @Schema(description = "From the check before; absent for the first.")
          @Nullable Double movingRange,
      @Schema(description = "The largest error let pass at this check, plus and minus.")
          double permissible,
      @Schema(description = "Whether no error of the check was beyond the permissible error.")
          boolean passed,
      @Schema(description = "Whether the instrument was adjusted at the check before.")
          boolean afterAdjusting,
      @Schema(
              description =
                  "Whether the mean error lies beyond the limits; absent where there are none.")
          @Nullable Boolean beyond,
      @Schema(
              description =
                  "Whether the moving range lies beyond its limits; absent where there are none,"
                      + " and for the first check.")
          @Nullable Boolean movingRangeBeyond) {}

  static CheckChart of(
      Instrument instrument, String standard, StudyWindow window, List<FoundError> found) {
    double[] errors = found.stream().mapToDouble(each -> each.meanError().doubleValue()).toArray();
    Optional<SigmaEstimate> sigma =
        Spread.meanMovingRange(Moments.of(moves(errors)), 1).filter(each -> each.sigma() > 0);
    double mean = Arrays.stream(errors).average().orElse(0);
    LimitLines limits =
        sigma
            .map(each -> LimitLines.of(ControlLimits.ofIndividual(mean, each.sigma())))
            .orElse(null);
    LimitLines ranges =
        sigma.map(each -> LimitLines.of(ControlLimits.ofMovingRange(each.sigma()))).orElse(null);
    List<Charted> charted = new ArrayList<>();
    for (int i = 0; i < OpenedWindows.listed(found).size(); i++) {
      charted.add(charted(found, errors, i, limits, ranges));
    }
    boolean drifts = charted.stream().anyMatch(point -> Boolean.TRUE.equals(point.beyond()));
    return new CheckChart(
        instrument.code(),
        standard,
        window.from(),
        window.before(),
        instrument.unit().code(),
        limits,
        ranges,
        sigma.map(SigmaEstimate::sigma).orElse(null),
        sigma.map(SigmaEstimate::degreesOfFreedom).orElse(null),
        limits == null
            ? "There are no limits yet to judge the instrument's steadiness by."
            : drifts
                ? "Checks lie beyond the limits: the instrument, the standard or the way of checking"
                    + " changed, whether or not the errors are within what is permitted."
                : "No check lies beyond the limits: the instrument was steady between checks. After"
                    + " adjusting, a step is to be expected.",
        charted,
        OpenedWindows.unlisted(found.size()),
        OpenedWindows.few(found.size(), FEW, "checks"),
        missing(found.size(), limits));
  }

  private static List<BigDecimal> moves(double[] errors) {
    List<BigDecimal> moves = new ArrayList<>();
    for (int i = 1; i < errors.length; i++) {
      moves.add(BigDecimal.valueOf(Math.abs(errors[i] - errors[i - 1])));
    }
    return moves;
  }

  private static Charted charted(
      List<FoundError> found,
      double[] errors,
      int i,
      @Nullable LimitLines limits,
      @Nullable LimitLines ranges) {
    FoundError each = found.get(i);
    Double moved = i == 0 ? null : (Double) Math.abs(errors[i] - errors[i - 1]);
    return new Charted(
        String.valueOf(each.check()),
        each.at(),
        each.certificate(),
        each.indications(),
        errors[i],
        moved,
        each.limit(),
        each.passed(),
        i > 0 && found.get(i - 1).adjusted(),
        limits == null ? null : (Boolean) limits.beyond(errors[i]),
        (moved == null || ranges == null) ? null : (Boolean) ranges.beyond(moved));
  }

  private static List<NotComputed> missing(int checks, @Nullable LimitLines limits) {
    if (limits != null) {
      return List.of();
    }
    return List.of(
        checks < 2
            ? new NotComputed(
                "limits",
                NotComputed.Reason.TOO_FEW,
                "There is one check; limits come from how errors move from check to check.")
            : new NotComputed(
                "limits",
                NotComputed.Reason.ZERO_SPREAD,
                "Every check found the same error; the instrument shows too coarse a step."));
  }
}
