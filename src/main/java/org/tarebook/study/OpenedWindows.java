package org.tarebook.study;

import java.time.Clock;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Charts;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.ChartedWindows;
import org.tarebook.control.Flag;
import org.tarebook.control.Flags;
import org.tarebook.control.LimitSets;
import org.tarebook.control.LimitsInForce;
import org.tarebook.control.StudyWindow;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.control.WindowQuery;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.reading.AsOf;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.spec.Characteristic;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.storage.Transactions;

/** Opens windows of charts for study, each on one picture of the record. */
@Component
class OpenedWindows {

  /** The most points that a study lists. */
  static final int MOST_POINTS = 10_000;

  private final Charts charts;
  private final ChartedWindows windows;
  private final Flags doubts;
  private final LimitSets limitSets;
  private final Plans plans;
  private final Transactions transactions;
  private final Clock clock;

  OpenedWindows(
      Charts charts,
      ChartedWindows windows,
      Flags doubts,
      LimitSets limitSets,
      Plans plans,
      Transactions transactions,
      Clock clock) {
    this.charts = charts;
    this.windows = windows;
    this.doubts = doubts;
    this.limitSets = limitSets;
    this.plans = plans;
    this.transactions = transactions;
    this.clock = clock;
  }

  /** A window of a chart, with the masters it was read by and the frozen limits of the chart. */
  record Opened(
      Plan plan,
      Chart chart,
      ChartedWindow window,
      LimitsInForce limits,
      ChartedWindows windows,
      Flags doubts) {

    /** The readings of the window as capability studies look at them. */
    SummarisedWindow summary() {
      return windows.summarise(plan, window);
    }

    /** What is measured. */
    Characteristic characteristic() {
      return plan.characteristics().get(chart.characteristicId());
    }

    /** What makes limits from it doubtful. */
    List<Flag> flags(SigmaEstimate sigma) {
      return doubts.of(plan, window, Optional.of(sigma));
    }
  }

  /** Opens a window; what is left out of it becomes the last 30 days. */
  <T> T of(String code, WindowQuery query, Function<Opened, T> work) {
    Chart chart = charts.get(code);
    StudyWindow asked = query.window(clock.instant());
    return transactions.snapshot(
        () -> {
          AsOf asOf = windows.asOf(chart, query.asOf());
          Plan plan = plans.asOf(plans.current(), asOf.moment());
          ChartedWindow window =
              windows.read(
                  plan,
                  new ReadingWindow.Asked(chart, asked.from(), asked.before(), asOf),
                  query.stratum());
          return work.apply(
              new Opened(
                  plan, chart, window, limitSets.of(chart).asOf(asOf.version()), windows, doubts));
        });
  }

  /** The first of a list, as many as a study lists. */
  static <T> List<T> listed(List<T> all) {
    return all.size() <= MOST_POINTS ? all : List.copyOf(all.subList(0, MOST_POINTS));
  }

  /** How many of so many points a study does not list. */
  static long unlisted(long points) {
    return Math.max(0, points - MOST_POINTS);
  }

  /** The doubt about limits that come from few points; none where there are enough. */
  static List<Flag> few(int points, int wanted, String what) {
    return points >= wanted
        ? List.of()
        : List.of(
            new Flag(
                Flag.Code.TOO_FEW,
                String.format(
                    Locale.ROOT,
                    "There are %d %s; common practice asks for at least %d before limits are believed.",
                    points,
                    what,
                    wanted),
                "Told below %d; common practice.".formatted(wanted),
                Map.of("points", (double) points, "wanted", (double) wanted)));
  }

  /** The refusal of a window that has too little for a study. */
  static Problem tooLittle(Chart chart, int points, String what) {
    return new Problem(
        ProblemType.RULE_BROKEN,
        "Chart "
            + chart.code()
            + " has "
            + points
            + " "
            + what
            + " in the window; at least 2 that vary are needed. Ask for a longer window.");
  }
}
