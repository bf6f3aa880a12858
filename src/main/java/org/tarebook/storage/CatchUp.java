package org.tarebook.storage;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.Collection;
import org.jspecify.annotations.Nullable;

/**
 * A kind of long work that follows a request: done in pieces, each in a short transaction, while
 * everybody else goes on. Each is a bean of the feature it belongs to; {@link CatchUps} runs it.
 * What it writes bears the id of its catch-up and counts only when that has finished.
 */
@Schema(name = "CatchUp")
public interface CatchUp {

  /** The word it is stored under; it never changes. */
  String what();

  /** How many rows it will look at. */
  long total(Task task);

  /** Does the next piece, inside a transaction. */
  Piece next(Task task);

  /** The write locks of the figures that change when it finishes. */
  Collection<Long> locks(long scope);

  /**
   * Whether a piece holds locks that postings wait for. As long as it took, others have the locks
   * before the next.
   */
  default boolean givesWay() {
    return false;
  }

  /**
   * Does what belongs to the switch, in its transaction: at most as much as one may wait for.
   *
   * @param together the locks, which are held
   */
  default void finish(long scope, WriteLocks.Together together) {}

  /**
   * Work that was asked for.
   *
   * @param id what it writes bears this id
   * @param scope the thing worked on
   * @param text what to do, as whoever asked for it wrote it
   * @param place where the next piece begins; absent before the first
   */
  record Task(long id, long scope, String text, @Nullable String place) {}

  /**
   * A piece that was done.
   *
   * @param next where the next piece begins; absent after the last
   * @param done how many rows it looked at
   * @param changed how many rows it wrote
   */
  record Piece(@Nullable String next, long done, long changed) {}

  /** Whether a catch-up goes on. */
  @Schema(name = "CatchUpState", description = "How far work that follows a request has come.")
  enum State {
    @Schema(description = "It has not begun, or waits for earlier work of the same kind.")
    WAITING,
    @Schema(description = "It is in progress; the earlier results are still used.")
    RUNNING,
    @Schema(description = "It is finished; all its results are used.")
    FINISHED
  }

  /** How far a catch-up is, for whoever asked for it. */
  @Schema(
      name = "CatchUpProgress",
      description =
          "Work that follows a request, in pieces. Until it is FINISHED the earlier results stand;"
              + " then all new ones take their place at once.")
  record Progress(
      @Schema(description = "How far it has come.") State state,
      @Schema(description = "Readings looked at so far.") long done,
      @Schema(description = "Readings to look at; absent until it has begun.") @Nullable Long total,
      @Schema(description = "New results written so far.") long changed,
      @Schema(description = "When the work was asked for.") Instant recordedAt,
      @Schema(description = "When it was finished; absent while it is not.")
          @Nullable Instant finishedAt) {}
}
