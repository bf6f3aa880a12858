package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Pattern;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.RetrySafe;

/** {@code /cure-schedules/{code}/revisions}: what a cure should be. */
@Tag(name = "Cure schedules")
@RestController
class ScheduleRevisionController {

  private static final String PATH = "/api/v1/cure-schedules/{code}/revisions";

  private final CureSchedules schedules;
  private final ScheduleChanges changes;

  ScheduleRevisionController(CureSchedules schedules, ScheduleChanges changes) {
    this.schedules = schedules;
    this.changes = changes;
  }

  @Operation(
      operationId = "listScheduleRevisions",
      summary = "List the revisions of a cure schedule",
      description = "The first one first; withdrawn ones stay listed.")
  @GetMapping(PATH)
  Page<View> list(@PathVariable String code) {
    CureSchedule schedule = schedules.get(code);
    return Page.whole(
        schedules.revisions(schedule).stream().map(known -> view(schedule, known)).toList());
  }

  @Operation(
      operationId = "getScheduleRevision",
      summary = "Show one revision of a cure schedule",
      description = "As recorded, with the revisions of its compounds filled in.")
  @GetMapping(PATH + "/{revision}")
  View get(@PathVariable String code, @PathVariable int revision) {
    CureSchedule schedule = schedules.get(code);
    return view(schedule, schedules.revision(schedule, revision));
  }

  @Operation(
      operationId = "recordScheduleRevision",
      summary = "Record a revision of a cure schedule",
      description =
          """
          It holds for cures that start at or after validFrom, until the \
          next revision. A schedule that cannot be met is refused: limits out of order, water that \
          would boil at its pressure, steam that cannot have both its temperature and its \
          pressure, a minimum that its own targets do not reach. One whose own targets, met exactly, \
          would leave a load NOT_JUDGED (kinetics outside their range, an interval that holds the \
          limit, an uncertainty that is not known) is refused unless doubtReason says why it is \
          recorded all the same. A compound \
          without a revision is pinned to its only one, and refused where it has several. The schedule is a record and controls no press; pressurised \
          hot water and steam maim, and local codes and licensed practice govern.
          """)
  @RetrySafe
  @PostMapping(path = PATH, consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(
      @PathVariable String code, @Valid @RequestBody Request request, Actor actor) {
    CureSchedule schedule = schedules.get(code);
    ScheduleChanges.Outcome outcome =
        changes.record(
            schedule,
            new ScheduleChanges.Draft(
                request.key(),
                request.validFrom(),
                request.definition(),
                request.reason(),
                request.doubtReason()),
            actor);
    View view = view(schedule, outcome.revision());
    return RetrySafe.Answer.of(
        outcome.replayed(),
        view,
        "cure-schedules",
        code,
        "revisions",
        String.valueOf(view.revision()));
  }

  @Operation(
      operationId = "previewScheduleRevisionWithdrawal",
      summary = "Tell beforehand what withdrawing a schedule revision would do",
      description = "How many cures were judged by it and would be judged again.")
  @GetMapping(PATH + "/{revision}/withdrawal")
  Preview preview(@PathVariable String code, @PathVariable int revision) {
    CureSchedule schedule = schedules.get(code);
    ScheduleRevision known = schedules.revision(schedule, revision);
    return new Preview(view(schedule, known), changes.curesOf(known));
  }

  @Operation(
      operationId = "withdrawScheduleRevision",
      summary = "Withdraw a wrong schedule revision",
      description =
          "It stays on record as withdrawn. Cures that it judged keep their"
              + " verdicts and get successors, one after the other in the background, by the"
              + " revision that is then in force.")
  @PostMapping(path = PATH + "/{revision}/withdrawal", consumes = MediaType.APPLICATION_JSON_VALUE)
  Preview withdraw(
      @PathVariable String code,
      @PathVariable int revision,
      @Valid @RequestBody WithdrawalRequest request,
      Actor actor) {
    CureSchedule schedule = schedules.get(code);
    ScheduleChanges.Withdrawn done = changes.withdraw(schedule, revision, request.reason(), actor);
    return new Preview(view(schedule, done.revision()), done.cures());
  }

  /** A revision to be recorded. */
  @Schema(
      name = "ScheduleRevisionRequest",
      description = "A revision of a cure schedule to be recorded.")
  record Request(
      @NotNull @FactKey String key,
      @NotNull Instant validFrom,
      @Schema(description = "What the cure should be.") @NotNull @Valid
          ScheduleDefinition definition,
      @NotBlank @Size(max = 500) String reason,
      @Schema(
              description =
                  "Why it is recorded though a load that meets its own targets exactly would not be"
                      + " GOOD, such as kinetics that are extrapolated until the laboratory"
                      + " has others. Needed then, and refused where such a load is GOOD.")
          @Size(min = 1, max = 500)
          @Pattern(
              regexp = "[\\s\\S]*\\S[\\s\\S]*",
              message = "must not be blank; leave it out or say why")
          @Nullable String doubtReason) {}

  /** Why a revision is withdrawn. */
  @Schema(
      name = "ScheduleRevisionWithdrawalRequest",
      description = "A request to withdraw a revision of a cure schedule.")
  record WithdrawalRequest(@NotBlank @Size(max = 500) String reason) {}

  /** What a withdrawal would do or did: how many cures are concerned. */
  @Schema(
      name = "ScheduleRevisionPreview",
      description = "What a withdrawal of a revision would affect.")
  record Preview(
      @Schema(description = "The revision.") View revision,
      @Schema(description = "How many cures were judged by the revision.") long cures) {}

  /** A revision. */
  @Schema(name = "ScheduleRevision", description = "A revision of a cure schedule.")
  record View(
      String schedule,
      int revision,
      Instant validFrom,
      @Schema(description = "What the cure should be.") ScheduleDefinition definition,
      String reason,
      @Schema(
              description =
                  "Why it was recorded though a load that meets its own targets exactly is not judged;"
                      + " a dry run says by which limit. Absent where such a load is.")
          @Nullable String doubtReason,
      String person,
      Instant recordedAt,
      @Nullable Instant withdrawnAt,
      @Nullable String withdrawnBy,
      @Nullable String withdrawnReason) {}

  private static View view(CureSchedule schedule, ScheduleRevision of) {
    ScheduleRevision.Withdrawal withdrawal = of.withdrawal();
    return new View(
        schedule.code(),
        of.revision(),
        of.validFrom(),
        of.definition(),
        of.reason(),
        of.doubtReason(),
        of.person(),
        of.recordedAt(),
        withdrawal == null ? null : withdrawal.at(),
        withdrawal == null ? null : withdrawal.person(),
        withdrawal == null ? null : withdrawal.reason());
  }
}
