/**
 * Distributions of readings: fitted by maximum likelihood, empirical, and tests whether readings
 * are normal.
 */
@NullMarked
package org.tarebook.stats.fit;

import org.jspecify.annotations.NullMarked;
