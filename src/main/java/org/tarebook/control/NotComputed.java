package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;

/**
 * A figure that does not exist, and why.
 *
 * @param figure the member it would have stood in
 * @param reason why, for a program
 * @param words why, for a person
 */
@Schema(name = "NotComputed", description = "A figure that does not exist, and why.")
public record NotComputed(@Schema(example = "cpk") String figure, Reason reason, String words) {

  /** Why a figure does not exist. */
  public enum Reason {
    /** No limit set is in force. */
    NO_LIMIT_SET,
    /** No reading counts. */
    NO_READINGS,
    /** There is too little to estimate sigma from. */
    TOO_FEW,
    /** There is more than its chances are known for. */
    TOO_MANY,
    /** Nothing varies. */
    ZERO_SPREAD,
    /** No specification is in force. */
    NO_SPECIFICATION,
    /** The specification has one limit only. */
    ONE_SIDED,
    /** Its two limits are equal. */
    LIMITS_EQUAL,
    /** The process is not in control. */
    NOT_IN_CONTROL,
    /** The characteristic is bounded by nature, so not about normal. */
    BOUNDED_CHARACTERISTIC,
    /** Only what stands now is known, not what stood then. */
    KNOWN_NOW_ONLY,
    /** The specification states no target. */
    NO_TARGET,
    /** The method asked for does not give this figure. */
    NOT_BY_THIS_METHOD,
    /** The distribution asked for cannot have given these readings. */
    DOES_NOT_FIT
  }
}
