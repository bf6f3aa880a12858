package org.tarebook.plant;

import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * What a change of an instrument's capacity must change of readings. Implemented by the feature
 * that stores readings; called inside the transaction of the change, under the lock of the
 * instrument's station, after the revision was written.
 */
public interface WeighedReadings {

  /**
   * Judges those readings of an instrument again that were measured in a window and now lie above
   * its capacity, or no longer do. They stop counting or count again from then on.
   *
   * @param before the first moment after the window; open where absent
   * @return how many readings were judged again
   */
  long capacityChanged(Instrument instrument, Instant from, @Nullable Instant before);
}
