/** Who did what: the acting person or station, and the list of changes a plant must answer for. */
@NullMarked
package org.tarebook.audit;

import org.jspecify.annotations.NullMarked;
