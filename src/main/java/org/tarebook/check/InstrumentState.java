package org.tarebook.check;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** What the checks on record say of one instrument, for judging its readings. */
public final class InstrumentState {

  private final List<Doubt> doubts;
  private final @Nullable Instant unverifiedFrom;

  InstrumentState(List<Doubt> doubts, @Nullable Instant unverifiedFrom) {
    this.doubts = List.copyOf(doubts);
    this.unverifiedFrom = unverifiedFrom;
  }

  /** The doubt because of which a reading measured then cannot be judged, if there is one. */
  public Optional<Doubt> failedAt(Instant measuredAt) {
    return doubts.stream().filter(doubt -> doubt.failedAt(measuredAt)).findFirst();
  }

  /** The doubt because of which a reading measured then is suspect, if there is one. */
  public Optional<Doubt> suspectedBy(Instant measuredAt) {
    return doubts.stream().filter(doubt -> doubt.suspectAt(measuredAt)).findFirst();
  }

  /** Whether a reading measured then is suspect. */
  public boolean suspectAt(Instant measuredAt) {
    return suspectedBy(measuredAt).isPresent();
  }

  /**
   * The moment from which on readings are unverified because the next check is due: {@link
   * Instant#EPOCH} where checks are planned and the instrument was never known to be right; absent
   * where the control plan asks for no checks.
   */
  public Optional<Instant> unverifiedFrom() {
    return Optional.ofNullable(unverifiedFrom);
  }

  /** Its doubts, the earliest first. */
  public List<Doubt> doubts() {
    return doubts;
  }
}
