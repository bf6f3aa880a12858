package org.tarebook.study;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.ChartedWindows;
import org.tarebook.control.Point;
import org.tarebook.control.StudyWindow;
import org.tarebook.control.WithinSigma;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Specification;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.chart.ShortRun;
import org.tarebook.storage.Transactions;

/** Reads several charts together, each point as its distance from its own target. */
@Component
class ShortRuns {

  private final ChartedWindows windows;
  private final Plans plans;
  private final Transactions transactions;

  ShortRuns(ChartedWindows windows, Plans plans, Transactions transactions) {
    this.windows = windows;
    this.plans = plans;
    this.transactions = transactions;
  }

  /**
   * One chart of several, with its figures in the unit of all.
   *
   * @param factor from its own unit to that of all
   * @param sigma of single readings, in its own unit
   */
  record Size(
      Chart chart,
      Characteristic characteristic,
      ChartedWindow window,
      double factor,
      SigmaEstimate sigma) {}

  /** A point and where it came from, with its figures in the unit of all. */
  record Placed(Size size, Point point, ShortRun.Point figures) {

    boolean isOf(Size other) {
      return size.chart().id() == other.chart().id();
    }
  }

  /** What was read of several charts. */
  record Read(StudyWindow window, Unit unit, List<Size> sizes, List<Placed> placed) {}

  /**
   * OpenedWindows charts that are named, or all in use on a line.
   *
   * @throws Problem where they cannot stand on one chart
   */
  ShortRunStudy study(List<String> codes, @Nullable String line, StudyWindow window) {
    return transactions.snapshot(
        () -> {
          Plan plan = plans.current();
          List<Chart> charts = line == null ? named(plan, codes) : ofLine(plan, line);
          return ShortRunStudy.of(read(plan, charts, window));
        });
  }

  private static List<Chart> named(Plan plan, List<String> codes) {
    return codes.stream().map(code -> plan.charts().require(code, "chart")).toList();
  }

  private static List<Chart> ofLine(Plan plan, String code) {
    List<Chart> charts = plan.chartsInUse(plan.lines().require(code, "line"));
    if (charts.size() < 2 || charts.size() > ShortRunController.MOST_CHARTS) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "line",
          "has "
              + charts.size()
              + " charts in use; it takes 2 to "
              + ShortRunController.MOST_CHARTS
              + ": name them by chart");
    }
    return charts;
  }

  private Read read(Plan plan, List<Chart> charts, StudyWindow asked) {
    Unit unit = plan.characteristics().get(charts.get(0).characteristicId()).unit();
    List<Size> sizes = new ArrayList<>();
    List<Placed> placed = new ArrayList<>();
    for (Chart chart : charts) {
      Characteristic characteristic = plan.characteristics().get(chart.characteristicId());
      requireOneKind(charts.get(0), unit, chart, characteristic.unit());
      ChartedWindow window =
          windows.read(plan, new ReadingWindow.Asked(chart, asked.from(), asked.before()), null);
      SigmaEstimate sigma =
          WithinSigma.of(chart.cut(), WithinSigma.require(chart, null, "chart"), window.points())
              .filter(found -> found.sigma() > 0)
              .orElseThrow(() -> OpenedWindows.tooLittle(chart, window.points().size(), "points"));
      double factor = characteristic.unit().factorTo(unit).doubleValue();
      Size size = new Size(chart, characteristic, window, factor, sigma);
      sizes.add(size);
      for (Point point : window.points()) {
        target(plan, characteristic, point)
            .ifPresent(target -> placed.add(place(size, point, target)));
      }
    }
    placed.sort(
        Comparator.comparing((Placed each) -> each.point().at())
            .thenComparing(each -> each.point().lastReading()));
    return new Read(asked, unit, sizes, placed);
  }

  private static void requireOneKind(Chart first, Unit unit, Chart chart, Unit own) {
    if (!own.sameKindAs(unit)) {
      throw Problem.at(
          ProblemType.UNIT_MISMATCH,
          "chart",
          chart.code()
              + " is in "
              + own.label()
              + ", a unit of "
              + own.kind().label()
              + ", and "
              + first.code()
              + " in "
              + unit.label()
              + ", one of "
              + unit.kind().label()
              + "; one chart takes one kind");
    }
  }

  private static Placed place(Size size, Point point, double target) {
    // Distances only count: a unit that begins elsewhere, as degrees do, changes none of them.
    return new Placed(
        size,
        point,
        new ShortRun.Point(
            point.value() * size.factor(),
            target * size.factor(),
            size.sigma().sigma() * Math.abs(size.factor()),
            point.subgroup().count()));
  }

  /** The target in force when a point was measured, or the middle of two limits. */
  private static Optional<Double> target(Plan plan, Characteristic characteristic, Point point) {
    Specification.Limits limits =
        plan.inForce(characteristic, point.span().latest()).map(Specification::limits).orElse(null);
    if (limits == null) {
      return Optional.empty();
    }
    if (limits.target() != null) {
      return Optional.of(
          Unit.convert(limits.target(), limits.unit(), characteristic.unit()).doubleValue());
    }
    if (limits.lower() == null || limits.upper() == null) {
      return Optional.empty();
    }
    BigFraction both =
        Unit.convert(limits.lower(), limits.unit(), characteristic.unit())
            .add(Unit.convert(limits.upper(), limits.unit(), characteristic.unit()));
    return Optional.of(both.divide(2).doubleValue());
  }
}
