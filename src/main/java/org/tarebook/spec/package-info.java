/**
 * What is measured or counted, the specifications it is judged by, and how uncertain each station
 * measures it, in dated revisions.
 */
@NullMarked
package org.tarebook.spec;

import org.jspecify.annotations.NullMarked;
