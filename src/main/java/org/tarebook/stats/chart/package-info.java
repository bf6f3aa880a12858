/**
 * Charts beyond the plain ones: EWMA and CUSUM, attributes, short runs, several cavities, and what
 * to expect of them (run lengths, limits from few readings).
 *
 * <p>Everything that speaks of sigma means the sigma of the plotted figure unless it says
 * otherwise. Assumptions and conventions are those of {@link org.tarebook.stats}.
 */
@NullMarked
package org.tarebook.stats.chart;

import org.jspecify.annotations.NullMarked;
