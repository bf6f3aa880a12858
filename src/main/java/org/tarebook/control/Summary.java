package org.tarebook.control;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.function.BiFunction;
import java.util.function.Function;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.Cause;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.stats.CountedNanos;
import org.tarebook.stats.CountedValues;
import org.tarebook.stats.Moments;
import org.tarebook.stats.Resolution;

/**
 * What the readings of a stretch of a chart come to when their order no longer matters. Exact: the
 * summaries of the parts of a window give that of the window, so a figure has the same digits
 * however the window was put together.
 *
 * @param shown the values that count, by where they came from
 * @param points what the points come to, by stratum
 * @param uncounted how many readings do not count, each under the first of its causes
 */
public record Summary(
    SortedMap<Source, Shown> shown,
    SortedMap<String, PointSums> points,
    Map<Cause, Long> uncounted) {

  /** Nothing. */
  public static final Summary EMPTY = of(List.of(), row -> "", List.of(), Map.of());

  /**
   * Where readings came from.
   *
   * @param decimals the decimals they were shown with
   */
  public record Source(String stratum, Unit unit, int decimals, @Nullable Long instrument)
      implements Comparable<Source> {

    private static final Comparator<Source> ORDER =
        Comparator.comparing(Source::stratum)
            .thenComparing(Source::unit)
            .thenComparing(Source::decimals)
            .thenComparing(
                Source::instrument, Comparator.nullsFirst(Comparator.<Long>naturalOrder()));

    @Override
    public int compareTo(Source other) {
      return ORDER.compare(this, other);
    }
  }

  /**
   * The values of a source.
   *
   * @param values as shown, in the unit of the source
   * @param first the earliest measuring time
   * @param last the latest measuring time
   */
  public record Shown(CountedNanos values, Instant first, Instant last) {
    Shown plus(Shown other) {
      return new Shown(
          values.plus(other.values),
          first.isBefore(other.first) ? first : other.first,
          last.isAfter(other.last) ? last : other.last);
    }
  }

  /** Makes the maps unmodifiable. */
  public Summary {
    shown = Collections.unmodifiableSortedMap(shown);
    points = Collections.unmodifiableSortedMap(points);
    uncounted = Collections.unmodifiableMap(uncounted);
  }

  /** Sums readings and the points they make up. */
  static Summary of(
      List<Row> readings,
      Function<Row, String> stratum,
      List<Point> points,
      Map<Cause, Long> uncounted) {
    Map<Source, List<Row>> bySource = new HashMap<>();
    for (Row row : readings) {
      bySource
          .computeIfAbsent(
              new Source(stratum.apply(row), row.unit(), row.decimals(), row.instrumentId()),
              source -> new ArrayList<>())
          .add(row);
    }
    SortedMap<Source, Shown> shown = new TreeMap<>();
    bySource.forEach((source, rows) -> shown.put(source, shown(rows)));
    Map<String, List<Point>> byStratum = new TreeMap<>();
    for (Point point : points) {
      byStratum.computeIfAbsent(point.stratum(), name -> new ArrayList<>()).add(point);
    }
    SortedMap<String, PointSums> sums = new TreeMap<>();
    byStratum.forEach((name, ofStratum) -> sums.put(name, PointSums.of(ofStratum)));
    return new Summary(shown, sums, new EnumMap<>(causes(uncounted)));
  }

  /** How many values are left out because they are only bounds. */
  public long censored() {
    return uncounted.getOrDefault(Cause.CENSORED, 0L);
  }

  private static Map<Cause, Long> causes(Map<Cause, Long> uncounted) {
    Map<Cause, Long> causes = new EnumMap<>(Cause.class);
    causes.putAll(uncounted);
    return causes;
  }

  private static Shown shown(List<Row> rows) {
    Instant first = rows.get(0).measuredAt();
    Instant last = first;
    for (Row row : rows) {
      first = row.measuredAt().isBefore(first) ? row.measuredAt() : first;
      last = row.measuredAt().isAfter(last) ? row.measuredAt() : last;
    }
    return new Shown(CountedNanos.of(rows.stream().mapToLong(Row::nanos).toArray()), first, last);
  }

  /** The summary of both stretches; they share no reading and no shift's points. */
  public Summary plus(Summary other) {
    return new Summary(
        merged(shown, other.shown, Shown::plus),
        merged(points, other.points, PointSums::plus),
        merged(new TreeMap<>(uncounted), new TreeMap<>(other.uncounted), Long::sum));
  }

  private static <K extends Comparable<K>, V> SortedMap<K, V> merged(
      SortedMap<K, V> one, SortedMap<K, V> other, BiFunction<V, V, V> plus) {
    SortedMap<K, V> all = new TreeMap<>(one);
    other.forEach((key, value) -> all.merge(key, value, plus));
    return all;
  }

  /** What of it is of one stratum; readings that do not count stay those of all. */
  public Summary ofStratum(String stratum) {
    SortedMap<Source, Shown> some = new TreeMap<>(shown);
    some.keySet().removeIf(source -> !source.stratum().equals(stratum));
    SortedMap<String, PointSums> sums = new TreeMap<>(points);
    sums.keySet().removeIf(name -> !name.equals(stratum));
    return new Summary(some, sums, uncounted);
  }

  /** How many readings count. */
  public long readings() {
    return shown.values().stream().mapToLong(each -> each.values().count()).sum();
  }

  /** What the points of all strata come to. */
  public PointSums together() {
    return points.values().stream().reduce(PointSums.EMPTY, PointSums::plus);
  }

  /** Count, sum and sum of squares of the readings that count, exact, in a unit. */
  public Moments moments(Unit unit) {
    Map<Unit, CountedNanos> byUnit = new EnumMap<>(Unit.class);
    shown.forEach((source, each) -> byUnit.merge(source.unit(), each.values(), CountedNanos::plus));
    Moments all = Moments.EMPTY;
    for (Map.Entry<Unit, CountedNanos> each : byUnit.entrySet()) {
      Moments own = each.getValue().moments();
      all =
          all.plus(
              each.getKey() == unit
                  ? own
                  : own.affine(each.getKey().factorTo(unit), each.getKey().offsetTo(unit)));
    }
    return all;
  }

  /** The readings that count, in a unit, as doubles. */
  public CountedValues values(Unit unit) {
    SortedMap<Double, Long> counts = new TreeMap<>();
    shown.forEach(
        (source, each) ->
            each.values()
                .forEach(
                    (nanos, count) ->
                        counts.merge(
                            ChartedWindow.inUnit(nanos, source.unit(), unit), count, Long::sum)));
    return CountedValues.of(counts);
  }

  /** An instrument, or entry by hand, and the unit it showed. */
  record Scale(Unit unit, @Nullable Long instrument) {}

  /** The values that count, by the scale that showed them. */
  Map<Scale, CountedNanos> byScale() {
    Map<Scale, CountedNanos> values = new LinkedHashMap<>();
    shown.forEach(
        (source, each) ->
            values.merge(
                new Scale(source.unit(), source.instrument()), each.values(), CountedNanos::plus));
    return values;
  }

  /** The most decimals that a scale showed a reading with. */
  int decimals(Scale scale) {
    return shown.keySet().stream()
        .filter(source -> new Scale(source.unit(), source.instrument()).equals(scale))
        .mapToInt(Source::decimals)
        .max()
        .orElse(0);
  }

  /**
   * The step that readings are recorded in: the coarsest that, together with coarser ones, a fifth
   * of them have. The step of a reading is that of its scale, which is the scale interval, or what
   * {@link Resolution#recordedStep} finds from the finest decimal of the unit if that is larger.
   *
   * <p>So one reading in a coarse unit, or by a coarse instrument, does not set the step of a line,
   * and one of five scales does.
   *
   * @param sigma of the readings, in the unit
   * @param interval the scale interval of an instrument in the unit, 0 where it has none
   * @return in the unit; 0 without readings
   */
  double step(Unit unit, double sigma, Function<Long, BigFraction> interval) {
    Map<Unit, Integer> decimals = new EnumMap<>(Unit.class);
    shown.keySet().forEach(each -> decimals.merge(each.unit(), each.decimals(), Math::max));
    SortedMap<Double, Long> bySize = new TreeMap<>(Comparator.reverseOrder());
    byScale()
        .forEach(
            (scale, values) -> {
              double factor = scale.unit().factorTo(unit).abs().doubleValue();
              long finest = CountedNanos.ofDecimal(decimals.getOrDefault(scale.unit(), 0));
              long recorded = Resolution.recordedStep(values, finest, sigma / factor * 1e9);
              Long instrument = scale.instrument();
              double own = instrument == null ? 0 : interval.apply(instrument).doubleValue();
              bySize.merge(Math.max(recorded / 1e9 * factor, own), values.count(), Long::sum);
            });
    long coarse = 0;
    for (Map.Entry<Double, Long> each : bySize.entrySet()) {
      coarse += each.getValue();
      if (coarse >= Resolution.COARSE_SHARE * readings()) {
        return each.getKey();
      }
    }
    return 0;
  }
}
