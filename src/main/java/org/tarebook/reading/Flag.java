package org.tarebook.reading;

import io.swagger.v3.oas.annotations.media.Schema;

/** What an instrument says about itself while it shows a value. */
@Schema(name = "ReadingFlag")
public enum Flag {
  /** The value was at rest. */
  STABLE,
  /** The value was still moving: kept, but not judged. */
  UNSTABLE,
  /** More than the instrument can show: a fact without a value. */
  OVERLOAD,
  /** Less than the instrument can show: a fact without a value. */
  UNDER,
  /** The instrument stood at zero. */
  ZERO
}
