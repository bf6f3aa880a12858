package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;

/** What is judged of a cavity. What is proven comes before what is not known. */
@Schema(name = "CureResult", description = "The result of judging a cavity.")
public enum CureVerdict {
  @Schema(description = "Everything that is wanted was shown to be met.")
  GOOD,
  @Schema(description = "Something that is needed is missing or cannot be believed.")
  NOT_JUDGED,
  @Schema(description = "Something was proven to be outside what is wanted.")
  NOT_GOOD
}
