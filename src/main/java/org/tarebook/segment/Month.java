package org.tarebook.segment;

import java.time.Instant;
import java.time.LocalDate;
import java.time.YearMonth;
import java.util.List;
import org.tarebook.plant.Shifts;

/**
 * A month of plant days.
 *
 * @param starts first moment of its first shift
 * @param ends first moment after its last shift
 */
record Month(Instant starts, Instant ends) {

  /** The month whose days hold a moment. */
  static Month of(Shifts shifts, Instant moment) {
    YearMonth month = YearMonth.from(shifts.at(moment).day());
    return new Month(
        opening(shifts, month.atDay(1)), opening(shifts, month.plusMonths(1).atDay(1)));
  }

  /** Where a day begins; a change of calendar may leave a day no time. */
  private static Instant opening(Shifts shifts, LocalDate date) {
    List<Shifts.Occurrence> day = shifts.day(date);
    return day.isEmpty() ? opening(shifts, date.plusDays(1)) : day.get(0).from();
  }
}
