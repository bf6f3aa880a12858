package org.tarebook.segment;

import java.time.Instant;
import java.util.function.Consumer;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Plan;
import org.tarebook.control.KeptReadings;
import org.tarebook.reading.ReadingWindow;

/** The readings that segments of shifts keep. */
@Component
class KeptShifts implements KeptReadings {

  private final SegmentStore store;

  KeptShifts(SegmentStore store) {
    this.store = store;
  }

  @Override
  public void read(Plan plan, ReadingWindow.Asked asked, Consumer<Stretch> each) {
    String digest = plan.shifts().digest();
    Instant unread = asked.from(); // from here to the cursor only the record tells
    Instant cursor = asked.from();
    while (true) {
      SegmentStore.KeptPage page = store.kept(asked.over(cursor, asked.before()), digest);
      for (SegmentStore.KeptShift shift : page.shifts()) {
        byte[] readings = shift.readings();
        if (readings != null
            && PackedReadings.readable(readings)
            && shift.changedVersion() <= asked.asOf().version()) {
          tellUnread(unread, cursor, each); // behind the cursor comes no reading before this shift
          each.accept(new Stretch(shift.starts(), shift.ends(), PackedReadings.unpack(readings)));
          unread = shift.ends();
        }
        cursor = shift.ends();
      }
      if (page.shifts().size() < SegmentStore.PAGE) {
        boolean nothingBetween = unread.equals(cursor) && page.built().isAfter(cursor);
        tellUnread(nothingBetween ? page.built() : unread, asked.before(), each);
        return;
      }
    }
  }

  private static void tellUnread(Instant from, Instant before, Consumer<Stretch> each) {
    if (from.isBefore(before)) {
      each.accept(new Stretch(from, before, null));
    }
  }
}
