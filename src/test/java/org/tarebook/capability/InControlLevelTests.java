package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.chart.Chart;
import org.tarebook.control.Limits;
import org.tarebook.control.Point;
import org.tarebook.control.Signals;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.Moments;
import org.tarebook.stats.RuleSet;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.stats.Subgroup;

/**
 * How often a window of an unchanged process is not called in control, all its signals answered,
 * and how often one is that ran one sigma of a point higher in its second half. Points, limits,
 * signals and the decision come from the code that a study calls.
 *
 * <p>The suite runs a short form. {@code mvn test -Dtest=InControlLevelTests -Dsimulated=4000} runs
 * so many windows of each kind and leaves {@code target/in_control.csv}, which is committed as
 * {@code src/test/resources/simulated/in_control.csv}.
 */
class InControlLevelTests {

  private static final int WINDOWS = Integer.getInteger("simulated", 150);
  private static final Point.Segment SEGMENT = new Point.Segment("", Unit.of("kg"), null);
  private static final Instant AT = Instant.EPOCH;

  private final Stability stability = new Stability(null);
  private final Random random = new Random(11);

  @Test
  void anUnchangedProcessIsInControlInNinetyEightOfAHundredWindows() throws IOException {
    List<String> lines = new ArrayList<>();
    lines.add(
        "# Windows called in control, by InControlLevelTests, each from "
            + WINDOWS
            + "; limits of the window itself where the baseline has 0 points");
    lines.add("rules,kind,baseline,window,unchanged called in control,shifted still called so");
    for (RuleSet rules : List.of(RuleSet.WESTERN_ELECTRIC, RuleSet.NELSON, RuleSet.ISO_7870_2)) {
      for (Chart.Kind kind : List.of(Chart.Kind.XBAR_R, Chart.Kind.INDIVIDUALS)) {
        int size = kind == Chart.Kind.XBAR_R ? 5 : 1;
        Chart.Cut cut = new Chart.Cut(kind, size, Set.of(), rules.rules());
        for (int baseline : new int[] {0, 25, 100}) {
          for (int window : new int[] {25, 100, 500}) {
            double unchanged = share(cut, baseline, window, 0);
            double shifted = share(cut, baseline, window, 1);
            lines.add(
                String.format(
                    Locale.ROOT,
                    "%s,%s,%d,%d,%.4f,%.4f",
                    rules.name(),
                    kind,
                    baseline,
                    window,
                    unchanged,
                    shifted));
          }
        }
      }
    }
    Files.write(Path.of("target/in_control.csv"), lines);
    double error = Math.sqrt(0.98 * 0.02 / WINDOWS);
    assertThat(lines.subList(2, lines.size()))
        .allSatisfy(
            line ->
                assertThat(Double.parseDouble(line.split(",")[4]))
                    .as(line)
                    .isGreaterThan(0.98 - 3.5 * error));
  }

  @Test
  void fewPointsAreNotCalledInControlButMayBeCalledOut() {
    Chart.Cut cut =
        new Chart.Cut(Chart.Kind.INDIVIDUALS, 1, Set.of(), RuleSet.WESTERN_ELECTRIC.rules());
    List<Point> points = points(cut, 19, 0);
    assertThat(decide(cut, points, null, 0)).isNull();
    assertThat(decide(cut, points, null, 12)).isFalse();
    assertThat(decide(cut, points(cut, 20, 0), null, 0)).isTrue();
    Limits ofFew = Limits.of(cut, kindsOwn(cut), points).orElseThrow();
    List<Point> many = points(cut, 60, 0);
    assertThat(decide(cut, many, new Frozen(19, ofFew), 0)).isNull();
    assertThat(decide(cut, many, new Frozen(20, ofFew), 0)).isTrue();
    assertThat(decide(cut, many, new Frozen(19, ofFew), 60)).isFalse();
  }

  private record Frozen(int points, Limits limits) {}

  private double share(Chart.Cut cut, int baseline, int window, double shift) {
    int inControl = 0;
    for (int i = 0; i < WINDOWS; i++) {
      Frozen frozen =
          baseline == 0
              ? null
              : new Frozen(
                  baseline, Limits.of(cut, kindsOwn(cut), points(cut, baseline, 0)).orElseThrow());
      List<Point> points = points(cut, window, shift);
      Limits limits =
          frozen == null ? Limits.of(cut, kindsOwn(cut), points).orElseThrow() : frozen.limits();
      Signals.Counts counts = Stability.counts(cut, List.of(points), limits);
      inControl += Boolean.TRUE.equals(decide(cut, points, frozen, counts)) ? 1 : 0;
    }
    return inControl / (double) WINDOWS;
  }

  private @Nullable Boolean decide(
      Chart.Cut cut, List<Point> points, @Nullable Frozen frozen, int signalled) {
    Signals.Counts counts =
        new Signals.Counts(signalled, Signals.Open.NONE, new Signals.Far(signalled > 0 ? 3 : 0, 0));
    return decide(cut, points, frozen, counts);
  }

  private @Nullable Boolean decide(
      Chart.Cut cut, List<Point> points, @Nullable Frozen frozen, Signals.Counts counts) {
    SigmaEstimate own = Limits.of(cut, kindsOwn(cut), points).orElseThrow().sigma();
    return stability
        .decide(
            cut,
            List.of(
                frozen == null
                    ? Stability.Stretch.ofItself(cut, points.size(), points.size(), own)
                    : Stability.Stretch.frozen(
                        cut, points.size(), frozen.points(), frozen.limits().sigma())),
            counts,
            frozen == null
                ? Study.InControl.Source.COMPUTED_FROM_WINDOW
                : Study.InControl.Source.FROZEN,
            List.of(),
            List.of(),
            Optional.empty())
        .inControl();
  }

  private static org.tarebook.stats.Estimator kindsOwn(Chart.Cut cut) {
    return cut.kind().estimators().get(0);
  }

  private List<Point> points(Chart.Cut cut, int count, double shift) {
    List<Point> points = new ArrayList<>();
    long before = 0;
    double root = Math.sqrt(cut.subgroupSize());
    for (int i = 0; i < count; i++) {
      double mean = i < count / 2 ? 0 : shift / root;
      long[] nanos = new long[cut.subgroupSize()];
      for (int j = 0; j < nanos.length; j++) {
        nanos[j] = Math.round(1e9 * (mean + random.nextGaussian()));
      }
      boolean moves = cut.subgroupSize() == 1 && i > 0;
      points.add(
          new Point(
              SEGMENT,
              null,
              AT,
              new Point.Span(AT, AT),
              i,
              i,
              List.of(),
              Subgroup.of(nanos),
              moves
                  ? new Point.Moved(Moments.of(new long[] {Math.abs(nanos[0] - before)}), AT)
                  : null));
      before = nanos[0];
    }
    return points;
  }
}
