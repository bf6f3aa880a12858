/**
 * Doubts about the readings that limits are to be computed from. Each doubt has a figure; nothing
 * here rejects a baseline or accuses anybody.
 */
@NullMarked
package org.tarebook.stats.baseline;

import org.jspecify.annotations.NullMarked;
