package org.tarebook.plant;

import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.zone.ZoneOffsetTransition;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import org.springframework.util.ConcurrentLruCache;
import org.tarebook.storage.Sha256;

/**
 * The plant's calendars laid end to end: tells the shift in which a moment lies. Shifts are cut on
 * the clock of the plant's zone, so on the nights when the clocks change one shift is an hour
 * shorter or longer, and no moment lies in two shifts or in none.
 */
public final class Shifts {

  /** Zones lie up to 26 hours apart, and a day may open at any hour of its date. */
  private static final int MOST_DAYS_APART = 4;

  /** The shifts of so many days are remembered. */
  private static final int DAYS_REMEMBERED = 4_000;

  private final List<ShiftCalendar> calendars;
  private final List<Instant> openings;
  private final ZoneId fallbackZone;
  private final String digest;
  private final ConcurrentLruCache<LocalDate, List<Occurrence>> days =
      new ConcurrentLruCache<>(DAYS_REMEMBERED, this::cut);

  /**
   * Lays calendars end to end.
   *
   * @param calendars in any order; a retired one does not count
   * @param fallbackZone the zone while there is no calendar at all; days without a calendar are one
   *     shift, before the first calendar in its zone
   */
  public Shifts(List<ShiftCalendar> calendars, ZoneId fallbackZone) {
    this(calendars, fallbackZone, calendar -> !calendar.retired());
  }

  /** The same with the calendars that were in use at a moment. */
  public static Shifts asOf(List<ShiftCalendar> calendars, ZoneId fallbackZone, Instant moment) {
    return new Shifts(calendars, fallbackZone, calendar -> calendar.stoodAt(moment));
  }

  private Shifts(
      List<ShiftCalendar> calendars, ZoneId fallbackZone, Predicate<ShiftCalendar> counts) {
    this.calendars =
        calendars.stream()
            .filter(counts)
            .sorted(Comparator.comparing(ShiftCalendar::validFrom))
            .toList();
    this.openings = this.calendars.stream().map(each -> opening(each, each.validFrom())).toList();
    this.fallbackZone = fallbackZone;
    this.digest =
        Sha256.of(
            this.calendars.stream()
                    .map(each -> each.validFrom() + " " + each.zone() + " " + each.shifts())
                    .collect(Collectors.joining(", "))
                + (this.calendars.isEmpty() ? fallbackZone : ""));
  }

  /**
   * One shift of one day.
   *
   * @param day the plant day, named by the date its first shift starts on
   * @param name what the shift is called
   * @param from its first moment
   * @param before the first moment after it
   */
  public record Occurrence(LocalDate day, String name, Instant from, Instant before) {
    /** Whether a moment lies in it. */
    public boolean holds(Instant moment) {
      return !moment.isBefore(from) && moment.isBefore(before);
    }
  }

  /** Digest of the calendars: another one where any shift may lie elsewhere. */
  public String digest() {
    return digest;
  }

  /** The shift in which a moment lies. */
  public Occurrence at(Instant moment) {
    LocalDate about = moment.atZone(zoneOn(moment)).toLocalDate();
    for (int days = 1; days >= -MOST_DAYS_APART; days--) {
      for (Occurrence occurrence : day(about.plusDays(days))) {
        if (occurrence.holds(moment)) {
          return occurrence;
        }
      }
    }
    throw new IllegalStateException("No shift holds " + moment);
  }

  /** The whole plant day that holds a moment, as one occurrence. */
  public Occurrence dayOf(Instant moment) {
    LocalDate date = at(moment).day();
    List<Occurrence> shifts = day(date);
    return new Occurrence(
        date, "day", shifts.get(0).from(), shifts.get(shifts.size() - 1).before());
  }

  /** The zone in force at a moment. */
  public ZoneId zoneOn(Instant moment) {
    ZoneId zone = calendars.isEmpty() ? fallbackZone : calendars.get(0).zone();
    for (int i = 0; i < openings.size(); i++) {
      if (!moment.isBefore(openings.get(i))) {
        zone = calendars.get(i).zone();
      }
    }
    return zone;
  }

  /** The shifts of a plant day; empty where the change of calendar leaves the day no time. */
  public List<Occurrence> day(LocalDate date) {
    return days.get(date);
  }

  private List<Occurrence> cut(LocalDate date) {
    Instant end = endOf(date);
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
      moments.add(moment(clock.atTime(start.startsAt()), zone));
    }
    moments.add(end);
    for (int i = 0; i < starts.size(); i++) {
      Instant before = moments.get(i + 1).isBefore(end) ? moments.get(i + 1) : end;
      if (moments.get(i).isBefore(before)) {
        shifts.add(new Occurrence(date, starts.get(i).name(), moments.get(i), before));
      }
    }
    return List.copyOf(shifts);
  }

  /** The opening of the next day that has any time; a calendar in another zone may skip days. */
  private Instant endOf(LocalDate date) {
    Instant end = openingOf(date.plusDays(1));
    for (int day = 2; day <= MOST_DAYS_APART; day++) {
      Instant opening = openingOf(date.plusDays(day));
      end = opening.isBefore(end) ? opening : end;
    }
    return end;
  }

  private Instant openingOf(LocalDate date) {
    LocalTime first = startsOn(date).get(0).startsAt();
    return moment(date.atTime(first), zoneOf(date));
  }

  private static Instant opening(ShiftCalendar calendar, LocalDate date) {
    return moment(date.atTime(calendar.shifts().get(0).startsAt()), calendar.zone());
  }

  /**
   * When the clock shows this: the first time, where it comes twice; the jump, where it is skipped.
   */
  private static Instant moment(LocalDateTime clock, ZoneId zone) {
    ZoneOffsetTransition change = zone.getRules().getTransition(clock);
    return change != null && change.isGap() ? change.getInstant() : clock.atZone(zone).toInstant();
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
