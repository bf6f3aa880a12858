/**
 * The measuring system: how much it repeats and agrees, how uncertain one reading is, and what that
 * means for a decision about an item.
 */
@NullMarked
package org.tarebook.stats.measuring;

import org.jspecify.annotations.NullMarked;
