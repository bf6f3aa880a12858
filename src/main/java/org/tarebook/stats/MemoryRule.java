package org.tarebook.stats;

import org.jspecify.annotations.Nullable;

/**
 * A rule on a figure that gathers all points of its window, which finds a small lasting shift that
 * no single point shows. The window bounds what a late reading can change: the figure is that of a
 * chart that started at the centre line so many points ago.
 */
public sealed interface MemoryRule extends RunRule permits EwmaRule, CusumRule {

  /**
   * Judges the newest point.
   *
   * @param z points in time order, each as its distance from the centre line over the sigma of the
   *     plotted figure; not kept
   * @param last index of the newest point
   * @return the signal it completes; null for none
   */
  @Nullable RunSignal signal(double[] z, int last);
}
