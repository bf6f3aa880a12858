package org.tarebook.schedule;

import java.math.BigDecimal;
import java.util.function.Supplier;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.schedule.DryRun.At;
import org.tarebook.schedule.DryRun.Change;
import org.tarebook.schedule.ScheduleDefinition.BlowPoint;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.schedule.ScheduleDefinition.Wanted;

/** Whether a schedule reaches what it wants when its own targets are met. */
final class OwnTargets {

  private final ScheduleDefinition definition;
  private final DryRun run;

  OwnTargets(DryRun run) {
    this.definition = run.definition();
    this.run = run;
  }

  /** Refuses a schedule that its own targets do not meet. */
  void require() {
    Faults faults = new Faults();
    requirePlaces(faults);
    requireMedia(faults);
    faults.throwIfAny(ProblemType.RULE_BROKEN);
  }

  private void requirePlaces(Faults faults) {
    if (run.model().section() == null
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
    for (int i = 0; i < definition.wantedOrNone().size(); i++) {
      Wanted wanted = definition.wantedOrNone().get(i);
      String place = "/definition/wanted/" + i;
      reached(wanted.minimum(), () -> estimate.minimum(wanted), place, faults);
      exceeded(wanted.maximum(), () -> estimate.maximum(wanted), place, faults);
    }
    BlowPoint blow = definition.blowPoint();
    if (blow != null) {
      double reached = estimate.slowest(Until.RELEASE).minutes();
      if (reached < blow.needed().doubleValue()) {
        faults.add(
            "/definition/blowPoint",
            "times its factor is not reached when the pressure is let go: the schedule's own"
                + " targets give "
                + rounded(reached)
                + " equivalent minutes at the slowest place");
      }
    }
  }

  private void requireMedia(Faults faults) {
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
      reached(medium.wanted().minimum(), () -> medium.minimum(heating), place, faults);
      exceeded(medium.wanted().maximum(), () -> medium.maximum(heating), place, faults);
    }
  }

  private static void reached(
      @Nullable BigDecimal minimum, Supplier<HeatFigure> figure, String place, Faults faults) {
    if (minimum != null && figure.get().minutes() < minimum.doubleValue()) {
      faults.add(
          place + "/minimum",
          "is not reached by the schedule's own targets: they give "
              + rounded(figure.get().minutes())
              + " equivalent minutes; lengthen the cure or lower the minimum");
    }
  }

  private static void exceeded(
      @Nullable BigDecimal maximum, Supplier<HeatFigure> figure, String place, Faults faults) {
    if (maximum != null && figure.get().minutes() > maximum.doubleValue()) {
      faults.add(
          place + "/maximum",
          "is exceeded by the schedule's own targets: they give "
              + rounded(figure.get().minutes())
              + " equivalent minutes; shorten the cure or raise the maximum");
    }
  }

  private static double rounded(double minutes) {
    return Math.round(minutes * 100) / 100.0;
  }
}
