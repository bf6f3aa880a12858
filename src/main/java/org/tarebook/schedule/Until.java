package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;

/** Up to where equivalents are counted. */
@Schema(name = "StepEnd", description = "Up to which moment equivalent minutes are counted.")
public enum Until {
  @Schema(description = "To the release of pressure, which is where the blow point counts.")
  RELEASE(0),
  @Schema(description = "To the opening of the press.")
  OPENING(1),
  @Schema(description = "To the end of free cooling.")
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
