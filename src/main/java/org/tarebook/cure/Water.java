package org.tarebook.cure;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.MinuteMeans.Mean;
import org.tarebook.cure.Run.Steady;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.CircuitEnd;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.StepKind;

/** What the hot water inside says of itself: its margin above flashing, and whether it flows. */
final class Water {

  private final ScheduleDefinition definition;
  private final Run run;
  private final CureLog cure;
  private final Serving serving;
  private final List<Reason> reasons = new ArrayList<>();
  private final @Nullable Figure figure;
  private boolean circulationSeen;

  /** Least subcooling of the hot water at any moment, in kelvin and kilopascal. */
  record Figure(double subcooling, double margin) {}

  Water(ScheduleDefinition definition, Run run, CureLog cure, Serving serving) {
    this.definition = definition;
    this.run = run;
    this.cure = cure;
    this.serving = serving;
    WaterMargin margin =
        new WaterMargin(
            definition, run, cure, serving, hotWater(Measured.INTERNAL_PRESSURE::equals));
    figure = margin.figure();
    reasons.addAll(margin.reasons());
    lookAtCirculation();
  }

  List<Reason> reasons() {
    return reasons;
  }

  Optional<Figure> figure() {
    return Optional.ofNullable(figure);
  }

  /** Whether both ends of the circuit told together whether the water flowed. */
  boolean circulationSeen() {
    return circulationSeen;
  }

  private List<Steady> hotWater(Predicate<Measured> measured) {
    return run.steady(measured).stream()
        .filter(steady -> steady.part().step().kind() == StepKind.HOT_WATER)
        .toList();
  }

  private void lookAtCirculation() {
    Quantity wanted = definition.leastCirculation();
    if (wanted == null) {
      return;
    }
    double limit = wanted.in(Unit.KILOPASCAL);
    for (ChannelLog supply :
        serving.logs(
            channel ->
                channel.measured() == Measured.INTERNAL_PRESSURE
                    && channel.circuitEnd() == CircuitEnd.SUPPLY)) {
      for (ChannelLog back :
          serving.logs(
              channel ->
                  channel.measured() == Measured.INTERNAL_PRESSURE
                      && channel.circuitEnd() == CircuitEnd.RETURN)) {
        for (Steady steady : hotWater(measured -> measured == Measured.INTERNAL_PRESSURE)) {
          Optional<Mean> worst =
              MinuteMeans.worst(
                  MinuteMeans.of(run.course(supply, steady), run.course(back, steady)),
                  mean -> mean.means()[1] - mean.means()[0]);
          circulationSeen |= worst.isPresent();
          if (worst.isPresent() && worst.get().means()[0] - worst.get().means()[1] < limit) {
            double flow = worst.get().means()[0] - worst.get().means()[1];
            reasons.add(
                Reason.of(
                        Reason.Code.NO_CIRCULATION,
                        Reason.Weight.BREACH,
                        "Supply and return of the hot water were only "
                            + Words.pressure(flow, limit, back.channel())
                            + " apart, wanted at least "
                            + Words.pressure(limit, flow, back.channel())
                            + ": it hardly circulated. Look for a stopped pump.")
                    .on(back.channel())
                    .during(steady.part().step().name())
                    .from(cure.at(worst.get().from()), cure.at(worst.get().until()))
                    .amount(flow, Unit.KILOPASCAL.code())
                    .wanted(limit)
                    .by(Reason.Rule.WORST_MINUTE)
                    .line("/leastCirculation")
                    .done());
            return;
          }
        }
      }
    }
  }
}
