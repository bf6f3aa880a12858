package org.tarebook.reading;

/** What a reading was judged to be. */
public enum Result {
  PASS,
  FAIL,
  /** Between acceptance and tolerance limit, under guarded acceptance. */
  CONDITIONAL,
  NOT_JUDGED
}
