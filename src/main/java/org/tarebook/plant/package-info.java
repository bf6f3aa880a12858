/** The plant: lines, stations, instruments, components, products and the dated shift calendar. */
@NullMarked
package org.tarebook.plant;

import org.jspecify.annotations.NullMarked;
