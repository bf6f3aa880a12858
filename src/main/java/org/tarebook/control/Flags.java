package org.tarebook.control;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedMap;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Plan;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.SubgroupSums;

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
        sigma
            .map(
                estimate ->
                    window
                        .summary()
                        .step(
                            window.unit(),
                            estimate.sigma(),
                            instrument ->
                                ChartedWindows.interval(
                                    plan, instrument, window.unit(), window.asked())))
            .orElse(0.0);
    ReadingFlags readings = new ReadingFlags(plan, window, step);
    List<Flag> flags = new ArrayList<>();
    readings.outliers().ifPresent(flags::add);
    censored(window).ifPresent(flags::add);
    samplesDiffer(window).ifPresent(flags::add);
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

  private static Optional<Flag> samplesDiffer(SummarisedWindow window) {
    long planned = window.cut().subgroupSize();
    SortedMap<Long, SubgroupSums.OfSize> sizes = window.summary().together().subgroups().sizes();
    long fewer = sum(sizes.headMap(planned));
    long more = sum(sizes.tailMap(planned + 1));
    return fewer + more == 0
        ? Optional.empty()
        : Optional.of(
            new Flag(
                Flag.Code.SAMPLES_DIFFER_IN_SIZE,
                "Of %d points %d hold fewer readings than the %d planned and %d hold more. Limits of each are those of its own number, and sigma weighs each by what it tells; find out why readings are missing, or why a name was used twice in a shift."
                    .formatted(window.points(), fewer, planned, more),
                "Told wherever there is one.",
                Map.of("fewer", (double) fewer, "more", (double) more)));
  }

  private static long sum(SortedMap<Long, SubgroupSums.OfSize> sizes) {
    return sizes.values().stream().mapToLong(SubgroupSums.OfSize::subgroups).sum();
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
