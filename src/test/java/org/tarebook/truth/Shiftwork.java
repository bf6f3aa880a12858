package org.tarebook.truth;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.NavigableSet;
import java.util.TreeSet;
import org.tarebook.truth.Facts.Calendar;

/** When shifts begin, found anew from the rows of the calendars. */
final class Shiftwork {

  private final NavigableSet<Instant> starts = new TreeSet<>();

  /** All shifts around a stretch of time. */
  Shiftwork(List<Calendar> calendars, Instant from, Instant before) {
    LocalDate first = from.minus(Duration.ofDays(4)).atOffset(ZoneOffset.UTC).toLocalDate();
    LocalDate last = before.plus(Duration.ofDays(4)).atOffset(ZoneOffset.UTC).toLocalDate();
    for (LocalDate day = first; day.isBefore(last); day = day.plusDays(1)) {
      Instant end = begin(calendars, day.plusDays(1), 0);
      Calendar calendar = of(calendars, day);
      for (int i = 0; i < (calendar == null ? 1 : calendar.starts().size()); i++) {
        Instant start = begin(calendars, day, i);
        if (start.isBefore(end)) {
          starts.add(start);
        }
      }
    }
  }

  private static Calendar of(List<Calendar> calendars, LocalDate day) {
    Calendar found = null;
    for (Calendar each : calendars) {
      found = each.from().isAfter(day) ? found : each;
    }
    return found;
  }

  /** When a shift of a day begins; shifts of times before the day's first are of the next date. */
  private static Instant begin(List<Calendar> calendars, LocalDate day, int place) {
    Calendar calendar = of(calendars, day);
    ZoneId zone = calendar == null ? calendars.get(0).zone() : calendar.zone();
    LocalTime first = calendar == null ? LocalTime.MIDNIGHT : calendar.starts().get(0);
    LocalTime own = calendar == null ? LocalTime.MIDNIGHT : calendar.starts().get(place);
    return (own.isBefore(first) ? day.plusDays(1) : day).atTime(own).atZone(zone).toInstant();
  }

  /** The first moment of the shift that holds a moment. */
  Instant from(Instant moment) {
    return starts.floor(moment);
  }

  /** The first moment behind it. */
  Instant before(Instant moment) {
    return starts.higher(moment);
  }
}
