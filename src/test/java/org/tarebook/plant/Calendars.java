package org.tarebook.plant;

import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;

/** Shift calendars for tests that need no service. */
public final class Calendars {

  private Calendars() {}

  /** Shifts that hold for all time, written as name and start in turn: early, 06:00. */
  public static Shifts shifts(ZoneId zone, List<String> namesAndStarts) {
    List<ShiftCalendar.Start> starts = new ArrayList<>();
    for (int i = 0; i < namesAndStarts.size(); i += 2) {
      starts.add(
          new ShiftCalendar.Start(
              namesAndStarts.get(i), LocalTime.parse(namesAndStarts.get(i + 1))));
    }
    return new Shifts(
        List.of(
            new ShiftCalendar(
                "C", "shifts", LocalDate.of(2000, 1, 1), zone, starts, Instant.EPOCH)),
        zone);
  }
}
