package org.tarebook.rejects;

import java.time.Instant;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.reading.Cause;
import org.tarebook.reading.Direction;
import org.tarebook.reading.Result;

/**
 * A reading as rates take it.
 *
 * @param result the result in force: the last successor's, else the reading's own
 * @param direction the side on which it failed or is conditional
 * @param apart why it takes no part; absent where it is judged and counts
 * @param suspect whether a check found its instrument doubtful for the moment of the reading
 */
record Measured(
    long id,
    Instant at,
    long stationId,
    long characteristicId,
    @Nullable String die,
    @Nullable Long instrumentId,
    Result result,
    @Nullable Direction direction,
    @Nullable Apart apart,
    boolean suspect) {

  /** What failed and on which side. */
  record Reason(long characteristicId, @Nullable Direction direction) {}

  /** The same, set apart for what keeps it out, if anything does, and marked as suspect. */
  Measured under(Set<Cause> causes) {
    return with(
        Apart.of(causes, result),
        causes.contains(Cause.INSTRUMENT_SUSPECT) || causes.contains(Cause.INSTRUMENT_FAILED));
  }

  /** The same, left out where it counts although its instrument is suspect. */
  Measured withoutSuspect() {
    return suspect && apart == null ? with(Apart.INSTRUMENT_SUSPECT, true) : this;
  }

  private Measured with(@Nullable Apart why, boolean doubtful) {
    return new Measured(
        id, at, stationId, characteristicId, die, instrumentId, result, direction, why, doubtful);
  }

  Reason reason() {
    return new Reason(characteristicId, direction);
  }
}
