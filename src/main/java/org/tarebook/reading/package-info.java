/**
 * Readings: taken in, judged, kept for ever, amended by later facts, searched, and given in windows
 * to the features that study them.
 */
@NullMarked
package org.tarebook.reading;

import org.jspecify.annotations.NullMarked;
