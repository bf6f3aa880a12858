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

/** A figure that does not exist, and why. */
@Schema(name = "NotComputed", description = "A figure that does not exist, and why.")
public record NotComputed(
    @Schema(description = "The member in which the figure would be.", example = "cpk")
        String figure,
    @Schema(description = "Why it does not exist, for a program.") Reason reason,
    @Schema(description = "Why it does not exist, as a sentence for people.") String words) {

  private static final Logger log = LoggerFactory.getLogger(NotComputed.class);

  /** Why a figure does not exist. */
  @Schema(name = "NotComputedReason", description = "Why a figure does not exist.")
  public enum Reason {
    @Schema(description = "No limit set is in force.")
    NO_LIMIT_SET,
    @Schema(description = "No reading counts.")
    NO_READINGS,
    @Schema(description = "There is too little to estimate sigma from.")
    TOO_FEW,
    @Schema(description = "Of some readings only a bound is known.")
    CENSORED,
    @Schema(
        description =
            "There are more readings or points than the figure can be computed for, or than"
                + " one answer holds.")
    TOO_MANY,
    @Schema(description = "Nothing varies.")
    ZERO_SPREAD,
    @Schema(description = "No specification is in force.")
    NO_SPECIFICATION,
    @Schema(description = "The specification has one limit only.")
    ONE_SIDED,
    @Schema(description = "Its two limits are equal.")
    LIMITS_EQUAL,
    @Schema(description = "The process is not in control.")
    NOT_IN_CONTROL,
    @Schema(description = "It is not known whether the process is in control.")
    CONTROL_UNKNOWN,
    @Schema(
        description =
            "The characteristic is bounded by nature, so its distribution is not about"
                + " normal.")
    BOUNDED_CHARACTERISTIC,
    @Schema(description = "Only the present state is known, not the state at the moment asked for.")
    KNOWN_NOW_ONLY,
    @Schema(description = "The readings come from several streams; each has a figure of its own.")
    SEVERAL_STREAMS,
    @Schema(description = "The specification states no target.")
    NO_TARGET,
    @Schema(description = "The method asked for does not give this figure.")
    NOT_BY_THIS_METHOD,
    @Schema(description = "The distribution asked for cannot have given these readings.")
    DOES_NOT_FIT,
    @Schema(description = "The service failed to compute it; the log holds the cause.")
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
