package org.tarebook.plant;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.plant.Calendars.calendar;
import static org.tarebook.plant.Calendars.randomCalendar;
import static org.tarebook.plant.Calendars.starts;
import static org.tarebook.plant.Calendars.zone;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.zone.ZoneRules;
import java.time.zone.ZoneRulesProvider;
import java.util.ArrayList;
import java.util.List;
import java.util.NavigableMap;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ShiftsTests {

  private static final ZoneId PARIS = ZoneId.of("Europe/Paris");
  private static final ZoneId CHICAGO = ZoneId.of("America/Chicago");

  @ParameterizedTest
  @CsvSource({
    // zone, plant day, from, before, hours of the night shift
    "Europe/Paris,    2026-03-27, 2026-03-27T21:00:00Z, 2026-03-28T05:00:00Z, 8",
    "Europe/Paris,    2026-03-28, 2026-03-28T21:00:00Z, 2026-03-29T04:00:00Z, 7",
    "Europe/Paris,    2026-10-24, 2026-10-24T20:00:00Z, 2026-10-25T05:00:00Z, 9",
    "America/Chicago, 2026-03-07, 2026-03-08T04:00:00Z, 2026-03-08T11:00:00Z, 7",
    "America/Chicago, 2026-10-31, 2026-11-01T03:00:00Z, 2026-11-01T12:00:00Z, 9",
    "America/Chicago, 2026-07-01, 2026-07-02T03:00:00Z, 2026-07-02T11:00:00Z, 8",
  })
  void theNightShiftIsAsLongAsTheNight(
      String zone, LocalDate day, Instant from, Instant before, int hours) {
    Shifts shifts = threeShifts(ZoneId.of(zone));
    Shifts.Occurrence night = new Shifts.Occurrence(day, "night", from, before);
    assertThat(Duration.between(from, before)).hasHours(hours);
    assertThat(shifts.at(from)).isEqualTo(night);
    assertThat(shifts.at(before.minusNanos(1000))).isEqualTo(night);
    assertThat(shifts.at(from.minusNanos(1000)).name()).isEqualTo("late");
    assertThat(shifts.at(before).name()).isEqualTo("early");
    assertThat(shifts.at(before).day()).isEqualTo(day.plusDays(1));
  }

  @Test
  void bothReadingsTakenAtHalfPastTwoLieInTheSameNightAnHourApart() {
    Shifts shifts = threeShifts(PARIS);
    Shifts.Occurrence first = shifts.at(Instant.parse("2026-10-25T00:30:00Z"));
    assertThat(first.name()).isEqualTo("night");
    assertThat(first.day()).isEqualTo(LocalDate.of(2026, 10, 24));
    assertThat(shifts.at(Instant.parse("2026-10-25T01:30:00Z"))).isEqualTo(first);
  }

  @ParameterizedTest
  @CsvSource({
    "Europe/Paris,    2026-03-28, 23",
    "Europe/Paris,    2026-03-29, 24",
    "Europe/Paris,    2026-10-24, 25",
    "America/Chicago, 2026-03-07, 23",
    "America/Chicago, 2026-10-31, 25",
  })
  void thePlantDayIsAsLongAsItsShifts(String zone, LocalDate date, int hours) {
    Shifts shifts = threeShifts(ZoneId.of(zone));
    Instant noon = date.atTime(12, 0).atZone(ZoneId.of(zone)).toInstant();
    Shifts.Occurrence day = shifts.dayOf(noon);
    assertThat(day.day()).isEqualTo(date);
    assertThat(Duration.between(day.from(), day.before())).hasHours(hours);
    assertThat(shifts.dayOf(day.before().minusNanos(1000))).isEqualTo(day);
    assertThat(shifts.dayOf(day.before()).day()).isEqualTo(date.plusDays(1));
  }

  @Test
  void aShiftThatStartsInTheHourThatIsSkippedStartsWhenTheClockJumps() {
    Shifts shifts =
        new Shifts(List.of(calendar("2026-01-01", PARIS, "A 00:00", "B 02:30", "C 03:00")), PARIS);
    Instant jump = Instant.parse("2026-03-29T01:00:00Z");
    assertThat(shifts.day(LocalDate.of(2026, 3, 29)))
        .containsExactly(
            new Shifts.Occurrence(
                LocalDate.of(2026, 3, 29), "A", Instant.parse("2026-03-28T23:00:00Z"), jump),
            new Shifts.Occurrence(
                LocalDate.of(2026, 3, 29), "C", jump, Instant.parse("2026-03-29T22:00:00Z")));
  }

  @Test
  void aShiftThatStartsInTheHourThatComesTwiceStartsTheFirstTime() {
    Shifts shifts = new Shifts(List.of(calendar("2026-01-01", PARIS, "A 00:00", "B 02:30")), PARIS);
    assertThat(shifts.at(Instant.parse("2026-10-25T00:29:59Z")).name()).isEqualTo("A");
    assertThat(shifts.at(Instant.parse("2026-10-25T00:30:00Z")).name()).isEqualTo("B");
    assertThat(shifts.at(Instant.parse("2026-10-25T01:15:00Z")).name()).isEqualTo("B");
  }

  @Test
  void aPlantDayMayOpenInTheEvening() {
    Shifts shifts =
        new Shifts(
            List.of(calendar("2026-01-01", CHICAGO, "night 22:00", "day 06:00", "late 14:00")),
            CHICAGO);
    Shifts.Occurrence night = shifts.at(Instant.parse("2026-07-02T04:00:00Z"));
    assertThat(night.name()).isEqualTo("night");
    assertThat(night.day()).isEqualTo(LocalDate.of(2026, 7, 1));
    assertThat(shifts.at(Instant.parse("2026-07-02T20:00:00Z")))
        .isEqualTo(
            new Shifts.Occurrence(
                LocalDate.of(2026, 7, 1),
                "late",
                Instant.parse("2026-07-02T19:00:00Z"),
                Instant.parse("2026-07-03T03:00:00Z")));
  }

  @Test
  void aNewCalendarBeginsWithItsFirstShiftAndCutsTheOldNightShort() {
    Shifts shifts =
        new Shifts(
            List.of(
                calendar("2026-05-04", PARIS, "day 05:00", "night 17:00"),
                calendar("2026-01-01", PARIS, "early 06:00", "late 14:00", "night 22:00")),
            PARIS);
    assertThat(shifts.at(Instant.parse("2026-05-04T02:59:59Z")))
        .isEqualTo(
            new Shifts.Occurrence(
                LocalDate.of(2026, 5, 3),
                "night",
                Instant.parse("2026-05-03T20:00:00Z"),
                Instant.parse("2026-05-04T03:00:00Z")));
    assertThat(shifts.at(Instant.parse("2026-05-04T03:00:00Z")))
        .isEqualTo(
            new Shifts.Occurrence(
                LocalDate.of(2026, 5, 4),
                "day",
                Instant.parse("2026-05-04T03:00:00Z"),
                Instant.parse("2026-05-04T15:00:00Z")));
  }

  @Test
  void beforeTheFirstCalendarEachDayIsOneShift() {
    Shifts shifts = threeShifts(PARIS);
    assertThat(shifts.at(Instant.parse("2025-06-15T12:00:00Z")))
        .isEqualTo(
            new Shifts.Occurrence(
                LocalDate.of(2025, 6, 15),
                "day",
                Instant.parse("2025-06-14T22:00:00Z"),
                Instant.parse("2025-06-15T22:00:00Z")));
  }

  @Test
  void withoutACalendarDaysAreCutAtMidnightOfTheSettingsZone() {
    Shifts shifts = new Shifts(List.of(), CHICAGO);
    assertThat(shifts.at(Instant.parse("2026-03-08T08:30:00Z")))
        .isEqualTo(
            new Shifts.Occurrence(
                LocalDate.of(2026, 3, 8),
                "day",
                Instant.parse("2026-03-08T06:00:00Z"),
                Instant.parse("2026-03-09T05:00:00Z")));
  }

  @Test
  void aRetiredCalendarDoesNotCount() {
    ShiftCalendar mistaken = calendar("2026-02-01", CHICAGO, "wrong 00:00");
    retire(mistaken, "2026-01-15T00:00:00Z");
    Shifts shifts =
        new Shifts(List.of(calendar("2026-01-01", PARIS, "A 06:00", "B 18:00"), mistaken), PARIS);
    assertThat(shifts.at(Instant.parse("2026-03-01T12:00:00Z")).name()).isEqualTo("A");
  }

  @Test
  void oneThatIsRecordedOrRetiredIsInUseFromTheMomentItIsSettled() {
    ShiftCalendar calendar =
        new ShiftCalendar("C", "c", LocalDate.of(2026, 2, 1), PARIS, starts("A 06:00", "B 18:00"));
    assertThat(calendar.inUse()).isFalse();
    assertThat(calendar.changing()).isTrue();
    calendar.settle(Instant.parse("2026-02-03T00:00:00Z"));
    assertThat(calendar.inUse()).isTrue();
    assertThat(calendar.changing()).isFalse();
    calendar.change("c", true, Instant.parse("2026-02-05T00:00:00Z"));
    assertThat(calendar.inUse()).isTrue();
    assertThat(calendar.changing()).isTrue();
    calendar.settle(Instant.parse("2026-02-07T00:00:00Z"));
    assertThat(calendar.inUse()).isFalse();
    assertThat(calendar.stoodAt(Instant.parse("2026-02-02T00:00:00Z"))).isFalse();
    assertThat(calendar.stoodAt(Instant.parse("2026-02-06T00:00:00Z"))).isTrue();
    assertThat(calendar.stoodAt(Instant.parse("2026-02-07T00:00:00Z"))).isFalse();
  }

  @Test
  void everyMomentOfAYearLiesInExactlyOneShift() {
    Random random = new Random(20260329);
    for (int round = 0; round < 60; round++) {
      int year = random.nextInt(4) == 0 ? 2011 : 2026;
      List<ShiftCalendar> calendars = new ArrayList<>();
      for (int i = random.nextInt(4); i > 0; i--) {
        calendars.add(randomCalendar(random, LocalDate.ofYearDay(year, 1 + random.nextInt(365))));
      }
      Shifts shifts = new Shifts(calendars, zone(random));
      List<Shifts.Occurrence> laidOut = new ArrayList<>();
      for (LocalDate day = LocalDate.of(year - 1, 12, 20);
          day.isBefore(LocalDate.of(year + 1, 1, 10));
          day = day.plusDays(1)) {
        laidOut.addAll(shifts.day(day));
      }
      for (int i = 1; i < laidOut.size(); i++) {
        assertThat(laidOut.get(i).from()).isEqualTo(laidOut.get(i - 1).before());
        assertThat(laidOut.get(i).from()).isBefore(laidOut.get(i).before());
      }
      long first = Instant.parse(year + "-01-01T00:00:00Z").getEpochSecond();
      for (int i = 0; i < 100; i++) {
        Instant moment = Instant.ofEpochSecond(first + random.nextInt(365 * 86_400));
        List<Shifts.Occurrence> holding =
            laidOut.stream().filter(shift -> shift.holds(moment)).toList();
        assertThat(holding).hasSize(1);
        assertThat(shifts.at(moment)).isEqualTo(holding.get(0));
      }
    }
  }

  @Test
  void shiftsMustGoOnceRoundTheClock() {
    assertThat(ShiftCalendar.inOrder(starts("A 06:00", "B 14:00", "C 22:00"))).isTrue();
    assertThat(ShiftCalendar.inOrder(starts("A 22:00", "B 06:00", "C 14:00"))).isTrue();
    assertThat(ShiftCalendar.inOrder(starts("A 00:00"))).isTrue();
    assertThat(ShiftCalendar.inOrder(starts("A 06:00", "B 22:00", "C 14:00"))).isFalse();
    assertThat(ShiftCalendar.inOrder(starts("A 22:00", "B 06:00", "C 23:00"))).isFalse();
    assertThat(ShiftCalendar.inOrder(starts("A 06:00", "A 14:00"))).isFalse();
    assertThat(ShiftCalendar.inOrder(starts("A 06:00", "B 06:00"))).isFalse();
  }

  private static Shifts threeShifts(ZoneId zone) {
    return new Shifts(
        List.of(calendar("2026-01-01", zone, "early 06:00", "late 14:00", "night 22:00")),
        ZoneOffset.UTC);
  }

  @Test
  void withoutACalendarThatCountsTheDigestTellsTheZone() {
    ShiftCalendar retired = calendar("2025-01-01", PARIS, "day 06:00");
    retire(retired, "2025-02-01T00:00:00Z");
    String here = new Shifts(List.of(retired), PARIS).digest();
    assertThat(here).isEqualTo(new Shifts(List.of(), PARIS).digest());
    assertThat(here).isNotEqualTo(new Shifts(List.of(retired), CHICAGO).digest());
  }

  /** Java was given other rules for a zone: it may cut days otherwise. */
  @Test
  void theDigestTellsTheVersionOfTheZoneRules() {
    NavigableMap<String, ZoneRules> versions = new TreeMap<>();
    versions.put("2026a", PARIS.getRules());
    ZoneRulesProvider.registerProvider(
        new ZoneRulesProvider() {
          @Override
          protected Set<String> provideZoneIds() {
            return Set.of("Tarebook/Test");
          }

          @Override
          protected ZoneRules provideRules(String zoneId, boolean forCaching) {
            return versions.lastEntry().getValue();
          }

          @Override
          protected NavigableMap<String, ZoneRules> provideVersions(String zoneId) {
            return versions;
          }
        });
    ZoneId zone = ZoneId.of("Tarebook/Test");
    List<ShiftCalendar> calendars = List.of(calendar("2026-01-01", zone, "A 06:00"));
    String digest = new Shifts(calendars, PARIS).digest();
    String fallback = new Shifts(List.of(), zone).digest();
    assertThat(new Shifts(calendars, PARIS).digest()).isEqualTo(digest);
    assertThat(Shifts.zoneRules(zone)).isEqualTo("2026a");
    versions.put("2026b", PARIS.getRules());
    assertThat(new Shifts(calendars, PARIS).digest()).isNotEqualTo(digest);
    assertThat(new Shifts(List.of(), zone).digest()).isNotEqualTo(fallback);
    assertThat(Shifts.zoneRules(zone)).isEqualTo("2026b");
    assertThat(Shifts.zoneRules(ZoneOffset.ofHours(3))).isEmpty();
  }

  private static void retire(ShiftCalendar calendar, String at) {
    calendar.change("retired", true, Instant.parse(at));
    calendar.settle(Instant.parse(at));
  }
}
