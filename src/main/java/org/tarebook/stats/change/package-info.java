/** When a process changed: the most likely moment of a step, and how sure that is. */
@NullMarked
package org.tarebook.stats.change;

import org.jspecify.annotations.NullMarked;
