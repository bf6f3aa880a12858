/**
 * Comparisons of several strata beyond the plain analysis of variance of {@link
 * org.tarebook.stats.OneWayAnova}: with unequal spreads, by ranks, of the spreads themselves, and
 * of strata inside strata.
 */
@NullMarked
package org.tarebook.stats.compare;

import org.jspecify.annotations.NullMarked;
