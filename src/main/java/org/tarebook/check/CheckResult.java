package org.tarebook.check;

import io.swagger.v3.oas.annotations.media.Schema;

/** What one phase of a check came to. */
@Schema(name = "CheckResult", description = "The result of one phase of an instrument check.")
public enum CheckResult {
  @Schema(description = "No error is beyond the limit.")
  PASS,
  @Schema(description = "At least one error is beyond the limit.")
  FAIL
}
