/**
 * Truth under stress: random work on running services, which are killed between, and every answer
 * held against a recomputation of its own from the plain rows of facts.
 */
@NullMarked
package org.tarebook.truth;

import org.jspecify.annotations.NullMarked;
