/** How facts get into the database and stay there: transactions, ids, instants, durability. */
@NullMarked
package org.tarebook.storage;

import org.jspecify.annotations.NullMarked;
