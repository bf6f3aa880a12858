/**
 * Further studies of a chart's window: averages that remember, sums that add up, the shape of the
 * readings, counts, cavities, unequal shifts, short runs of several sizes; whether instruments are
 * steady; and what run rules and measuring systems cost. Each answer names what it was made from.
 */
@NullMarked
package org.tarebook.study;

import org.jspecify.annotations.NullMarked;
