/**
 * Who may do what: bearer tokens, their roles, and the one table of permissions. Features learn who
 * acts from {@link org.tarebook.audit.Actor} and never import this package.
 */
@NullMarked
package org.tarebook.access;

import org.jspecify.annotations.NullMarked;
