/**
 * Cure schedules: what the cure of a load should have been, in revisions; what a schedule would do
 * (dry run); and thermocouple studies to hold estimates against.
 */
@NullMarked
package org.tarebook.schedule;

import org.jspecify.annotations.NullMarked;
