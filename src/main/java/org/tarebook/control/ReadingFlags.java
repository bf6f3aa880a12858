package org.tarebook.control;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Plan;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.spec.Specification;
import org.tarebook.stats.baseline.Doubt;
import org.tarebook.stats.baseline.ReadingDoubts;

/** Doubts whether readings were written down as the instruments showed them. */
final class ReadingFlags {

  /** The chance below which it is told; lower than elsewhere, since it is about people. */
  private static final double RARE = 0.001;

  /** Steps in sigma from which on even last digits are to be expected of a normal process. */
  private static final double STEPS_IN_SIGMA = 6;

  private static final BigFraction NANOS = BigFraction.of(1_000_000_000L);
  private static final String CHANCE =
      "Told below a chance of 0.001; the bound is common practice. ";

  private final Plan plan;
  private final ChartedWindow window;
  private final double step;

  /**
   * Looks at the readings of a window.
   *
   * @param step the coarsest step shown, in the chart's unit
   */
  ReadingFlags(Plan plan, ChartedWindow window, double step) {
    this.plan = plan;
    this.window = window;
    this.step = step;
  }

  private record Source(Unit unit, @Nullable Long instrument) {}

  /** Looks at the last digits of the instrument, or entry by hand, that gave most readings. */
  Optional<Flag> preferredDigits(double sigma) {
    return window.readings().stream()
        .collect(Collectors.groupingBy(row -> new Source(row.unit(), row.instrumentId())))
        .entrySet()
        .stream()
        .max(Comparator.comparingInt(each -> each.getValue().size()))
        .flatMap(each -> preferredDigits(each.getKey(), each.getValue(), sigma));
  }

  private Optional<Flag> preferredDigits(Source source, List<Row> rows, double sigma) {
    int decimals = rows.stream().mapToInt(Row::decimals).max().orElse(0);
    long shown = IntStream.range(decimals, 9).mapToLong(i -> 10).reduce(1, (a, b) -> a * b);
    Long instrument = source.instrument();
    BigFraction interval =
        instrument == null
            ? BigFraction.ZERO
            : ChartedWindows.interval(plan, instrument, source.unit()).multiply(NANOS);
    boolean whole = interval.getDenominator().equals(java.math.BigInteger.ONE);
    long nanos = whole ? Math.max(shown, interval.longValue()) : shown;
    if (rows.stream().anyMatch(row -> row.nanos() % nanos != 0)) {
      return Optional.empty();
    }
    double inUnit = nanos / 1e9 * source.unit().factorTo(window.unit()).abs().doubleValue();
    if (sigma < STEPS_IN_SIGMA * inUnit) {
      return Optional.empty();
    }
    long[] steps = rows.stream().mapToLong(row -> row.nanos() / nanos).toArray();
    return ReadingDoubts.lastDigits(steps, RARE)
        .filter(found -> found.doubt().raised())
        .map(found -> digits(found, rows.size()));
  }

  private static Flag digits(ReadingDoubts.LastDigits found, int readings) {
    List<Integer> order =
        IntStream.range(0, 10)
            .boxed()
            .sorted(Comparator.comparing(digit -> -found.counts().get(digit)))
            .toList();
    return new Flag(
        Flag.Code.PREFERRED_DIGITS,
        "Last digits are uneven: of %d readings %d end in %d and %d in %d, where about %d are expected of each (chance %s). Readings may be rounded by eye or guessed; take them from the instrument without typing, or look at how they are read."
            .formatted(
                readings,
                found.counts().get(order.get(0)),
                order.get(0),
                found.counts().get(order.get(1)),
                order.get(1),
                Math.round(readings / 10.0),
                Words.chance(found.doubt().figure())),
        CHANCE
            + "Chi-square of the ten digits, from 50 readings on, and only where sigma spans 6 steps or more, so that a normal process shows all digits alike.",
        Map.of(
            "chiSquared",
            found.chiSquared(),
            "p",
            found.doubt().figure(),
            "bound",
            found.doubt().bound(),
            "readings",
            (double) readings,
            "mostFrequentDigit",
            (double) order.get(0),
            "ofThem",
            (double) found.counts().get(order.get(0))));
  }

  /** Looks at both limits of the specification in force at the end of the window. */
  List<Flag> piledInside(double sigma) {
    List<Flag> flags = new ArrayList<>();
    if (window.specification().isPresent() && step > 0) {
      Specification.Limits limits = window.specification().get().limits();
      double[] readings = window.values();
      double mean = window.moments().mean();
      piled(limits, limits.lower(), false, readings, mean, sigma).ifPresent(flags::add);
      piled(limits, limits.upper(), true, readings, mean, sigma).ifPresent(flags::add);
    }
    return flags;
  }

  private Optional<Flag> piled(
      Specification.Limits limits,
      @Nullable BigDecimal limit,
      boolean upper,
      double[] readings,
      double mean,
      double sigma) {
    Double written = window.inUnit(limit, limits.unit());
    if (written == null) {
      return Optional.empty();
    }
    BigDecimal rounding = limits.roundingInterval();
    double passes =
        rounding == null
            ? 0
            : rounding.doubleValue()
                / 2
                * limits.unit().factorTo(window.unit()).abs().doubleValue();
    // Halfway between the last step that passes and the first that fails.
    double last = Math.floor(((upper ? written : -written) + passes) / step + 1e-9);
    double edge = (upper ? 1 : -1) * (last + 0.5) * step;
    double width = step * Math.max(2, Math.ceil(sigma / 2 / step));
    return ReadingDoubts.piledInside(readings, edge, upper, width, mean, sigma, RARE)
        .filter(Doubt::raised)
        .map(doubt -> piled(doubt, readings, edge, upper, width));
  }

  private Flag piled(Doubt doubt, double[] readings, double edge, boolean upper, double width) {
    int inside = 0;
    int outside = 0;
    for (double reading : readings) {
      double beyond = (upper ? 1 : -1) * (reading - edge);
      inside += beyond <= 0 && beyond > -width ? 1 : 0;
      outside += beyond > 0 && beyond <= width ? 1 : 0;
    }
    return new Flag(
        Flag.Code.PILED_INSIDE_LIMIT,
        "%d readings lie within %s %s inside the %s limit and %d as far outside, more than a normal process gives (chance %s). Rejects may be weighed or trimmed until they pass, or written down as passing; watch how items near the limit are handled, and keep first readings."
            .formatted(
                inside,
                Words.number(width, width),
                window.unit().label(),
                upper ? "upper" : "lower",
                outside,
                Words.chance(doubt.figure())),
        CHANCE
            + "Binomial tail of the readings inside, by the normal curve of mean and sigma within; bands of half a sigma, two steps at least.",
        Map.of(
            "inside",
            (double) inside,
            "outside",
            (double) outside,
            "width",
            width,
            "p",
            doubt.figure(),
            "bound",
            doubt.bound()));
  }

  /** Looks at which items were measured again. */
  static Optional<Flag> measuredAgain(List<List<Boolean>> attempts) {
    return ReadingDoubts.measuredAgain(attempts, RARE)
        .filter(found -> found.doubt().raised())
        .map(
            found ->
                new Flag(
                    Flag.Code.MEASURED_AGAIN_UNTIL_PASSED,
                    "Of %d items that failed first %d were measured again, of %d that passed %d (chance %s); %d that failed passed in the end. Statistics use first readings, so nothing is hidden here; say when an item is measured again, and measure some that passed as well."
                        .formatted(
                            found.failed(),
                            found.failedAgain(),
                            found.passed(),
                            found.passedAgain(),
                            Words.chance(found.doubt().figure()),
                            found.endedPassing()),
                    CHANCE + "R. A. Fisher's exact test of failed and passed, once and again.",
                    Map.of(
                        "failed",
                        (double) found.failed(),
                        "failedAgain",
                        (double) found.failedAgain(),
                        "passed",
                        (double) found.passed(),
                        "passedAgain",
                        (double) found.passedAgain(),
                        "endedPassing",
                        (double) found.endedPassing(),
                        "p",
                        found.doubt().figure(),
                        "bound",
                        found.doubt().bound())));
  }
}
