package org.tarebook.cure;

import java.math.BigDecimal;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.format.ResolverStyle;
import java.time.temporal.ChronoUnit;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.CsvForm;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.http.Times;
import org.tarebook.quantity.Decimals;

/**
 * A log written as CSV: the first line names the columns. Without a column plan they are {@code
 * at}, {@code step} and the codes of channels. An empty field is no sample.
 */
final class SampleCsv {

  private static final Pattern SECONDS = Pattern.compile("-?[0-9]{1,10}(?:\\.[0-9]{1,9})?");
  private static final int TIME = -1;
  private static final int STEP = -2;
  private static final int PASSED_OVER = -3;

  /** How long before its start a load's log may begin, where a local time comes twice. */
  private static final Duration EARLY = Duration.ofMinutes(2);

  private final @Nullable ColumnPlanDefinition plan;
  private final char separator;
  private final int[] meaning;
  private final String[] names;
  private final List<String> header;
  private final Instant startedAt;
  private final @Nullable DateTimeFormatter local;
  private final @Nullable ZoneId zone;
  private @Nullable Instant before;

  SampleCsv(String header, @Nullable ColumnPlanDefinition plan, Instant startedAt) {
    this.plan = plan;
    this.startedAt = startedAt;
    this.separator = plan == null ? ',' : plan.separator().sign();
    this.header = CsvForm.fields(header, separator).stream().map(String::strip).toList();
    this.meaning = new int[this.header.size()];
    this.names = new String[this.header.size()];
    ColumnPlanDefinition.Time time = plan == null ? null : plan.time();
    local = time != null && time.pattern() != null ? local(time.pattern()) : null;
    zone = time != null && time.zone() != null ? ZoneId.of(time.zone()) : null;
    lookAtHeader();
  }

  /** Reads local times by a pattern, and none that is not in the calendar. */
  static DateTimeFormatter local(String pattern) {
    return DateTimeFormatter.ofPattern(pattern, Locale.ROOT)
        .withResolverStyle(ResolverStyle.STRICT);
  }

  private void lookAtHeader() {
    Map<String, String> channelOf = new HashMap<>();
    if (plan != null) {
      plan.columns().forEach(column -> channelOf.put(column.column(), column.channel()));
    }
    String timeColumn = plan == null ? "at" : plan.time().column();
    String stepColumn = plan == null ? "step" : plan.stepColumn();
    Map<String, Integer> seen = new HashMap<>();
    for (int i = 0; i < names.length; i++) {
      String name = header.get(i);
      if (seen.put(name, i) != null) {
        throw Problem.at(ProblemType.INVALID_REQUEST, name, "stands twice in the header");
      }
      if (name.equals(timeColumn)) {
        meaning[i] = TIME;
      } else if (name.equals(stepColumn)) {
        meaning[i] = STEP;
      } else if (plan == null || channelOf.containsKey(name)) {
        meaning[i] = i;
        names[i] = plan == null ? name : String.valueOf(channelOf.get(name));
      } else if (plan.ignoreOthers()) {
        meaning[i] = PASSED_OVER;
      } else {
        throw Problem.at(
            ProblemType.INVALID_REQUEST,
            name,
            "is not in the column plan; its columns are " + String.join(", ", channelOf.keySet()));
      }
    }
    if (!seen.containsKey(timeColumn)) {
      throw Problem.at(
          ProblemType.INVALID_REQUEST,
          timeColumn,
          "is missing from the header: the column that holds the moment of each row");
    }
  }

  /** Puts the samples of one line into a piece. */
  void read(String line, int number, PieceBuilder into) {
    List<String> fields = CsvForm.fields(line, separator);
    if (fields.size() != names.length) {
      into.fault(
          number, "", "has " + fields.size() + " fields where the header names " + names.length);
      return;
    }
    Instant at = null;
    for (int i = 0; i < names.length; i++) {
      if (meaning[i] == TIME) {
        try {
          at = moment(fields.get(i).strip());
        } catch (IllegalArgumentException refused) {
          into.fault(number, header.get(i), String.valueOf(refused.getMessage()));
          return;
        }
      }
    }
    if (at == null) {
      return;
    }
    before = at;
    for (int i = 0; i < names.length; i++) {
      String field = fields.get(i).strip();
      if (field.isEmpty() || meaning[i] == TIME || meaning[i] == PASSED_OVER) {
        continue;
      }
      if (meaning[i] == STEP) {
        into.mark(field, at, number, header.get(i));
        continue;
      }
      try {
        into.sample(names[i], at, number(field), number, header.get(i));
      } catch (IllegalArgumentException refused) {
        into.fault(number, header.get(i), String.valueOf(refused.getMessage()));
      }
    }
  }

  private BigDecimal number(String field) {
    return Decimals.parse(withPoint(field));
  }

  private String withPoint(String field) {
    if (plan == null || !plan.decimalComma()) {
      return field;
    }
    if (field.indexOf('.') >= 0) {
      throw new IllegalArgumentException(
          "'" + field + "' has a point, and the column plan says that numbers have a comma");
    }
    return field.replace(',', '.');
  }

  private Instant moment(String field) {
    if (plan == null) {
      return Times.parse(field);
    }
    return switch (plan.time().form()) {
      case INSTANT -> Times.parse(field);
      case LOCAL -> Times.parse(localMoment(field).toString());
      case EPOCH_SECONDS -> Times.parse(since(Instant.EPOCH, field).toString());
      case SECONDS_FROM_START -> Times.parse(since(startedAt, field).toString());
    };
  }

  private Instant since(Instant zero, String field) {
    String written = withPoint(field);
    if (!SECONDS.matcher(written).matches()) {
      throw new IllegalArgumentException(
          "'" + field + "' is no number of seconds; write it like 1772431200 or 12.5");
    }
    BigDecimal seconds = new BigDecimal(written);
    try {
      return zero.plus(seconds.movePointRight(6).longValueExact(), ChronoUnit.MICROS);
    } catch (ArithmeticException finer) {
      throw new IllegalArgumentException(
          "must have at most six decimals of a second, was " + field, finer);
    }
  }

  /** A local time; where it comes twice, the later of the two once the earlier lies behind. */
  private Instant localMoment(String field) {
    if (local == null || zone == null) {
      throw new IllegalStateException("A plan with local time has a pattern and a zone");
    }
    LocalDateTime written;
    try {
      written = LocalDateTime.parse(field, local);
    } catch (DateTimeException unreadable) {
      throw new IllegalArgumentException(
          "'" + field + "' is not written as the plan says", unreadable);
    }
    List<ZoneOffset> offsets = zone.getRules().getValidOffsets(written);
    if (offsets.isEmpty()) {
      throw new IllegalArgumentException(
          "'" + field + "' did not happen in " + zone + ": clocks were set forward over it");
    }
    Instant first = written.toInstant(offsets.get(0));
    if (offsets.size() == 1) {
      return first;
    }
    Instant second = written.toInstant(offsets.get(1));
    Instant last = before;
    boolean behind = last == null ? first.isBefore(startedAt.minus(EARLY)) : first.isBefore(last);
    return behind ? second : first;
  }
}
