/** The application class; everything else lies in the packages below it. */
@NullMarked
package org.tarebook;

import org.jspecify.annotations.NullMarked;
