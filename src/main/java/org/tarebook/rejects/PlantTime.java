package org.tarebook.rejects;

import java.time.DayOfWeek;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.time.temporal.IsoFields;
import java.time.temporal.TemporalAdjusters;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import org.tarebook.plant.Shifts;

/**
 * Cuts time as the plant does: shifts and days by its calendars, hours by the clock on its wall, so
 * that a day has 23 or 25 hours when the clocks change and an hour that comes twice is two hours.
 * Remembers what it has cut; not for several threads.
 */
final class PlantTime {

  private static final DateTimeFormatter HOUR =
      DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mmxxx", Locale.ROOT);

  /** All clock changes since 1972 are multiples of this. */
  private static final Duration STEP = Duration.ofMinutes(15);

  private final Shifts shifts;
  private final TreeMap<Instant, Shifts.Occurrence> shiftsCut = new TreeMap<>();
  private final TreeMap<Instant, Span> spansCut = new TreeMap<>();
  private final Function<Instant, Span> cut;

  PlantTime(Shifts shifts, Bucket bucket) {
    this.shifts = shifts;
    this.cut =
        switch (bucket) {
          case NONE -> moment -> new Span(Instant.MIN, Instant.MAX, "");
          case HOUR -> this::hour;
          case SHIFT -> this::shift;
          case DAY -> this::day;
          case WEEK -> this::week;
        };
  }

  /** The shift in which a moment lies. */
  Shifts.Occurrence shiftAt(Instant moment) {
    Map.Entry<Instant, Shifts.Occurrence> known = shiftsCut.floorEntry(moment);
    if (known != null && known.getValue().holds(moment)) {
      return known.getValue();
    }
    Shifts.Occurrence found = shifts.at(moment);
    shiftsCut.put(found.from(), found);
    return found;
  }

  /** The bucket in which a moment lies. */
  Span at(Instant moment) {
    Map.Entry<Instant, Span> known = spansCut.floorEntry(moment);
    if (known != null && known.getValue().holds(moment)) {
      return known.getValue();
    }
    Span found = cut.apply(moment);
    spansCut.put(found.from(), found);
    return found;
  }

  /** The buckets that share time with a window, up to so many and one more. */
  List<Span> spans(Instant from, Instant before, int most) {
    List<Span> spans = new ArrayList<>();
    for (Instant moment = from; moment.isBefore(before) && spans.size() <= most; ) {
      Span span = at(moment);
      spans.add(span);
      moment = span.before();
    }
    return spans;
  }

  /** The names of the shifts that share time with a window. */
  Set<String> shiftNames(Instant from, Instant before) {
    Set<String> names = new HashSet<>();
    for (Instant moment = from; moment.isBefore(before); ) {
      Shifts.Occurrence shift = shiftAt(moment);
      names.add(shift.name());
      moment = shift.before();
    }
    return names;
  }

  private Span hour(Instant moment) {
    ZonedDateTime start = startOfHour(moment);
    Instant next = moment;
    while (startOfHour(next).equals(start)) {
      next = next.plus(STEP);
    }
    return new Span(start.toInstant(), startOfHour(next).toInstant(), HOUR.format(start));
  }

  private ZonedDateTime startOfHour(Instant moment) {
    return moment.atZone(shifts.zoneOn(moment)).truncatedTo(ChronoUnit.HOURS);
  }

  private Span shift(Instant moment) {
    Shifts.Occurrence found = shiftAt(moment);
    return new Span(found.from(), found.before(), found.day() + " " + found.name());
  }

  private Span day(Instant moment) {
    Shifts.Occurrence found = shifts.dayOf(moment);
    return new Span(found.from(), found.before(), found.day().toString());
  }

  private Span week(Instant moment) {
    LocalDate monday =
        shiftAt(moment).day().with(TemporalAdjusters.previousOrSame(DayOfWeek.MONDAY));
    List<Shifts.Occurrence> all = new ArrayList<>();
    for (int day = 0; day < 7; day++) {
      all.addAll(shifts.day(monday.plusDays(day)));
    }
    String label =
        "%d-W%02d"
            .formatted(
                monday.get(IsoFields.WEEK_BASED_YEAR),
                monday.get(IsoFields.WEEK_OF_WEEK_BASED_YEAR));
    return new Span(all.get(0).from(), all.get(all.size() - 1).before(), label);
  }
}
