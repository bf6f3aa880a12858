/** Tests of problem documents, reading and the API document. */
@NullMarked
package org.tarebook.http;

import org.jspecify.annotations.NullMarked;
