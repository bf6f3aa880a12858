package org.tarebook.rejects;

import org.jspecify.annotations.Nullable;

/** What a row of rates stands for; what is not told apart, or not there, is absent. */
record Group(
    @Nullable String line,
    @Nullable String component,
    @Nullable String product,
    @Nullable String station,
    @Nullable String die,
    @Nullable String shift,
    @Nullable Span bucket) {

  /** Everything. */
  static final Group ALL = new Group(null, null, null, null, null, null, null);

  /** The same in another bucket, or in none. */
  Group in(@Nullable Span other) {
    return new Group(line, component, product, station, die, shift, other);
  }
}
