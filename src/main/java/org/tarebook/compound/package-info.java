/**
 * What compounds do under heat, in revisions: how fast they cure and how heat passes through them,
 * each figure with its source, and the cure-meter curves the figures were found from.
 */
@NullMarked
package org.tarebook.compound;

import org.jspecify.annotations.NullMarked;
