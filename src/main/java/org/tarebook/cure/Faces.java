package org.tarebook.cure;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.MinuteMeans.Mean;
import org.tarebook.cure.Run.Steady;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.StepKind;

/** What inside and outside of one cavity say of each other, and of a leak. */
final class Faces {

  private final ScheduleDefinition definition;
  private final Run run;
  private final CureLog cure;
  private final Serving serving;
  private final List<Reason> reasons = new ArrayList<>();
  private @Nullable Double difference;

  Faces(ScheduleDefinition definition, Run run, CureLog cure, Serving serving) {
    this.definition = definition;
    this.run = run;
    this.cure = cure;
    this.serving = serving;
    lookForLeak();
    lookAtDifference();
  }

  List<Reason> reasons() {
    return reasons;
  }

  /** Greatest difference of internal and outside temperature in a minute, in kelvin. */
  Optional<Double> difference() {
    return Optional.ofNullable(difference);
  }

  /** A cavity's own pressure that falls away from the shared one while that stands. */
  private void lookForLeak() {
    List<ChannelLog> pressures = serving.logs(Measured.INTERNAL_PRESSURE);
    for (ChannelLog own : pressures) {
      if (own.channel().shared()) {
        continue;
      }
      for (ChannelLog shared : pressures) {
        if (!shared.channel().shared()) {
          continue;
        }
        for (Steady steady : run.steady(measured -> measured == Measured.INTERNAL_PRESSURE)) {
          if (!steady.part().step().kind().beforeRelease()) {
            continue;
          }
          List<Mean> means = MinuteMeans.of(run.course(own, steady), run.course(shared, steady));
          if (means.isEmpty()) {
            continue;
          }
          double[] first = means.get(0).means();
          Mean last = means.get(means.size() - 1);
          double lost = (last.means()[1] - last.means()[0]) - (first[1] - first[0]);
          double error = own.error(first[0]) + shared.error(first[1]);
          if (lost > error && first[0] - last.means()[0] > error) {
            reasons.add(
                Reason.of(
                        Reason.Code.LEAK,
                        Reason.Weight.REMARK,
                        "The cavity's own pressure lost "
                            + Words.pressure(lost, error, own.channel())
                            + " against the shared supply during step "
                            + steady.part().step().name()
                            + ": look for a leaking bag, bladder or joint.")
                    .on(own.channel())
                    .during(steady.part().step().name())
                    .from(cure.at(steady.from()), cure.at(steady.until()))
                    .amount(lost, Unit.KILOPASCAL.code())
                    .wanted(error)
                    .done());
            return;
          }
        }
      }
    }
  }

  private void lookAtDifference() {
    Mean worst = null;
    ChannelLog seenOn = null;
    for (ChannelLog inside : serving.logs(Measured.INTERNAL_TEMPERATURE)) {
      for (ChannelLog outside : serving.logs(channel -> channel.measured().outsideTemperature())) {
        for (Steady steady : run.steady(measured -> measured == Measured.INTERNAL_TEMPERATURE)) {
          if (!steady.part().step().kind().beforeRelease()
              || steady.part().step().kind() == StepKind.COOLING_FLUSH) {
            continue;
          }
          Optional<Mean> here =
              MinuteMeans.worst(
                  MinuteMeans.of(run.course(inside, steady), run.course(outside, steady)),
                  mean -> Math.abs(mean.means()[0] - mean.means()[1]));
          if (here.isPresent() && (worst == null || apart(here.get()) > apart(worst))) {
            worst = here.get();
            seenOn = inside;
          }
        }
      }
    }
    if (worst == null || seenOn == null) {
      return;
    }
    difference = apart(worst);
    Quantity most = definition.mostInsideOutside();
    if (most != null && apart(worst) > most.in(Unit.KELVIN_DIFFERENCE)) {
      reasons.add(
          Reason.of(
                  Reason.Code.INSIDE_OUTSIDE,
                  Reason.Weight.BREACH,
                  "Inside and outside were "
                      + Words.number(apart(worst), most.in(Unit.KELVIN_DIFFERENCE))
                      + " K apart, wanted at most "
                      + Words.number(most.in(Unit.KELVIN_DIFFERENCE), apart(worst))
                      + " K: the tyre cured unevenly.")
              .on(seenOn.channel())
              .from(cure.at(worst.from()), cure.at(worst.until()))
              .amount(apart(worst), Unit.KELVIN_DIFFERENCE.code())
              .wanted(most.in(Unit.KELVIN_DIFFERENCE))
              .by(Reason.Rule.WORST_MINUTE)
              .line("/mostInsideOutside")
              .done());
    }
  }

  private static double apart(Mean mean) {
    return Math.abs(mean.means()[0] - mean.means()[1]);
  }
}
