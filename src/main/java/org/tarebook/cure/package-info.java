/**
 * Cures: press loads, their logs taken in piece by piece, and the verdicts on every cavity. A log
 * is judged by the schedule revision in force when the cure started: set points as built, physics
 * of steam, water and heat, and the plausibility of the sensors themselves.
 */
@NullMarked
package org.tarebook.cure;

import org.jspecify.annotations.NullMarked;
