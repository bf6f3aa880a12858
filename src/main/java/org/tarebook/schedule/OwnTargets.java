package org.tarebook.schedule;

import java.math.BigDecimal;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.Predicate;
import java.util.function.Supplier;
import java.util.function.ToDoubleBiFunction;
import java.util.stream.DoubleStream;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.DryRun.At;
import org.tarebook.schedule.DryRun.Change;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;
import org.tarebook.schedule.ScheduleDefinition.Step;
import org.tarebook.schedule.ScheduleDefinition.Wanted;
import org.tarebook.thermal.Saturation;

/**
 * Whether a schedule reaches what it wants when its own targets are met. What they do not reach is
 * a fault. What they reach by the estimate, and what a verdict would not judge all the same, is a
 * doubt, which a person can accept.
 */
final class OwnTargets {

  private static final String ACCEPT =
      ", or send doubtReason: why it is recorded though loads that meet it exactly are NOT_JUDGED";

  /** In kelvin, of a unit that is converted. */
  private static final double ROUNDING = 1e-6;

  private final ScheduleDefinition definition;
  private final DryRun run;
  private final Faults faults = new Faults();
  private final Faults doubts = new Faults();

  OwnTargets(DryRun run) {
    this.definition = run.definition();
    this.run = run;
  }

  /**
   * Refuses a schedule that its own targets do not meet.
   *
   * @param doubtful whether a person accepts what is in doubt; refused where nothing is
   */
  void require(boolean doubtful) {
    holdPlaces();
    holdMedia();
    holdLimits();
    faults.throwIfAny(ProblemType.RULE_BROKEN);
    if (!doubtful) {
      doubts.throwIfAny(ProblemType.RULE_BROKEN);
    } else if (doubts.none()) {
      faults.add(
          "/doubtReason",
          "belongs to a schedule that is in doubt; a load that meets the targets of this one exactly"
              + " is judged, so leave it out");
      faults.throwIfAny(ProblemType.RULE_BROKEN);
    }
  }

  private void holdPlaces() {
    HeatSection section = run.model().section();
    if (section == null
        || (definition.wantedOrNone().isEmpty() && definition.blowPoint() == null)) {
      return;
    }
    if (!run.heatsSection()) {
      faults.add(
          "/definition/steps",
          "have no set point for the temperature "
              + (run.hasSetPoint(Medium.INSIDE) ? "outside the mould" : "inside")
              + ", so that what is wanted cannot be computed");
      return;
    }
    HeatEstimate estimate = run.run(At.TARGET, Change.NONE).orElseThrow();
    KineticsUsed used = section.kinetics();
    for (int i = 0; i < definition.wantedOrNone().size(); i++) {
      Wanted wanted = definition.wantedOrNone().get(i);
      String place = "/definition/wanted/" + i;
      reached(wanted.minimum(), used, () -> estimate.minimum(wanted), place);
      exceeded(wanted.maximum(), used, () -> estimate.maximum(wanted), place);
    }
    BlowPoint blow = definition.blowPoint();
    if (blow != null) {
      HeatFigure slowest = estimate.slowest(Until.RELEASE);
      if (slowest.minutes() < blow.needed().doubleValue()) {
        faults.add(
            "/definition/blowPoint",
            "times its factor is not reached when the pressure is let go: the schedule's own"
                + " targets give "
                + beside(blow.needed(), slowest.minutes())
                + " equivalent minutes at the slowest place");
      } else {
        hold(used, slowest, blow.needed(), true, "/definition/blowPoint");
      }
    }
  }

  private void holdMedia() {
    for (int i = 0; i < run.model().media().size(); i++) {
      MediumCure medium = run.model().media().get(i);
      String place = "/definition/media/" + i;
      if (!run.hasSetPoint(medium.wanted().medium())) {
        faults.add(
            place + "/medium",
            "has no set point for its temperature in any step, so that what is wanted cannot be"
                + " computed");
        continue;
      }
      MediumCure.Heating heating = run.heating(medium, At.TARGET, Change.NONE);
      reached(medium.wanted().minimum(), medium.used(), () -> medium.minimum(heating), place);
      exceeded(medium.wanted().maximum(), medium.used(), () -> medium.maximum(heating), place);
    }
  }

  /**
   * Holds what the set points of a step say together, by the pair that comes nearest to the limit:
   * which channels a load has is not known here. What the error of its sensors decides is left to
   * its verdict.
   */
  private void holdLimits() {
    List<SetPoint> outside = List.of();
    for (Step step : definition.steps()) {
      List<SetPoint> inside = points(step, Measured.INTERNAL_TEMPERATURE::equals);
      List<SetPoint> outsideNow = points(step, Measured::outsideTemperature);
      outside = outsideNow.isEmpty() ? outside : outsideNow;
      if (step.kind() == StepKind.HOT_WATER) {
        least(
            definition.leastWaterMargin(),
            subcooling(points(step, Measured.INTERNAL_PRESSURE::equals), inside).max(),
            step,
            "/definition/leastWaterMargin");
      }
      most(
          definition.mostDomeDepression(),
          subcooling(
                  points(step, Measured.DOME_PRESSURE::equals),
                  points(step, Measured.DOME_TEMPERATURE::equals))
              .min(),
          step,
          "/definition/mostDomeDepression");
      if (step.kind().beforeRelease() && step.kind() != StepKind.COOLING_FLUSH) {
        most(
            definition.mostInsideOutside(),
            pairs(outside, inside, (one, other) -> Math.abs(celsius(one) - celsius(other))).min(),
            step,
            "/definition/mostInsideOutside");
      }
    }
  }

  private static List<SetPoint> points(Step step, Predicate<Measured> measured) {
    return step.setPoints().stream().filter(point -> measured.test(point.measured())).toList();
  }

  /** How far below boiling at each pressure each temperature is, where steam tables reach. */
  private static DoubleStream subcooling(List<SetPoint> pressures, List<SetPoint> temperatures) {
    return pairs(
        pressures.stream()
            .filter(point -> kiloPascal(point) >= 1 && kiloPascal(point) <= 22000)
            .toList(),
        temperatures,
        (pressure, temperature) ->
            Saturation.celsiusAt(kiloPascal(pressure)) - celsius(temperature));
  }

  private static DoubleStream pairs(
      List<SetPoint> ones, List<SetPoint> others, ToDoubleBiFunction<SetPoint, SetPoint> figure) {
    return ones.stream()
        .flatMapToDouble(
            one -> others.stream().mapToDouble(other -> figure.applyAsDouble(one, other)));
  }

  private static double celsius(SetPoint point) {
    return new Quantity(point.target(), point.unit()).in(Unit.CELSIUS);
  }

  private static double kiloPascal(SetPoint point) {
    return ScheduleRules.kiloPascal(point, point.target());
  }

  private void least(@Nullable Quantity limit, OptionalDouble given, Step step, String place) {
    if (limit != null
        && given.isPresent()
        && given.getAsDouble() < limit.in(Unit.KELVIN_DIFFERENCE) - ROUNDING) {
      missed(place, step, given.getAsDouble(), "least", limit.in(Unit.KELVIN_DIFFERENCE));
    }
  }

  private void most(@Nullable Quantity limit, OptionalDouble given, Step step, String place) {
    if (limit != null
        && given.isPresent()
        && given.getAsDouble() > limit.in(Unit.KELVIN_DIFFERENCE) + ROUNDING) {
      missed(place, step, given.getAsDouble(), "most", limit.in(Unit.KELVIN_DIFFERENCE));
    }
  }

  private void missed(String place, Step step, double given, String bound, double limit) {
    doubts.add(
        place,
        "is missed by the schedule's own targets: those of step "
            + step.name()
            + " give "
            + Decimals.beside(given, limit, 4)
            + " K, wanted at "
            + bound
            + " "
            + Decimals.beside(limit, given, 4)
            + " K; change the limit or the set points, or send doubtReason: why it is recorded"
            + " though loads that meet it exactly are not GOOD");
  }

  private void reached(
      @Nullable BigDecimal minimum, KineticsUsed used, Supplier<HeatFigure> its, String place) {
    if (minimum == null) {
      return;
    }
    HeatFigure figure = its.get();
    if (figure.minutes() < minimum.doubleValue()) {
      faults.add(
          place + "/minimum",
          "is not reached by the schedule's own targets: they give "
              + beside(minimum, figure.minutes())
              + " equivalent minutes; lengthen the cure or lower the minimum");
    } else {
      hold(used, figure, minimum, true, place + "/minimum");
    }
  }

  private void exceeded(
      @Nullable BigDecimal maximum, KineticsUsed used, Supplier<HeatFigure> its, String place) {
    if (maximum == null) {
      return;
    }
    HeatFigure figure = its.get();
    if (figure.minutes() > maximum.doubleValue()) {
      faults.add(
          place + "/maximum",
          "is exceeded by the schedule's own targets: they give "
              + beside(maximum, figure.minutes())
              + " equivalent minutes; shorten the cure or raise the maximum");
    } else {
      hold(used, figure, maximum, false, place + "/maximum");
    }
  }

  /** Holds a figure that meets its limit by the estimate, as a verdict would. */
  private void hold(
      KineticsUsed used, HeatFigure figure, BigDecimal limit, boolean minimum, String place) {
    DecidingInterval held = run.held(used, figure, limit, minimum);
    String holds = minimum ? "minimumHolds" : "maximumHolds";
    if (!held.unknown().isEmpty()) {
      doubts.add(
          place,
          "cannot be judged: "
              + String.join(" and ", held.unknown())
              + (held.unknown().size() == 1 ? " has" : " have")
              + " no known uncertainty; record kinetics with an activation energy and its"
              + " uncertainty, name ACTIVATION_ENERGY in "
              + holds
              + " if the limit holds that doubt already"
              + ACCEPT);
    } else if (!held.met()) {
      String most = held.most() == null ? "no known most" : "at most " + beside(limit, held.most());
      String proves =
          " equivalent minutes, wanted at "
              + (minimum ? "least " : "most ")
              + limit.toPlainString()
              + ", but "
              + (minimum ? "at least " + beside(limit, held.least()) : most);
      doubts.add(
          place,
          "is not proven by the schedule's own targets: they give "
              + beside(limit, figure.minutes())
              + proves
              + (held.metByExtrapolation()
                  ? " by the temperatures that the kinetics are stated for, "
                      + String.join(", ", used.ranges())
                      + "; record kinetics for the temperatures of the cure"
                  : " by the interval that a verdict holds against it; "
                      + (minimum ? "lengthen" : "shorten")
                      + " the cure, name in "
                      + holds
                      + " the doubts that the limit holds already")
              + ACCEPT);
    }
  }

  /** To four digits, or as many as show that it is not the limit. */
  private static String beside(BigDecimal limit, double minutes) {
    int digits = 4;
    while (digits < 9 && Decimals.rounded(minutes, digits).compareTo(limit) == 0) {
      digits++;
    }
    return Decimals.plain(Decimals.rounded(minutes, digits)).toPlainString();
  }
}
