package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.List;
import java.util.UUID;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.dao.DataAccessException;
import org.tarebook.http.Problem;
import org.tarebook.storage.Deadline;

/**
 * A figure that does not exist, and why.
 *
 * @param figure the member it would have stood in
 * @param reason why, for a program
 * @param words why, for a person
 */
@Schema(name = "NotComputed", description = "A figure that does not exist, and why.")
public record NotComputed(@Schema(example = "cpk") String figure, Reason reason, String words) {

  private static final Logger log = LoggerFactory.getLogger(NotComputed.class);

  /** Why a figure does not exist. */
  @Schema(name = "NotComputedReason")
  public enum Reason {
    /** No limit set is in force. */
    NO_LIMIT_SET,
    /** No reading counts. */
    NO_READINGS,
    /** There is too little to estimate sigma from. */
    TOO_FEW,
    /** Of some readings only a bound is known. */
    CENSORED,
    /** There is more than its chances are known for, or than one answer holds. */
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
    /** Whether the process is in control cannot be told. */
    CONTROL_UNKNOWN,
    /** The characteristic is bounded by nature, so not about normal. */
    BOUNDED_CHARACTERISTIC,
    /** Only what stands now is known, not what stood then. */
    KNOWN_NOW_ONLY,
    /** Several streams were together; each has a figure of its own. */
    SEVERAL_STREAMS,
    /** The specification states no target. */
    NO_TARGET,
    /** The method asked for does not give this figure. */
    NOT_BY_THIS_METHOD,
    /** The distribution asked for cannot have given these readings. */
    DOES_NOT_FIT,
    /** The service failed at it. */
    FAULT
  }

  /**
   * Computes what some figures come from. Where that fails by a fault of the service, the fault is
   * logged under a number, and these figures are missing, no others.
   *
   * @param missing to which they are then added
   * @return null where it failed
   * @throws Problem what the work refuses
   * @throws Deadline.Passed if the study took too long
   * @throws DataAccessException what the database refuses
   */
  public static <T> @Nullable T attempt(
      List<String> figures, List<NotComputed> missing, Supplier<T> work) {
    Deadline.require();
    try {
      return work.get();
    } catch (Problem | DataAccessException | Deadline.Passed notOurs) {
      throw notOurs;
    } catch (RuntimeException fault) {
      String number = UUID.randomUUID().toString();
      log.error("Fault {} while computing {}", number, figures, fault);
      figures.forEach(
          figure ->
              missing.add(
                  new NotComputed(
                      figure,
                      Reason.FAULT,
                      "The service failed at it; its log holds the cause as fault "
                          + number
                          + ".")));
      return null;
    }
  }
}
