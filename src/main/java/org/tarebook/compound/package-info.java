/**
 * What compounds do under heat, in revisions: how fast they cure and how heat passes through them,
 * with the source of every figure, and the cure-meter curves they come from.
 */
@org.jspecify.annotations.NullMarked
package org.tarebook.compound;
