/** Tests of tokens and of who may do what. */
@NullMarked
package org.tarebook.access;

import org.jspecify.annotations.NullMarked;
