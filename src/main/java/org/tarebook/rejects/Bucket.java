package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;

/** How time is cut, by the plant's calendar. */
@Schema(name = "RateBucket")
public enum Bucket {
  /** Not at all. */
  NONE,
  /** Hours of the clock on the plant's wall. */
  HOUR,
  /** Shifts of a plant day. */
  SHIFT,
  /** Plant days. */
  DAY,
  /** Seven plant days from Monday on, numbered as ISO 8601 numbers weeks. */
  WEEK
}
