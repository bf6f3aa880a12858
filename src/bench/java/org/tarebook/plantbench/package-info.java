/** Plays a plant over HTTP against processes of its own, and compares with doing the bare minimum. */
@NullMarked
package org.tarebook.plantbench;

import org.jspecify.annotations.NullMarked;
