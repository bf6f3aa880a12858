package org.tarebook.plant;

import org.springframework.stereotype.Service;
import org.tarebook.storage.WriteLocks;

/** The plant's shift calendars. */
@Service
public class ShiftCalendars extends Register<ShiftCalendar> {

  private final ShiftCalendarRepository repository;
  private final ShiftCalendarChangeStore changes;
  private final Tools tools;

  ShiftCalendars(
      ShiftCalendarRepository repository, ShiftCalendarChangeStore changes, Tools tools) {
    super("shift calendar", repository, tools);
    this.repository = repository;
    this.changes = changes;
    this.tools = tools;
  }

  /**
   * Lets every calendar come into use as it was changed, or go out of use. Call it inside a
   * transaction in which the readings have been cut again.
   *
   * @param together the locks of all charts, which are held
   */
  public void settle(WriteLocks.Together together) {
    for (ShiftCalendar calendar : all()) {
      calendar.settle(together.at());
      repository.saveAndFlush(calendar);
    }
    changes.settle(together.version(), together.at());
    tools.masterVersion().bump();
  }
}
