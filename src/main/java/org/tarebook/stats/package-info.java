/** Statistics of readings. */
@NullMarked
package org.tarebook.stats;

import org.jspecify.annotations.NullMarked;
