package org.tarebook.stats;

/** How a sigma was estimated. Within-subgroup estimates leave out what moves between subgroups. */
public enum Estimator {
  /** Root of the pooled within-subgroup variance; sizes may differ. */
  POOLED(false),
  /** The same over \( c_4(\nu + 1) \), which takes its bias away. */
  POOLED_C4(true),
  /** Mean subgroup range over \( d_2 \); equal sizes only. */
  R_BAR(true),
  /** Mean subgroup standard deviation over \( c_4 \); equal sizes only. */
  S_BAR(true),
  /** Mean moving range of two over \( d_2(2) \), for single readings in time order. */
  MOVING_RANGE(true),
  /** Spread between the means of subgroups and inside them, together. */
  BETWEEN_WITHIN(false),
  /** Standard deviation of all readings together, divisor \( n - 1 \). */
  TOTAL(false);

  private final boolean unbiased;

  Estimator(boolean unbiased) {
    this.unbiased = unbiased;
  }

  /**
   * Returns whether the estimate itself has mean sigma. If not, its square has mean sigma squared.
   *
   * @return true for {@link #POOLED_C4}, {@link #R_BAR}, {@link #S_BAR} and {@link #MOVING_RANGE}
   */
  public boolean unbiased() {
    return unbiased;
  }
}
