package org.tarebook.compound;

import io.swagger.v3.oas.annotations.media.Schema;

/** A figure that does not exist, and why. */
@Schema(name = "CompoundNotComputed", description = "A figure that does not exist, and why.")
record NotComputed(
    @Schema(description = "The member in which the figure would be.", example = "tc90")
        String figure,
    @Schema(description = "Why it does not exist, for a program.") Reason reason,
    @Schema(description = "Why it does not exist, as a sentence for people.") String words) {

  /** Why a figure does not exist. */
  @Schema(
      name = "CompoundNotComputedReason",
      description = "Why a figure of a compound does not exist.")
  enum Reason {
    @Schema(description = "The torque never rises after its lowest value.")
    NO_RISE,
    @Schema(description = "The torque rises by less than the figure needs.")
    RISE_TOO_SMALL,
    @Schema(description = "There is too little to estimate it from.")
    TOO_FEW,
    @Schema(description = "It was not stated.")
    NOT_STATED
  }
}
