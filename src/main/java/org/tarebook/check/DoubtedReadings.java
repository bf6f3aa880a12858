package org.tarebook.check;

import java.time.Instant;
import java.util.Optional;
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
   * @param by what changed the doubts, by which the progress is found
   * @param from the first moment of the window
   * @param before the first moment after it; open where absent
   * @return what it came to with the readings that were not left for later
   */
  Effect doubtsChanged(By by, Instrument instrument, Instant from, @Nullable Instant before);

  /** How far it is with the readings that were left for later; empty where none was. */
  Optional<CatchUp.Progress> progress(By by, Instrument instrument);

  /**
   * What changed doubts.
   *
   * @param voiding whether the voiding of the check did, not the check
   */
  record By(long checkId, boolean voiding) {}

  /**
   * What a change of doubts came to.
   *
   * @param done readings looked at
   * @param changed readings taken out of the figures or back in
   * @param suspect readings that are suspect
   */
  record Effect(long done, long changed, long suspect) {
    static final Effect NONE = new Effect(0, 0, 0);
  }
}
