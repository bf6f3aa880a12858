package org.tarebook.compound;

import io.swagger.v3.oas.annotations.media.Schema;

/**
 * A figure that does not exist, and why.
 *
 * @param figure the member it would have stood in
 * @param reason why, for a program
 * @param words why, for a person
 */
@Schema(name = "CompoundNotComputed", description = "A figure that does not exist, and why.")
record NotComputed(@Schema(example = "tc90") String figure, Reason reason, String words) {

  /** Why a figure does not exist. */
  @Schema(name = "CompoundNotComputedReason")
  enum Reason {
    /** The torque never rises behind its lowest value. */
    NO_RISE,
    /** The torque rises by less than the figure asks for. */
    RISE_TOO_SMALL,
    /** There is too little to estimate it from. */
    TOO_FEW,
    /** Nobody stated it. */
    NOT_STATED
  }
}
