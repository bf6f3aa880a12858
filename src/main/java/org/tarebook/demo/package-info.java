/**
 * An invented works on an invented island that re-makes bias-ply tyres for farm and old-timer
 * wheels: the same seed makes the same three weeks, with stories to be found in them.
 */
@NullMarked
package org.tarebook.demo;

import org.jspecify.annotations.NullMarked;
