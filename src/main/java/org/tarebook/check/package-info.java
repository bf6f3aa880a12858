/**
 * Checks of instruments against known standards, and what they mean for readings: which are
 * suspect, which cannot be judged, which are unverified because a check is overdue. The rules are
 * told at {@link org.tarebook.check.CheckHistory}.
 */
@NullMarked
package org.tarebook.check;

import org.jspecify.annotations.NullMarked;
