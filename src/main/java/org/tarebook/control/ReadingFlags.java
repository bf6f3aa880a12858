package org.tarebook.control;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.IntStream;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Plan;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Specification;
import org.tarebook.stats.CountedNanos;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.baseline.Outliers;
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
  private final SummarisedWindow window;
  private final double step;

  /**
   * Looks at the readings of a window.
   *
   * @param step that readings are recorded in, in the chart's unit; 0 without sigma
   */
  ReadingFlags(Plan plan, SummarisedWindow window, double step) {
    this.plan = plan;
    this.window = window;
    this.step = step;
  }

  /**
   * Readings that lie too far from all others, of a characteristic without a bound by nature: near
   * such a bound readings have a long tail.
   */
  Optional<Flag> outliers() {
    Characteristic of = plan.characteristics().get(window.asked().chart().characteristicId());
    if (of == null || of.bounded() != Characteristic.Bounded.NOT) {
      return Optional.empty();
    }
    CountedValues readings = window.values();
    List<Double> values = Outliers.of(readings, Outliers.LEVEL).values();
    if (values.isEmpty()) {
      return Optional.empty();
    }
    Map<String, Double> figures = new LinkedHashMap<>();
    for (int i = 0; i < values.size(); i++) {
      figures.put("value" + (i + 1), values.get(i));
    }
    String named =
        String.join(", ", values.stream().distinct().map(each -> Words.number(each, 0)).toList());
    return Optional.of(
        new Flag(
            Flag.Code.OUTLIERS,
            "%d of %d readings %s so far from the others that a normal process hardly gives them: %s %s. Look at them before anything else, such as two strips on the scale at once: sigma, shape, piling inside limits and rates of signals count them. None is left out; void those that are wrong, with the reason."
                .formatted(
                    values.size(),
                    readings.count(),
                    values.size() == 1 ? "lies" : "lie",
                    named,
                    window.unit().label()),
            "Generalised test of extreme studentised deviates at a level of 0.001, one reading of"
                + " fewer than 25, else up to ten (B. Rosner, Technometrics 25 (1983) 165-172).",
            figures));
  }

  /** Looks at the last digits of the instrument, or entry by hand, that gave most readings. */
  Optional<Flag> preferredDigits(double sigma) {
    return window.summary().byScale().entrySet().stream()
        .max(Comparator.comparingLong(each -> each.getValue().count()))
        .flatMap(each -> preferredDigits(each.getKey(), each.getValue(), sigma));
  }

  private Optional<Flag> preferredDigits(Summary.Scale source, CountedNanos values, double sigma) {
    long shown = CountedNanos.ofDecimal(window.summary().decimals(source));
    Long instrument = source.instrument();
    BigFraction interval =
        instrument == null
            ? BigFraction.ZERO
            : ChartedWindows.interval(plan, instrument, source.unit(), window.asked())
                .multiply(NANOS);
    boolean whole = interval.getDenominator().equals(java.math.BigInteger.ONE);
    long nanos = whole ? Math.max(shown, interval.longValue()) : shown;
    double inUnit = nanos / 1e9 * source.unit().factorTo(window.unit()).abs().doubleValue();
    if (sigma < STEPS_IN_SIGMA * inUnit) {
      return Optional.empty();
    }
    return values
        .inSteps(nanos)
        .flatMap(steps -> ReadingDoubts.lastDigits(steps, RARE))
        .filter(found -> found.doubt().raised())
        .map(found -> digits(found, values.count()));
  }

  private static Flag digits(ReadingDoubts.LastDigits found, long readings) {
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

  /**
   * Looks at both limits of the specification in force at the last counted reading of the window.
   */
  List<Flag> piledInside(double sigma) {
    List<Flag> flags = new ArrayList<>();
    if (window.specification().isPresent() && step > 0) {
      Specification.Limits limits = window.specification().get().limits();
      CountedValues readings = window.values();
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
      CountedValues readings,
      double mean,
      double sigma) {
    Double written = limits.in(limit, window.unit());
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
        .filter(found -> found.doubt().raised())
        .map(found -> piled(found, upper, width));
  }

  private Flag piled(ReadingDoubts.PiledInside found, boolean upper, double width) {
    return new Flag(
        Flag.Code.PILED_INSIDE_LIMIT,
        "%d readings lie within %s %s inside the %s limit and %d as far outside, more than a normal process gives (chance %s). Rejects may be weighed or trimmed until they pass, or written down as passing; watch how items near the limit are handled, and keep first readings."
            .formatted(
                found.inside(),
                Words.number(width, width),
                window.unit().label(),
                upper ? "upper" : "lower",
                found.outside(),
                Words.chance(found.doubt().figure())),
        CHANCE
            + "Binomial tail of the readings inside, by the normal curve of mean and sigma within; bands of half a sigma, two steps at least.",
        Map.of(
            "inside",
            (double) found.inside(),
            "outside",
            (double) found.outside(),
            "width",
            width,
            "p",
            found.doubt().figure(),
            "bound",
            found.doubt().bound()));
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
