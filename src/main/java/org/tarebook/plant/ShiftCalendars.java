package org.tarebook.plant;

import org.springframework.stereotype.Service;

/** The plant's shift calendars. */
@Service
public class ShiftCalendars extends Register<ShiftCalendar> {

  ShiftCalendars(ShiftCalendarRepository repository, Tools tools) {
    super("shift calendar", repository, tools);
  }
}
