package org.tarebook.plant;

import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * The plant's calendars laid end to end: tells the shift in which a moment lies. Shifts are cut on
 * the clock of the plant's zone, so on the nights when the clocks change one shift is an hour
 * shorter or longer, and no moment lies in two shifts or in none.
 */
public final class Shifts {

  private final List<ShiftCalendar> calendars;
  private final ZoneId fallbackZone;

  /**
   * Lays calendars end to end.
   *
   * @param calendars in any order; a retired one does not count
   * @param fallbackZone the zone of days before the first calendar; such days are one shift
   */
  public Shifts(List<ShiftCalendar> calendars, ZoneId fallbackZone) {
    this.calendars =
        calendars.stream()
            .filter(calendar -> !calendar.retired())
            .sorted(Comparator.comparing(ShiftCalendar::validFrom))
            .toList();
    this.fallbackZone = fallbackZone;
  }

  /**
   * One shift of one day.
   *
   * @param day the plant day, named by the date its first shift starts on
   * @param name what the shift is called
   * @param from its first moment
   * @param before the first moment behind it
   */
  public record Occurrence(LocalDate day, String name, Instant from, Instant before) {
    /** Whether a moment lies in it. */
    public boolean holds(Instant moment) {
      return !moment.isBefore(from) && moment.isBefore(before);
    }
  }

  /** The shift in which a moment lies. */
  public Occurrence at(Instant moment) {
    LocalDate about = moment.atZone(zoneOn(moment)).toLocalDate();
    for (int shift = 1; shift >= -2; shift--) {
      for (Occurrence occurrence : day(about.plusDays(shift))) {
        if (occurrence.holds(moment)) {
          return occurrence;
        }
      }
    }
    throw new IllegalStateException("No shift holds " + moment);
  }

  /** The first moment of the plant day that holds a moment. */
  public Occurrence dayOf(Instant moment) {
    LocalDate date = at(moment).day();
    List<Occurrence> shifts = day(date);
    return new Occurrence(
        date, "day", shifts.get(0).from(), shifts.get(shifts.size() - 1).before());
  }

  /** The zone in force at a moment. */
  public ZoneId zoneOn(Instant moment) {
    ZoneId zone = calendars.isEmpty() ? fallbackZone : calendars.get(0).zone();
    for (ShiftCalendar calendar : calendars) {
      Instant start = opening(calendar, calendar.validFrom());
      if (!moment.isBefore(start)) {
        zone = calendar.zone();
      }
    }
    return zone;
  }

  /** The shifts of a plant day; empty where the change of calendar leaves the day no time. */
  public List<Occurrence> day(LocalDate date) {
    Instant end = openingOf(date.plusDays(1));
    List<Occurrence> shifts = new ArrayList<>();
    List<ShiftCalendar.Start> starts = startsOn(date);
    ZoneId zone = zoneOf(date);
    LocalDate clock = date;
    LocalTime previous = LocalTime.MIN;
    List<Instant> moments = new ArrayList<>();
    for (ShiftCalendar.Start start : starts) {
      if (start.startsAt().isBefore(previous)) {
        clock = date.plusDays(1);
      }
      previous = start.startsAt();
      moments.add(clock.atTime(start.startsAt()).atZone(zone).toInstant());
    }
    moments.add(end);
    for (int i = 0; i < starts.size(); i++) {
      Instant before = moments.get(i + 1).isBefore(end) ? moments.get(i + 1) : end;
      if (moments.get(i).isBefore(before)) {
        shifts.add(new Occurrence(date, starts.get(i).name(), moments.get(i), before));
      }
    }
    return shifts;
  }

  private Instant openingOf(LocalDate date) {
    LocalTime first = startsOn(date).get(0).startsAt();
    return date.atTime(first).atZone(zoneOf(date)).toInstant();
  }

  private static Instant opening(ShiftCalendar calendar, LocalDate date) {
    return date.atTime(calendar.shifts().get(0).startsAt()).atZone(calendar.zone()).toInstant();
  }

  private List<ShiftCalendar.Start> startsOn(LocalDate date) {
    List<ShiftCalendar.Start> starts = List.of(new ShiftCalendar.Start("day", LocalTime.MIDNIGHT));
    for (ShiftCalendar calendar : calendars) {
      if (!calendar.validFrom().isAfter(date)) {
        starts = calendar.shifts();
      }
    }
    return starts;
  }

  private ZoneId zoneOf(LocalDate date) {
    ZoneId zone = calendars.isEmpty() ? fallbackZone : calendars.get(0).zone();
    for (ShiftCalendar calendar : calendars) {
      if (!calendar.validFrom().isAfter(date)) {
        zone = calendar.zone();
      }
    }
    return zone;
  }
}
