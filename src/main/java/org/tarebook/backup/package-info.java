/**
 * The whole record as one file in open formats, and back: a zip that holds a CSV for each table and
 * a manifest in JSON. It serves as backup, as export, to move from one database to the other and to
 * leave Tarebook.
 */
@NullMarked
package org.tarebook.backup;

import org.jspecify.annotations.NullMarked;
