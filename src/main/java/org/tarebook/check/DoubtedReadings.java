package org.tarebook.check;

import java.time.Instant;
import java.util.Optional;
import java.util.OptionalLong;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Instrument;
import org.tarebook.storage.CatchUp;

/**
 * What a change of doubts must change of readings. Implemented by the feature that stores readings;
 * called inside the transaction that records the check, under the lock of the instrument's station,
 * after the doubts were written.
 */
public interface DoubtedReadings {

  /**
   * Finds out anew which readings of an instrument measured in a window are suspect or were
   * measured while it was failed: the newest at once, the others after the transaction where there
   * are many.
   *
   * @param checkId the check that changed the doubts, by which the progress is found
   * @param from the first moment of the window
   * @param before the first moment after it; open where absent
   * @return how many readings measured in the window are suspect now; empty where some were left
   *     for later
   */
  OptionalLong doubtsChanged(
      long checkId, Instrument instrument, Instant from, @Nullable Instant before);

  /** How far it is with the readings that were left for later; empty where none was. */
  Optional<CatchUp.Progress> progress(long checkId, Instrument instrument);
}
