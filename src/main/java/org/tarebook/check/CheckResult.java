package org.tarebook.check;

import io.swagger.v3.oas.annotations.media.Schema;

/** What one phase of a check came to. */
@Schema(name = "CheckResult")
public enum CheckResult {
  /** No error is beyond the limit. */
  PASS,
  /** At least one error is beyond the limit. */
  FAIL
}
