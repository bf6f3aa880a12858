package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** Up to where equivalents are counted. */
@Schema(name = "StepEnd")
public enum Until {
  /** To the release of pressure, which is what the blow point counts. */
  RELEASE(0),
  /** To the opening of the press. */
  OPENING(1),
  /** To the end of free cooling. */
  END(2);

  private final int mark;

  Until(int mark) {
    this.mark = mark;
  }

  /** Its place among the marks of a heated section. */
  int mark() {
    return mark;
  }
}
