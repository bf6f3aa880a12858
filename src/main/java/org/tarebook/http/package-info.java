/** What every answer shares: problem documents (RFC 9457), pages of a list, strict JSON and CSV. */
@NullMarked
package org.tarebook.http;

import org.jspecify.annotations.NullMarked;
