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
import org.tarebook.thermal.HotWater;

/** What the hot water inside says of itself: its margin above flashing, and whether it flows. */
final class Water {

  private final ScheduleDefinition definition;
  private final Run run;
  private final CureLog cure;
  private final Serving serving;
  private final List<Reason> reasons = new ArrayList<>();
  private @Nullable Figure figure;
  private boolean circulationSeen;

  /** Subcooling of the hot water in its worst minute, in kelvin and kilopascal. */
  record Figure(double subcooling, double margin) {}

  Water(ScheduleDefinition definition, Run run, CureLog cure, Serving serving) {
    this.definition = definition;
    this.run = run;
    this.cure = cure;
    this.serving = serving;
    lookAtWater();
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

  private void lookAtWater() {
    ChannelLog colder = null;
    Mean worst = null;
    HotWater least = null;
    for (ChannelLog pressure : serving.logs(Measured.INTERNAL_PRESSURE)) {
      for (ChannelLog temperature : serving.logs(Measured.INTERNAL_TEMPERATURE)) {
        for (Steady steady : hotWater(measured -> measured == Measured.INTERNAL_PRESSURE)) {
          for (Mean mean :
              MinuteMeans.of(run.course(pressure, steady), run.course(temperature, steady))) {
            if (mean.means()[0] < 1
                || mean.means()[0] > 22000
                || mean.means()[1] < 1
                || mean.means()[1] > 373) {
              continue;
            }
            HotWater seen =
                HotWater.of(
                    mean.means()[0],
                    mean.means()[1],
                    serving.pressureError(pressure, mean.means()[0]),
                    temperature.error(mean.means()[1]));
            if (least == null || seen.subcooling() < least.subcooling()) {
              least = seen;
              worst = mean;
              colder = pressure;
            }
          }
        }
      }
    }
    if (least == null || worst == null || colder == null) {
      return;
    }
    figure = new Figure(least.subcooling(), least.margin());
    Quantity wanted = definition.leastWaterMargin();
    double limit = wanted == null ? 0 : wanted.in(Unit.KELVIN_DIFFERENCE);
    if (least.state() == HotWater.State.FLASHING) {
      reasons.add(
          water(
              Reason.Code.FLASHING,
              "The hot water was "
                  + Words.number(-least.subcooling())
                  + " K above boiling at the lowest pressure of its circuit: it flashed into steam.",
              least,
              worst,
              colder,
              limit,
              wanted));
    } else if (wanted != null && least.subcooling() < limit) {
      reasons.add(
          water(
              Reason.Code.WATER_MARGIN,
              "The hot water was only "
                  + Words.number(least.subcooling(), limit)
                  + " K below boiling at the lowest pressure of its circuit, wanted at least "
                  + Words.number(limit, least.subcooling())
                  + " K.",
              least,
              worst,
              colder,
              limit,
              wanted));
    }
  }

  private Reason water(
      Reason.Code code,
      String words,
      HotWater least,
      Mean worst,
      ChannelLog pressure,
      double limit,
      @Nullable Quantity wanted) {
    Reason.Draft draft =
        Reason.of(code, Reason.Weight.BREACH, words)
            .on(pressure.channel())
            .from(cure.at(worst.from()), cure.at(worst.until()))
            .amount(least.subcooling(), Unit.KELVIN_DIFFERENCE.code());
    return (wanted == null
            ? draft
            : draft.wanted(limit).by(Reason.Rule.WORST_MINUTE).line("/leastWaterMargin"))
        .done();
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
                            + Words.number(flow, limit)
                            + " kPa apart, wanted at least "
                            + Words.number(limit, flow)
                            + " kPa: it hardly circulated. Look for a stopped pump.")
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
