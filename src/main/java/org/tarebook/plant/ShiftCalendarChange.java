package org.tarebook.plant;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * A change of shift calendars by which readings on record lie in other shifts.
 *
 * @param cutFrom first moment that lies in another shift
 * @param cutBefore first moment after it that lies in the same shift again; absent where none does
 * @param inUseAt since when it counts; absent while readings are cut again
 */
@Schema(name = "ShiftCalendarChangeRecord")
public record ShiftCalendarChange(
    long id,
    long calendarId,
    Action action,
    String reason,
    String person,
    Instant recordedAt,
    Instant cutFrom,
    @Nullable Instant cutBefore,
    @Nullable Instant inUseAt) {

  /** What was done to the calendar. */
  @Schema(name = "ShiftCalendarChangeAction", description = "What was done to a shift calendar.")
  public enum Action {
    @Schema(description = "It was recorded.")
    RECORDED,
    @Schema(description = "It was retired.")
    RETIRED,
    @Schema(description = "It was taken back into use.")
    REINSTATED
  }
}
