package org.tarebook.stats;

/**
 * The revision of the methods by which figures are computed. It rises with a release in which the
 * same readings give any figure of a study or rate another value than in the release before; each
 * answer names it. Decision 91 (src/docs/decisions) lists what each revision changed up to 4; the
 * Decision that brings a later one says what it changes. A verdict on a cure has a revision of its
 * own.
 */
public final class MethodRevision {

  /** The present one. */
  public static final int NOW = 5;

  /** How an answer describes it. */
  public static final String MEANING =
      "Revision of the methods by which the figures were computed. It rises when the same readings"
          + " give other figures than before.";

  private MethodRevision() {}
}
