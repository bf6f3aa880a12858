/** Steam, heat penetration and cure kinetics. */
@NullMarked
package org.tarebook.thermal;

import org.jspecify.annotations.NullMarked;
