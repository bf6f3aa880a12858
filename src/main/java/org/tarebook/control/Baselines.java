package org.tarebook.control;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.stats.Estimator;

/** Computes limits from baselines, and tells what makes them doubtful. */
@Component
class Baselines {

  private static final int FEWEST = 2;

  private final ChartedWindows windows;
  private final Flags flags;

  Baselines(ChartedWindows windows, Flags flags) {
    this.windows = windows;
    this.flags = flags;
  }

  /**
   * What limits are to be computed from.
   *
   * @param stratum the one stratum they are for; empty for the whole chart
   * @param estimator of sigma; absent for the usual one of the kind of chart
   * @param setAside the points left out, and why
   */
  record Wanted(
      Chart chart,
      Instant from,
      Instant before,
      String stratum,
      @Nullable Estimator estimator,
      List<SetAside> setAside) {}

  /**
   * What limits would be.
   *
   * @param window the baseline as it came
   * @param outcome the points kept, their limits, and the rounds that led there
   */
  record Computed(Wanted wanted, ChartedWindow window, Rounds.Outcome outcome, List<Flag> flags) {

    /** The limits, if they can be frozen. */
    Optional<Limits> usable() {
      return notComputed().isEmpty() ? outcome.limits() : Optional.empty();
    }

    /** Why the limits cannot be frozen; absent if they can. */
    Optional<NotComputed> notComputed() {
      long spreads = outcome.limits().map(found -> found.sigma().subgroups()).orElse(0L);
      if (spreads < FEWEST) {
        boolean individuals = wanted.chart().cut().kind() == Chart.Kind.INDIVIDUALS;
        return Optional.of(
            new NotComputed(
                "limits",
                NotComputed.Reason.TOO_FEW,
                "The baseline has "
                    + spreads
                    + (individuals ? " moving range(s)" : " complete subgroup(s)")
                    + " that count; limits take at least 2, so choose a longer baseline"
                    + (wanted.setAside().isEmpty() ? "." : " or set fewer points aside.")));
      }
      return outcome.limits().orElseThrow().apart()
          ? Optional.empty()
          : Optional.of(
              new NotComputed(
                  "limits",
                  NotComputed.Reason.ZERO_SPREAD,
                  "Nothing varies within the baseline, so there is no sigma; choose another"
                      + " baseline, or a finer instrument."));
    }

    /** The points that went into the limits and lie beyond them. */
    List<Found> beyond() {
      return usable().stream()
          .flatMap(lines -> Found.beyond(wanted.chart().cut(), outcome.kept(), lines).stream())
          .toList();
    }
  }

  /** Computes limits, in one picture of the record. */
  Computed compute(Plan plan, Wanted wanted) {
    new StudyWindow(wanted.from(), wanted.before()).check();
    Chart chart = wanted.chart();
    Estimator estimator = WithinSigma.require(chart, wanted.estimator(), "estimator");
    ChartedWindow window =
        windows.read(
            plan,
            new ReadingWindow.Asked(chart, wanted.from(), wanted.before()),
            wanted.stratum().isEmpty() ? null : wanted.stratum());
    Rounds.Outcome outcome =
        new Rounds(chart.cut(), estimator, window.points()).run(wanted.setAside());
    return new Computed(
        wanted,
        window,
        outcome,
        flags.of(plan, window.withPoints(outcome.kept()), outcome.limits().map(Limits::sigma)));
  }
}
