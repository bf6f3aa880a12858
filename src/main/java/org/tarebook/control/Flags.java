package org.tarebook.control;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Plan;
import org.tarebook.stats.SigmaEstimate;

/** Finds what makes limits or indices from a window doubtful. */
@Component
public class Flags {

  /** Subgroups below which limits are doubtful, as is common practice. */
  public static final int FEWEST_SUBGROUPS = 20;

  /** The same for single readings. */
  public static final int FEWEST_INDIVIDUALS = 100;

  private final ChartedWindows windows;

  Flags(ChartedWindows windows) {
    this.windows = windows;
  }

  /** The doubts about a window whose readings were read. */
  public List<Flag> of(Plan plan, ChartedWindow window, Optional<SigmaEstimate> sigma) {
    return of(plan, windows.summarise(plan, window), sigma);
  }

  /**
   * The doubts about a window: readings that lie too far from all others, since all that follows
   * counts them; then whether it can give a sigma, and whether readings were written down as the
   * instruments showed them.
   *
   * @param sigma the within-subgroup sigma, where it exists
   */
  public List<Flag> of(Plan plan, SummarisedWindow window, Optional<SigmaEstimate> sigma) {
    double step =
        window
            .summary()
            .coarsestStep(
                window.unit(),
                instrument -> ChartedWindows.interval(plan, instrument, window.unit()));
    ReadingFlags readings = new ReadingFlags(plan, window, step);
    List<Flag> flags = new ArrayList<>();
    readings.outliers().ifPresent(flags::add);
    censored(window).ifPresent(flags::add);
    flags.addAll(SpreadFlags.of(window, step, sigma));
    sigma
        .filter(estimate -> estimate.sigma() > 0)
        .ifPresent(
            estimate -> {
              readings.preferredDigits(estimate.sigma()).ifPresent(flags::add);
              flags.addAll(readings.piledInside(estimate.sigma()));
            });
    if (!window.summary().uncounted().isEmpty()) { // of an item measured again not all count
      ReadingFlags.measuredAgain(windows.attempts(window.latestAsked())).ifPresent(flags::add);
    }
    return flags;
  }

  private static Optional<Flag> censored(SummarisedWindow window) {
    long readings = window.summary().censored();
    return readings == 0
        ? Optional.empty()
        : Optional.of(
            new Flag(
                Flag.Code.CENSORED,
                "Of %d readings only a bound is known, and they are left out: mean, spread and limits of"
                        .formatted(readings)
                    + " the others alone mislead.",
                "Told wherever there is one.",
                Map.of("readings", (double) readings)));
  }
}
