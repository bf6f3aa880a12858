/** Summaries of whole shifts and months: built behind the readings, read in place of them. */
@NullMarked
package org.tarebook.segment;

import org.jspecify.annotations.NullMarked;
