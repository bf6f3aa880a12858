package org.tarebook.check;

/** What one phase of a check came to. */
public enum CheckResult {
  /** No error is beyond the limit. */
  PASS,
  /** At least one error is beyond the limit. */
  FAIL
}
