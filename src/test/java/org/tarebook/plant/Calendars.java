package org.tarebook.plant;

import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.TreeSet;

/** Shift calendars for tests that need no service. */
public final class Calendars {

  /** Zones with changes of an hour, of half an hour, of a whole day (Apia, 2011) and of none. */
  private static final List<String> ZONES =
      List.of(
          "Europe/Paris",
          "America/Chicago",
          "Australia/Lord_Howe",
          "Pacific/Apia",
          "Pacific/Pago_Pago",
          "America/St_Johns",
          "Asia/Kathmandu",
          "UTC");

  private Calendars() {}

  /** Shifts that hold for all time, written as name and start in turn: early, 06:00. */
  public static Shifts shifts(ZoneId zone, List<String> namesAndStarts) {
    List<ShiftCalendar.Start> starts = new ArrayList<>();
    for (int i = 0; i < namesAndStarts.size(); i += 2) {
      starts.add(
          new ShiftCalendar.Start(
              namesAndStarts.get(i), LocalTime.parse(namesAndStarts.get(i + 1))));
    }
    ShiftCalendar calendar = inUse(LocalDate.of(2000, 1, 1), zone, starts);
    return new Shifts(List.of(calendar), zone);
  }

  static ShiftCalendar calendar(String validFrom, ZoneId zone, String... starts) {
    return inUse(LocalDate.parse(validFrom), zone, starts(starts));
  }

  static ShiftCalendar inUse(LocalDate validFrom, ZoneId zone, List<ShiftCalendar.Start> starts) {
    ShiftCalendar calendar = new ShiftCalendar("C-" + validFrom, "shifts", validFrom, zone, starts);
    calendar.settle(Instant.EPOCH);
    return calendar;
  }

  static List<ShiftCalendar.Start> starts(String... starts) {
    List<ShiftCalendar.Start> list = new ArrayList<>();
    for (String start : starts) {
      String[] parts = start.split(" ");
      list.add(new ShiftCalendar.Start(parts[0], LocalTime.parse(parts[1])));
    }
    return list;
  }

  static ShiftCalendar randomCalendar(Random random, LocalDate validFrom) {
    TreeSet<Integer> quarters = new TreeSet<>();
    for (int i = 1 + random.nextInt(5); i > 0; i--) {
      quarters.add(random.nextInt(random.nextBoolean() ? 16 : 96)); // clocks change before four
    }
    List<ShiftCalendar.Start> starts = new ArrayList<>();
    for (int quarter : quarters) {
      starts.add(
          new ShiftCalendar.Start("S" + quarter, LocalTime.MIDNIGHT.plusMinutes(15L * quarter)));
    }
    Collections.rotate(starts, random.nextInt(5));
    if (!ShiftCalendar.inOrder(starts)) {
      throw new AssertionError(starts.toString());
    }
    return inUse(validFrom, zone(random), starts);
  }

  static ZoneId zone(Random random) {
    return ZoneId.of(ZONES.get(random.nextInt(ZONES.size())));
  }
}
