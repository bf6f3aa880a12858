/** Items that bear a number: what they are, and which lot they belong to. */
@NullMarked
package org.tarebook.item;

import org.jspecify.annotations.NullMarked;
