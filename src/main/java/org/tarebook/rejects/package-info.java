/**
 * Reject rates: how many of the items judged have a failed characteristic, where, when and why.
 * Read from the readings at each question, on one picture of the record; nothing is stored.
 */
@NullMarked
package org.tarebook.rejects;

import org.jspecify.annotations.NullMarked;
