package org.tarebook.schedule;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.tarebook.compound.CompoundKinetics;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.schedule.ScheduleDefinition.Step;
import org.tarebook.schedule.ScheduleDefinition.Wanted;
import org.tarebook.schedule.ScheduleDefinition.WantedOfMedium;
import org.tarebook.thermal.Trace;

/**
 * What a schedule would do to a tyre if it were met: steps take their target times, media go
 * straight to their targets while they settle and stay there. In a step without a set point a
 * medium stays as it was. Before its first one the inside is at the green tyre's temperature. The
 * outside has heated the mould before the load, so the tyre sees it at that set point from the
 * start; but its own equivalents have no credit for a step that says nothing of it.
 */
final class DryRun {

  private static final double SHORTEST = 1;

  private final ScheduleDefinition definition;
  private final HeatModel model;

  DryRun(ScheduleDefinition definition, CompoundKinetics kinetics) {
    this.definition = definition;
    this.model = HeatModel.of(definition, kinetics::require);
  }

  /**
   * A change to try.
   *
   * @param step the step that is made shorter; absent where none is
   * @param seconds by how many; negative makes it longer
   * @param insideKelvin by how many kelvin the inside is hotter, from the first heated step on
   * @param outsideKelvin by how many kelvin the outside is hotter
   */
  record Change(@Nullable String step, double seconds, double insideKelvin, double outsideKelvin) {
    static final Change NONE = new Change(null, 0, 0, 0);

    Change shorterBy(String of, double by) {
      return new Change(of, by, insideKelvin, outsideKelvin);
    }
  }

  /** Which values of the set points are run. */
  enum At {
    TARGET,
    /** The lower limits, which a load may have throughout and be within its set points. */
    LOWER
  }

  /** What is run. */
  ScheduleDefinition definition() {
    return definition;
  }

  /** What is heated. */
  HeatModel model() {
    return model;
  }

  /** Whether there is anything to be heated, and set points to heat it by. */
  boolean possible() {
    return heatsSection()
        || model.media().stream().anyMatch(medium -> hasSetPoint(medium.wanted().medium()));
  }

  /** Whether there is a section, and a set point for both of its faces. */
  boolean heatsSection() {
    return model.section() != null && hasSetPoint(Medium.INSIDE) && hasSetPoint(Medium.OUTSIDE);
  }

  /** Whether a step has a set point for the temperature of a medium. */
  boolean hasSetPoint(Medium medium) {
    return definition.steps().stream()
        .flatMap(step -> step.setPoints().stream())
        .anyMatch(point -> medium.isShownBy(point.measured()));
  }

  /** What a medium does by the schedule, changed. */
  MediumCure.Heating heating(MediumCure medium, At at, Change change) {
    double green = definition.greenTyre().coldest().in(Unit.CELSIUS);
    Medium its = medium.wanted().medium();
    boolean inside = its == Medium.INSIDE;
    Trace hottest = MediumCourse.of(this, its, at, change, inside ? green : Double.NaN, false);
    boolean fromGreen = inside || !setsAtStart(its);
    return new MediumCure.Heating(
        MediumCourse.of(this, its, at, change, fromGreen ? green : Double.NaN, true),
        hottest,
        hottest,
        0,
        end(medium.wanted().until(), change),
        List.of());
  }

  /** Whether the first step has a set point for the temperature of a medium. */
  private boolean setsAtStart(Medium medium) {
    return definition.steps().get(0).setPoints().stream()
        .anyMatch(point -> medium.isShownBy(point.measured()));
  }

  private double end(Until until, Change change) {
    return until == Until.RELEASE
        ? start(change, kind -> !kind.beforeRelease())
        : start(change, kind -> !kind.inPress());
  }

  /** Runs the schedule, changed; nothing where it has no section or no set points for a face. */
  Optional<HeatEstimate> run(At at, Change change) {
    HeatSection heated = model.section();
    if (heated == null || !heatsSection()) {
      return Optional.empty();
    }
    double green = definition.greenTyre().coldest().in(Unit.CELSIUS);
    double warm = definition.greenTyre().warmest().in(Unit.CELSIUS);
    Trace insideLow = MediumCourse.of(this, Medium.INSIDE, at, change, green, true);
    Trace outsideLow = MediumCourse.of(this, Medium.OUTSIDE, at, change, Double.NaN, true);
    return Optional.of(
        HeatEstimate.of(
            heated,
            new HeatEstimate.Heating(
                insideLow,
                MediumCourse.of(this, Medium.INSIDE, at, change, green, false),
                outsideLow,
                MediumCourse.of(this, Medium.OUTSIDE, at, change, Double.NaN, false),
                green,
                at == At.TARGET ? warm : green,
                0,
                0,
                end(Until.RELEASE, change),
                end(Until.OPENING, change),
                null)));
  }

  /** How long a step takes, changed. */
  double length(Step step, Change change) {
    double target = step.target().toMillis() / 1000.0;
    return step.name().equals(change.step())
        ? Math.max(SHORTEST, target - change.seconds())
        : target;
  }

  /** When the first step of some kind begins, or the last one ends. */
  private double start(Change change, Predicate<StepKind> kind) {
    double time = 0;
    for (Step step : definition.steps()) {
      if (kind.test(step.kind())) {
        break;
      }
      time += length(step, change);
    }
    return time;
  }

  /**
   * The shortest time of a step with which every minimum and the blow point are still reached, the
   * lower limits run; nothing where they are not reached even by the step as written.
   */
  Optional<Double> shortest(Step step, Change change) {
    double written = step.target().toMillis() / 1000.0;
    double most = written * 2;
    if (!met(change.shorterBy(step.name(), written - most))) {
      return Optional.empty();
    }
    double low = SHORTEST;
    double high = most;
    while (high - low > 1) {
      double middle = (low + high) / 2;
      if (met(change.shorterBy(step.name(), written - middle))) {
        high = middle;
      } else {
        low = middle;
      }
    }
    return Optional.of(Math.ceil(high));
  }

  private boolean met(Change change) {
    return run(At.LOWER, change).map(this::met).orElse(true)
        && model.media().stream()
            .filter(medium -> medium.wanted().minimum() != null)
            .allMatch(
                medium ->
                    held(
                            medium.used(),
                            medium.minimum(heating(medium, At.LOWER, change)),
                            Objects.requireNonNull(medium.wanted().minimum()),
                            true)
                        .proven());
  }

  private boolean met(HeatEstimate estimate) {
    KineticsUsed used = estimate.section().kinetics();
    BlowPoint blow = definition.blowPoint();
    if (blow != null
        && !held(used, estimate.slowest(Until.RELEASE), blow.needed(), true).proven()) {
      return false;
    }
    return definition.wantedOrNone().stream()
        .filter(wanted -> wanted.minimum() != null)
        .allMatch(
            wanted ->
                held(used, estimate.minimum(wanted), Objects.requireNonNull(wanted.minimum()), true)
                    .proven());
  }

  /** A figure held against a limit, as a verdict would hold it. */
  DecidingInterval held(KineticsUsed used, HeatFigure figure, BigDecimal limit, boolean minimum) {
    return DecidingInterval.of(figure, used, definition.holds(minimum), limit, minimum);
  }

  /** Figures of every wanted place, of the slowest and fastest, and of the media wanted. */
  List<Named> figures(At at, Change change) {
    List<Named> named = new ArrayList<>();
    run(at, change).ifPresent(estimate -> addPlaces(estimate, named));
    for (MediumCure medium : model.media()) {
      WantedOfMedium wanted = medium.wanted();
      MediumCure.Heating heating = heating(medium, at, change);
      add(
          named,
          medium.used(),
          wanted.name(),
          wanted.until(),
          medium.minimum(heating),
          wanted.minimum(),
          null);
      add(
          named,
          medium.used(),
          wanted.name(),
          wanted.until(),
          medium.maximum(heating),
          null,
          wanted.maximum());
    }
    return named;
  }

  private void addPlaces(HeatEstimate estimate, List<Named> named) {
    KineticsUsed used = estimate.section().kinetics();
    for (Until until : Until.values()) {
      if (until != Until.END || estimate.section().cools()) {
        named.add(named(used, "SLOWEST", until, estimate.slowest(until), null, null));
        named.add(named(used, "FASTEST", until, estimate.fastest(until), null, null));
      }
    }
    for (Wanted wanted : definition.wantedOrNone()) {
      add(
          named,
          used,
          wanted.name(),
          wanted.until(),
          estimate.minimum(wanted),
          wanted.minimum(),
          null);
      add(
          named,
          used,
          wanted.name(),
          wanted.until(),
          estimate.maximum(wanted),
          null,
          wanted.maximum());
    }
  }

  /** Adds a figure with its limit, where there is one. */
  private void add(
      List<Named> named,
      KineticsUsed used,
      String place,
      Until until,
      HeatFigure figure,
      @Nullable BigDecimal minimum,
      @Nullable BigDecimal maximum) {
    if (minimum != null || maximum != null) {
      named.add(named(used, place, until, figure, minimum, maximum));
    }
  }

  private Named named(
      KineticsUsed used,
      String place,
      Until until,
      HeatFigure figure,
      @Nullable BigDecimal minimum,
      @Nullable BigDecimal maximum) {
    BigDecimal limit = minimum != null ? minimum : maximum;
    DecidingInterval held = limit == null ? null : held(used, figure, limit, minimum != null);
    return new Named(
        place,
        until,
        figure,
        minimum,
        maximum,
        held == null || held.proven(),
        held != null && !held.met() && held.metByExtrapolation());
  }

  /**
   * A figure of a place that has a name.
   *
   * @param met whether a load with exactly these temperatures would be judged to meet its limit
   * @param onlyExtrapolated whether it would be met were the kinetics carried beyond their range
   */
  record Named(
      String place,
      Until until,
      HeatFigure figure,
      @Nullable BigDecimal minimum,
      @Nullable BigDecimal maximum,
      boolean met,
      boolean onlyExtrapolated) {}
}
