package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** What a reading was judged to be. */
@Schema(name = "Result")
public enum Result {
  PASS,
  FAIL,
  /** Between acceptance and tolerance limit, under guarded acceptance. */
  CONDITIONAL,
  NOT_JUDGED
}
