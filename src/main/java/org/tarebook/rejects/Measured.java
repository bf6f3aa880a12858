package org.tarebook.rejects;

import java.time.Instant;
import java.util.Collection;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.reading.Cause;
import org.tarebook.reading.Direction;
import org.tarebook.reading.Result;

/**
 * A reading, or a cavity of a cure, as rates take it.
 *
 * @param id of the reading or the cure
 * @param at when it was measured; of a cure, when it was closed, or began where it is open
 * @param characteristicId absent for a cure
 * @param die of a cure, the cavity
 * @param result the result in force: the last successor's, else the reading's own
 * @param direction the side on which it failed or is conditional
 * @param apart why it takes no part; absent where it is judged and counts
 * @param suspect whether a check found its instrument doubtful for the moment of the reading
 * @param cure what a cavity has beside that; absent for a reading
 */
record Measured(
    long id,
    Instant at,
    long stationId,
    @Nullable Long characteristicId,
    @Nullable String die,
    @Nullable Long instrumentId,
    Result result,
    @Nullable Direction direction,
    @Nullable Apart apart,
    boolean suspect,
    @Nullable Cured cure) {

  /**
   * What a cavity has beside its verdict.
   *
   * @param productId what the schedule is for; absent where it serves several
   * @param logged whether its verdict rests on samples
   * @param breaches the codes of what it breached; empty where nothing
   */
  record Cured(@Nullable Long productId, boolean logged, Set<String> breaches) {}

  /** What failed: a characteristic with the side, or what a cure breached. */
  record Reason(
      @Nullable Long characteristicId, @Nullable Direction direction, @Nullable String breach) {}

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
        id,
        at,
        stationId,
        characteristicId,
        die,
        instrumentId,
        result,
        direction,
        why,
        doubtful,
        cure);
  }

  /**
   * A cavity by the reasons of its standing verdict: what is proven comes before what is not known.
   */
  Measured judged(Set<String> breaches, boolean doubted) {
    Cured loaded = Objects.requireNonNull(cure);
    boolean unknown = breaches.isEmpty() && (doubted || !loaded.logged());
    return new Measured(
        id,
        at,
        stationId,
        null,
        die,
        null,
        unknown ? Result.NOT_JUDGED : breaches.isEmpty() ? Result.PASS : Result.FAIL,
        null,
        !unknown ? null : loaded.logged() ? Apart.CURE_NOT_JUDGED : Apart.CURE_WITHOUT_LOG,
        false,
        new Cured(loaded.productId(), loaded.logged(), breaches));
  }

  /** What failed. */
  Collection<Reason> reasons() {
    return cure == null
        ? List.of(new Reason(characteristicId, direction, null))
        : cure.breaches().stream().map(code -> new Reason(null, null, code)).toList();
  }
}
