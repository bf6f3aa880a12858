/**
 * Charts that are watched: readings cut into points, limits computed from a baseline and frozen,
 * rules on runs of points, the signals they raise, and what people found and did on them.
 *
 * <p>Cutting, limits and judging are pure functions of readings and plan; what is stored of them
 * (signals, and the shifts that have judged points) can be made again.
 */
@NullMarked
package org.tarebook.control;

import org.jspecify.annotations.NullMarked;
