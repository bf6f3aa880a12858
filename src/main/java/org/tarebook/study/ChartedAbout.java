package org.tarebook.study;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.HashSet;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.control.LimitSet;
import org.tarebook.control.LimitsInForce;
import org.tarebook.control.Point;

/**
 * The centre and the sigma of a point that a chart with memory is drawn by: those asked for, else
 * those of the frozen limits of all points, else those of the window itself.
 */
@Schema(
    name = "ChartedAbout",
    description = "The centre and the sigma of a point by which a chart with memory is drawn.")
record ChartedAbout(
    @Schema(description = "The centre, in the unit of basis.") double centre,
    @Schema(description = "Where centre comes from.") Source centreFrom,
    @Schema(description = "Sigma of one plotted point, in the unit of basis.") double sigma,
    @Schema(description = "Where sigma comes from.") Source sigmaFrom,
    @Schema(
            description =
                "Code of the frozen limit set; absent where neither figure comes from one.")
        @Nullable String limitSet,
    @Schema(description = "What the run lengths assume.") String words) {

  /** Where a figure comes from. */
  @Schema(
      name = "ChartedAboutSource",
      description = "Where the centre or sigma of a chart comes from.")
  enum Source {
    @Schema(description = "It was stated in the request.")
    STATED,
    @Schema(description = "The frozen limit set in force.")
    FROZEN,
    @Schema(description = "The window of the study itself.")
    COMPUTED_FROM_WINDOW
  }

  /**
   * Chooses the figures.
   *
   * @param target asked for; absent where not
   * @param sigma asked for; absent where not
   * @param run what the run lengths assume of the chart itself
   */
  static ChartedAbout of(
      LimitsInForce limits,
      Series series,
      @Nullable Double target,
      @Nullable Double sigma,
      String run) {
    LimitSet set = target != null && sigma != null ? null : frozen(limits, series).orElse(null);
    double own = sigma != null ? sigma : set == null ? series.sigma() : set.limits().sigmaOfPoint();
    if (!(own > 0)) {
      throw Series.tooLittle(
          series.window().asked().chart(), series.points().size(), ", or state sigma");
    }
    Source usual = set == null ? Source.COMPUTED_FROM_WINDOW : Source.FROZEN;
    return new ChartedAbout(
        target != null ? target : set == null ? series.centre() : set.limits().points().centre(),
        target != null ? Source.STATED : usual,
        own,
        sigma != null ? Source.STATED : usual,
        set == null ? null : set.code(),
        run + words(set, series, target == null || sigma == null));
  }

  /** The one set that is in force for every point. */
  private static Optional<LimitSet> frozen(LimitsInForce limits, Series series) {
    Set<Optional<LimitSet>> sets = new HashSet<>();
    for (Point point : series.points()) {
      sets.add(limits.at(point).filter(set -> set.unit() == series.window().unit()));
    }
    return sets.size() == 1 ? sets.iterator().next() : Optional.empty();
  }

  private static String words(@Nullable LimitSet set, Series series, boolean estimated) {
    String known =
        " They take centre and sigma as known and points as independent and normal, and a shift as"
            + " lasting from the first point on.";
    if (!estimated) {
      return known;
    }
    return known
        + (set == null
            ? String.format(
                Locale.ROOT,
                " What was not asked for is computed from the %d points of the window, so a shift in"
                    + " it moves the centre too and shows less; freeze limits, or state target and"
                    + " sigma.",
                series.points().size())
            : String.format(
                Locale.ROOT,
                " Limits %s come from %d points, so the chart signals falsely more often than that.",
                set.code(),
                set.baseline().points()));
  }
}
