package org.tarebook.cure;

import org.jspecify.annotations.Nullable;
import org.tarebook.audit.Actor;

/**
 * A feature above that acts in the transaction in which a verdict is reached: its figures become
 * readings of charts.
 */
public interface VerdictFollower {

  /**
   * A verdict was reached.
   *
   * @param before the verdict it succeeds; absent of the first
   */
  void reached(Cure cure, Verdict verdict, @Nullable Verdict before, Actor actor);
}
