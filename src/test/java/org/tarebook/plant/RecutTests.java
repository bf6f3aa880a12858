package org.tarebook.plant;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.plant.Calendars.calendar;
import static org.tarebook.plant.Calendars.randomCalendar;
import static org.tarebook.plant.Calendars.zone;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Where a change of calendars cuts days otherwise. */
class RecutTests {

  private static final ZoneId PARIS = ZoneId.of("Europe/Paris");

  /**
   * What a change of calendars leaves alone lies in the same shifts; where it begins, none does.
   */
  @Test
  void aChangeCutsOtherwiseFromItsFirstMomentToItsLast() {
    Random random = new Random(20260601);
    int bounded = 0;
    int changed = 0;
    for (int round = 0; round < 400; round++) {
      List<ShiftCalendar> calendars = new ArrayList<>();
      for (int day = 1 + random.nextInt(60); day < 365; day += 1 + random.nextInt(150)) {
        calendars.add(randomCalendar(random, LocalDate.ofYearDay(2026, day)));
      }
      ShiftCalendar one = calendars.get(random.nextInt(calendars.size()));
      ZoneId zone = zone(random);
      Shifts with = new Shifts(calendars, zone);
      Shifts without = Shifts.changed(calendars, zone, one, false);
      assertThat(with.recut(with)).isEmpty();
      Shifts.Recut recut = with.recut(without).orElseThrow();
      assertThat(without.recut(with)).contains(recut);
      Instant before = recut.before();
      bounded += before == null ? 0 : 1;
      Instant from = Instant.parse("2025-12-20T00:00:00Z");
      if (!recut.from().equals(Instant.EPOCH)) {
        changed++;
        assertThat(begins(with, recut.from())).isNotEqualTo(begins(without, recut.from()));
        assertThat(begins(with, recut.start().minusNanos(1000)))
            .isEqualTo(begins(without, recut.start().minusNanos(1000)));
        assertThat(recut.start())
            .isBeforeOrEqualTo(recut.from())
            .isIn(with.at(recut.start()).from(), without.at(recut.start()).from());
      }
      for (int i = 0; i < 300; i++) {
        Instant moment = from.plusSeconds(random.nextInt(400 * 86_400));
        if (moment.isBefore(recut.from()) || (before != null && !moment.isBefore(before))) {
          assertThat(begins(with, moment)).isEqualTo(begins(without, moment));
        }
      }
    }
    assertThat(bounded).isGreaterThan(100);
    assertThat(changed).isGreaterThan(100);
  }

  private static List<Object> begins(Shifts shifts, Instant moment) {
    Shifts.Occurrence shift = shifts.at(moment);
    return List.of(shift.day(), shift.name(), shift.from());
  }

  @Test
  void movingALaterShiftCutsNothingBeforeIt() {
    List<ShiftCalendar> calendars =
        List.of(
            calendar("2026-01-01", PARIS, "early 06:00", "late 14:00", "night 22:00"),
            calendar("2026-05-04", PARIS, "early 06:00", "late 15:00", "night 22:00"));
    Shifts.Recut recut =
        new Shifts(calendars.subList(0, 1), PARIS)
            .recut(new Shifts(calendars, PARIS))
            .orElseThrow();
    assertThat(recut.from()).isEqualTo("2026-05-04T12:00:00Z");
    assertThat(recut.start()).isEqualTo("2026-05-04T04:00:00Z");
    assertThat(recut.before()).isNull();
  }
}
