package org.tarebook.control;

import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import java.util.function.LongFunction;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.reading.ReadingWindow;

/**
 * Names the stratum a reading belongs to: the values of the chart's strata in the order of the
 * alphabet, {@code DIE=D7 STATION=T1-W1}. An absent value is empty, {@code DIE=}; one that holds a
 * blank, a quote or an equals sign stands in quotes, so that two strata never have one name. Not
 * thread safe: it remembers the names it gave.
 */
final class StratumNames implements Function<ReadingWindow.Row, String> {

  private final List<Chart.Stratum> strata;
  private final LongFunction<String> stations;
  private final LongFunction<String> instruments;
  private final Map<List<Object>, String> names = new HashMap<>();

  StratumNames(
      Set<Chart.Stratum> strata, LongFunction<String> stations, LongFunction<String> instruments) {
    this.strata = strata.stream().sorted(Comparator.comparing(Enum::name)).toList();
    this.stations = stations;
    this.instruments = instruments;
  }

  static StratumNames of(Plan plan, Chart chart) {
    return new StratumNames(
        chart.cut().strata(),
        id -> plan.stations().get(id).code(),
        id -> plan.instruments().get(id).code());
  }

  @Override
  public String apply(ReadingWindow.Row row) {
    if (strata.isEmpty()) {
      return "";
    }
    return names.computeIfAbsent(
        strata.stream().map(stratum -> key(stratum, row)).toList(), ignored -> name(row));
  }

  private static Object key(Chart.Stratum stratum, ReadingWindow.Row row) {
    Object value =
        switch (stratum) {
          case STATION -> row.stationId();
          case INSTRUMENT -> row.instrumentId();
          case DIE -> row.die();
          case LOT -> row.lot();
          case OPERATOR -> row.operator();
        };
    return value == null ? Absent.VALUE : value;
  }

  private enum Absent {
    VALUE
  }

  private String name(ReadingWindow.Row row) {
    return strata.stream()
        .map(stratum -> stratum + "=" + quoted(value(stratum, row)))
        .collect(Collectors.joining(" "));
  }

  private @Nullable String value(Chart.Stratum stratum, ReadingWindow.Row row) {
    Long instrument = row.instrumentId();
    return switch (stratum) {
      case STATION -> stations.apply(row.stationId());
      case INSTRUMENT -> instrument == null ? null : instruments.apply(instrument);
      case DIE -> row.die();
      case LOT -> row.lot();
      case OPERATOR -> row.operator();
    };
  }

  private static String quoted(@Nullable String value) {
    if (value == null) {
      return "";
    }
    boolean plain = value.chars().noneMatch(c -> Character.isWhitespace(c) || c == '"' || c == '=');
    return plain ? value : '"' + value.replace("\"", "\"\"") + '"';
  }
}
