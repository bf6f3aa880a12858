package org.tarebook.check;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Instrument;

/**
 * What a change of doubts must change of readings. Implemented by the feature that stores readings;
 * called inside the transaction that records the check, under the lock of the instrument's station,
 * after the doubts were written.
 */
public interface DoubtedReadings {

  /**
   * Finds out anew which readings of an instrument measured in a window are suspect or were
   * measured while it was failed.
   *
   * @param from the first moment of the window
   * @param before the first moment after it; open where absent
   * @return how many readings measured in the window are suspect now
   */
  long doubtsChanged(Instrument instrument, Instant from, @Nullable Instant before);
}
