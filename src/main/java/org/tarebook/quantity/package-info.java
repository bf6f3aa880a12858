/**
 * Units, exact conversion, rounding and judging, in decimals and fractions; nothing here is a
 * binary float.
 *
 * <p>A reading is converted into the unit its limit was written in, exactly, as a fraction where
 * the decimal would not end, and is then compared. Limits are never converted and belong to what
 * they allow. A figure is rounded once, and only where a rule says so.
 *
 * <p>All types are immutable and may be shared between threads. Pure Java: no clock, no storage.
 */
@NullMarked
package org.tarebook.quantity;

import org.jspecify.annotations.NullMarked;
