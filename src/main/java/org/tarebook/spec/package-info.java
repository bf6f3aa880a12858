/** What is measured or counted, and the specifications it is judged by, in dated revisions. */
@NullMarked
package org.tarebook.spec;

import org.jspecify.annotations.NullMarked;
