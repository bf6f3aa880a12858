/**
 * Whether a process that is in control can hold its limits: Cp and Cpk by the spread within
 * subgroups, Pp and Ppk by the total spread, shares out of tolerance, and all that is needed to
 * defend these figures.
 */
@NullMarked
package org.tarebook.capability;

import org.jspecify.annotations.NullMarked;
