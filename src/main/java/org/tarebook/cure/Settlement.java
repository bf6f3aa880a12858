package org.tarebook.cure;

import java.time.Instant;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Repeat;

/**
 * What a person settled of moments for which different values were sent on one channel. A later
 * settlement of the same moment takes its place; a later piece that says something of the moment
 * reopens the conflict.
 *
 * @param number counted from 1 within the cure
 * @param from the first moment that was settled
 * @param until the last one
 * @param among keys of the pieces that the person saw in conflict
 * @param person who answers for it; the key is unique among theirs of the cure
 */
record Settlement(
    long id,
    long cureId,
    int number,
    Asked asked,
    Instant from,
    Instant until,
    Set<String> among,
    String person,
    Instant recordedAt) {

  /**
   * As it was asked for.
   *
   * @param stands key of the piece whose values stand; absent where none does
   * @param from the first moment; the first in conflict where absent
   * @param until the last moment; the last in conflict where absent
   */
  record Asked(
      String key,
      String channel,
      @Nullable Instant from,
      @Nullable Instant until,
      @Nullable String stands,
      String reason) {

    /**
     * What makes it the same fact as another; an end that is left out is as it was settled.
     *
     * @param settledFrom the first moment of what is stored
     * @param settledUntil the last moment of what is stored
     */
    Repeat content(Instant settledFrom, Instant settledUntil) {
      return new Repeat()
          .with("/channel", channel)
          .with("/from", from == null ? settledFrom : from)
          .with("/until", until == null ? settledUntil : until)
          .with("/stands", stands)
          .with("/reason", reason);
    }
  }

  /** Whether it settles a moment of its channel about which these pieces say something. */
  boolean settles(Instant moment, List<String> pieces) {
    return !moment.isBefore(from) && !moment.isAfter(until) && among.containsAll(pieces);
  }
}
