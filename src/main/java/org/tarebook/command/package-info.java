/** What is done from the command line instead of starting the service. */
@NullMarked
package org.tarebook.command;

import org.jspecify.annotations.NullMarked;
