package org.tarebook.plant;

import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.zone.ZoneOffsetTransition;
import java.time.zone.ZoneRulesProvider;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
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

  /**
   * So many shifts of two calendars are compared, from where one begins, to find the first change.
   */
  private static final int MOST_SHIFTS_ALIKE = 24;

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
   * @param calendars in any order; only those in use count
   * @param fallbackZone the zone while there is no calendar at all; days without a calendar are one
   *     shift, before the first calendar in its zone
   */
  public Shifts(List<ShiftCalendar> calendars, ZoneId fallbackZone) {
    this(calendars, fallbackZone, ShiftCalendar::inUse);
  }

  /** The same with every calendar that is recorded and not retired, in use already or not. */
  public static Shifts toCome(List<ShiftCalendar> calendars, ZoneId fallbackZone) {
    return new Shifts(calendars, fallbackZone, calendar -> !calendar.retired());
  }

  /** The same with one calendar in use or not, and the others as they are. */
  static Shifts changed(
      List<ShiftCalendar> calendars, ZoneId fallbackZone, ShiftCalendar changed, boolean inUse) {
    List<ShiftCalendar> then = new ArrayList<>(calendars);
    then.remove(changed);
    then.add(changed);
    return new Shifts(
        then, fallbackZone, calendar -> calendar == changed ? inUse : calendar.inUse());
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
                    .map(each -> each.validFrom() + " " + rules(each.zone()) + " " + each.shifts())
                    .collect(Collectors.joining(", "))
                + (this.calendars.isEmpty() ? rules(fallbackZone) : ""));
  }

  private static String rules(ZoneId zone) {
    return zone + " " + zoneRules(zone);
  }

  /** The version of the rules by which Java tells the time of a zone; empty of a fixed offset. */
  static String zoneRules(ZoneId zone) {
    return ZoneRulesProvider.getAvailableZoneIds().contains(zone.getId())
        ? ZoneRulesProvider.getVersions(zone.getId()).lastKey()
        : "";
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

    private boolean beginsAs(Occurrence other) {
      return day.equals(other.day) && name.equals(other.name) && from.equals(other.from);
    }
  }

  /**
   * Where other calendars cut otherwise.
   *
   * @param from first moment that lies in another shift
   * @param before first moment after it that lies in the same shift again; absent where none does
   * @param start first moment of the earliest shift that it touches, by either calendars
   */
  public record Recut(Instant from, @Nullable Instant before, Instant start) {}

  /** Where other calendars would cut otherwise; empty where they are the same. */
  public Optional<Recut> recut(Shifts other) {
    List<ShiftCalendar> both = calendars.stream().filter(other.calendars::contains).toList();
    List<LocalDate> differing =
        Stream.concat(calendars.stream(), other.calendars.stream())
            .filter(each -> !both.contains(each))
            .map(ShiftCalendar::validFrom)
            .sorted()
            .toList();
    if (differing.isEmpty()) {
      return Optional.empty();
    }
    LocalDate same = differing.get(0).minusDays(1); // the last day that begins at the same moment
    Instant from = endOf(same);
    Instant otherFrom = other.endOf(same);
    from = otherFrom.isBefore(from) ? otherFrom : from;
    for (int i = 0; i < MOST_SHIFTS_ALIKE && at(from).beginsAs(other.at(from)); i++) {
      Instant end = at(from).before();
      Instant otherEnd = other.at(from).before();
      from = otherEnd.isBefore(end) ? otherEnd : end;
    }
    if (!firstZone().equals(other.firstZone())) {
      from = Instant.EPOCH; // days before the first calendar are cut in its zone
    }
    LocalDate last = differing.get(differing.size() - 1);
    Instant before =
        both.stream()
            .filter(each -> each.validFrom().isAfter(last))
            .findFirst()
            .map(each -> opening(each, each.validFrom()))
            .orElse(null);
    Instant start = at(from).from();
    Instant otherStart = other.at(from).from();
    return Optional.of(new Recut(from, before, otherStart.isBefore(start) ? otherStart : start));
  }

  private ZoneId firstZone() {
    return calendars.isEmpty() ? fallbackZone : calendars.get(0).zone();
  }

  /** Digest of the calendars and zone rules: another one where any shift may lie elsewhere. */
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
    ZoneId zone = firstZone();
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
    ZoneId zone = firstZone();
    for (ShiftCalendar calendar : calendars) {
      if (!calendar.validFrom().isAfter(date)) {
        zone = calendar.zone();
      }
    }
    return zone;
  }
}
