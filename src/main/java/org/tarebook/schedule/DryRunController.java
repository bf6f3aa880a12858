package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.compound.CompoundKinetics;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.DryRun.At;
import org.tarebook.schedule.DryRun.Named;

/** {@code /cure-schedules/{code}/dry-runs}: what a schedule would do, as it is and changed. */
@Tag(name = "Cure schedules")
@RestController
class DryRunController {

  private static final String CAUTION =
      "An estimate in one dimension: not a measurement, no release of a changed schedule. Prove it"
          + " with thermocouples in the tyre before it is used. It controls nothing; pressurised hot"
          + " water and steam maim, and local codes and licensed practice govern.";

  private final CureSchedules schedules;
  private final CompoundKinetics kinetics;

  DryRunController(CureSchedules schedules, CompoundKinetics kinetics) {
    this.schedules = schedules;
    this.kinetics = kinetics;
  }

  @Operation(
      operationId = "runScheduleDry",
      summary = "Run a schedule dry",
      description =
          """
          Heats the section by the schedule's own targets, and by the lower limits of its set \
          points, and tells the cure at each wanted depth, at the slowest and at the fastest place. \
          Each change asked for (hotter inside or outside, a step shorter) is run as well, with the \
          shortest time of that step that still reaches every minimum when the media are at their \
          lower limits. Nothing is stored.
          """)
  @PostMapping(
      path = "/api/v1/cure-schedules/{code}/dry-runs",
      consumes = MediaType.APPLICATION_JSON_VALUE)
  View run(@PathVariable String code, @Valid @RequestBody Request request) {
    CureSchedule schedule = schedules.get(code);
    ScheduleRevision revision = schedules.asked(schedule, request.revision());
    DryRun dryRun = new DryRun(revision.definition(), kinetics);
    if (!dryRun.possible()) {
      throw new Problem(
          ProblemType.RULE_BROKEN,
          "Revision "
              + revision.revision()
              + " of "
              + code
              + " has no section and wants nothing of a medium, or has no set point for the"
              + " temperature of one of its faces; nothing can be heated.");
    }
    List<RunView> runs = new ArrayList<>();
    runs.add(view(dryRun, revision.definition(), null, DryRun.Change.NONE, "/changes"));
    List<Change> changes = request.changes() == null ? List.of() : request.changes();
    for (int i = 0; i < changes.size(); i++) {
      runs.add(
          view(
              dryRun,
              revision.definition(),
              changes.get(i),
              change(changes.get(i), revision.definition(), "/changes/" + i),
              "/changes/" + i));
    }
    return new View(code, revision.revision(), runs, CAUTION);
  }

  private static DryRun.Change change(Change asked, ScheduleDefinition definition, String place) {
    if (asked.step() != null) {
      step(definition, asked.step(), place);
    } else if (asked.shorterBy() != null) {
      throw Problem.at(
          ProblemType.INVALID_REQUEST, place + "/step", "is needed: which step is shorter");
    }
    return new DryRun.Change(
        asked.step(),
        asked.shorterBy() == null ? 0 : asked.shorterBy().toMillis() / 1000.0,
        kelvin(asked.insideHotterBy(), place + "/insideHotterBy"),
        kelvin(asked.outsideHotterBy(), place + "/outsideHotterBy"));
  }

  private static double kelvin(@Nullable Quantity quantity, String place) {
    double kelvin = quantity == null ? 0 : quantity.in(Unit.KELVIN_DIFFERENCE, place);
    if (Math.abs(kelvin) > 50) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, place + "/value", "is more than 50 K; check the unit");
    }
    return kelvin;
  }

  private static ScheduleDefinition.Step step(
      ScheduleDefinition definition, String name, String place) {
    return definition.steps().stream()
        .filter(step -> step.name().equals(name))
        .findFirst()
        .orElseThrow(
            () ->
                Problem.at(
                    ProblemType.UNKNOWN_CODE,
                    place + "/step",
                    "'" + name + "' is no step of the schedule"));
  }

  private static RunView view(
      DryRun dryRun,
      ScheduleDefinition definition,
      @Nullable Change asked,
      DryRun.Change change,
      String place) {
    List<Figure> target = figures(dryRun, At.TARGET, change);
    List<Figure> lower = figures(dryRun, At.LOWER, change);
    Optional<Double> shortest =
        change.step() == null
            ? Optional.empty()
            : dryRun.shortest(step(definition, change.step(), place), change);
    return new RunView(
        asked,
        target,
        lower,
        target.stream().allMatch(Figure::met),
        lower.stream().allMatch(Figure::met),
        shortest.map(seconds -> Duration.ofSeconds(seconds.longValue())).orElse(null));
  }

  private static List<Figure> figures(DryRun dryRun, At at, DryRun.Change change) {
    return dryRun.figures(at, change).stream().map(DryRunController::figure).toList();
  }

  private static Figure figure(Named named) {
    Double depth = named.figure().depthMillimetres();
    return new Figure(
        named.place(),
        named.until(),
        named.figure().layer(),
        depth == null ? null : Decimals.rounded(depth, 6),
        depth == null ? null : Unit.MILLIMETRE.code(),
        Decimals.rounded(named.figure().minutes(), 6),
        named.figure().rule().name(),
        named.minimum(),
        named.maximum(),
        named.met(),
        named.onlyExtrapolated());
  }

  /** What is to be run. */
  @Schema(name = "DryRunRequest", description = "What a dry run is asked for.")
  record Request(
      @Schema(description = "The last that stands when left out.") @Nullable Integer revision,
      @Schema(
              description =
                  "Changes to be tried, each in a run of its own; left out for the schedule as it"
                      + " is.")
          @Size(max = 10)
          @Nullable List<@Valid @NotNull Change> changes) {}

  /**
   * A change to try.
   *
   * @param step the step that is made shorter, and whose shortest time is looked for
   */
  @Schema(name = "DryRunChange", description = "A change of a schedule that a dry run tries.")
  record Change(
      @Schema(description = "The step made shorter, and whose shortest time is looked for.")
          @Nullable String step,
      @Schema(description = "Negative makes it longer.", example = "PT2M")
          @Nullable Duration shorterBy,
      @Schema(description = "In K{difference} or [degR]{difference}.") @Valid
          @Nullable Quantity insideHotterBy,
      @Schema(description = "In K{difference} or [degR]{difference}.") @Valid
          @Nullable Quantity outsideHotterBy) {}

  /** What a schedule would do; the first run is the schedule as it is. */
  @Schema(name = "DryRun", description = "What a schedule would do to a tyre, by estimate.")
  record View(
      String schedule,
      @Schema(description = "Number of the revision that was run.") int revision,
      @Schema(description = "The runs; the first one is the schedule as it is.") List<RunView> runs,
      String caution) {}

  /** One run. */
  @Schema(name = "DryRunResult", description = "One run.")
  record RunView(
      @Schema(description = "The change that was tried; absent for the schedule as it is.")
          @Nullable Change change,
      @Schema(description = "Media at their targets.") List<Figure> atTarget,
      @Schema(description = "Media at the lower limits of their set points throughout.")
          List<Figure> atLowerLimits,
      @Schema(
              description =
                  "Whether every limit on equivalent cure is met with media at their targets.")
          boolean metAtTarget,
      @Schema(
              description =
                  "Whether every limit on equivalent cure is met with media at the lower limits of"
                      + " their set points.")
          boolean metAtLowerLimits,
      @Schema(
              description =
                  "Shortest time of the step named that still reaches every minimum and the blow"
                      + " point at the lower limits, to the second; absent where twice the written"
                      + " time does not reach them, and where no step is named.")
          @Nullable Duration shortest) {}

  /** Equivalents at a place, or of a medium, which has no layer and no depth. */
  @Schema(
      name = "DryRunFigure",
      description =
          "Equivalent cure at a place of the tyre, or of a medium, which has no layer and"
              + " no depth.")
  record Figure(
      @Schema(description = "What the schedule calls the place or medium, or SLOWEST or FASTEST.")
          String place,
      @Schema(description = "Up to which moment the minutes are counted.") Until until,
      @Schema(description = "Name of the layer the place lies in; absent of a medium.")
          @Nullable String layer,
      @Schema(
              description = "From the inner face of the rubber, in depthUnit; absent of a medium.",
              example = "7.5")
          @Nullable BigDecimal depth,
      @Schema(description = "UCUM code of the unit of depth.", example = "mm")
          @Nullable String depthUnit,
      @Schema(
              description =
                  "Equivalent minutes at the reference temperature of the compound of the layer, or of"
                      + " the one named for the medium.")
          BigDecimal minutes,
      @Schema(description = "How the rate of cure was taken: a value of HeatRule.") String rule,
      @Schema(description = "Wanted at least, in equivalent minutes.") @Nullable BigDecimal minimum,
      @Schema(description = "Wanted at most, in equivalent minutes.") @Nullable BigDecimal maximum,
      @Schema(
              description =
                  "Whether a load with exactly these temperatures is judged to meet its limit: by the"
                      + " end of the interval that a verdict holds against it, without credit"
                      + " outside the range of the kinetics. The sensors' error is not in it.")
          boolean met,
      @Schema(
              description =
                  "Whether it is met only with kinetics carried beyond their range: a verdict would be"
                      + " NOT_JUDGED.")
          boolean onlyExtrapolated) {}
}
