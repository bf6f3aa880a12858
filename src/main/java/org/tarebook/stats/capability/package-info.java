/**
 * Capability beyond the plain indices: about a target, by percentiles, and how many readings a
 * claim takes. The plain indices and their intervals are in {@link
 * org.tarebook.stats.CapabilityIndices} and {@link org.tarebook.stats.CapabilityIntervals}.
 */
@NullMarked
package org.tarebook.stats.capability;

import org.jspecify.annotations.NullMarked;
