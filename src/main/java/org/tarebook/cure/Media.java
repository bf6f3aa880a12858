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
import org.tarebook.schedule.PressureKind;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.StepKind;
import org.tarebook.thermal.DomeSteam;
import org.tarebook.thermal.HotWater;

/** What steam and hot water themselves say of one cavity, whatever the set points. */
final class Media {

  /**
   * How far weather moves the barometer from the one of the altitude, in kPa (common practice: 3
   * kPa covers most days).
   */
  static final double WEATHER = 3;

  private final ScheduleDefinition definition;
  private final Run run;
  private final CureLog cure;
  private final List<ChannelLog> serving;
  private final double barometerError;
  private final List<Reason> reasons = new ArrayList<>();
  private @Nullable DomeFigure dome;
  private @Nullable WaterFigure water;
  private @Nullable Double difference;

  /**
   * Depression of the dome in its worst minute.
   *
   * @param depression kelvin below saturation
   * @param error of it
   * @param air part of the steam's volume that is air; absent within the sensors' error
   */
  record DomeFigure(double depression, double error, @Nullable Double air) {}

  /** Subcooling of the hot water in its worst minute, in kelvin and kilopascal. */
  record WaterFigure(double subcooling, double margin) {}

  /**
   * Looks at the media of one cavity.
   *
   * @param serving logs of the channels that serve it and can be believed
   * @param barometerError in kPa; 0 where the barometer was read
   */
  Media(
      ScheduleDefinition definition,
      Run run,
      CureLog cure,
      List<ChannelLog> serving,
      double barometerError) {
    this.definition = definition;
    this.run = run;
    this.cure = cure;
    this.serving = serving.stream().filter(log -> !log.empty()).toList();
    this.barometerError = barometerError;
    lookAtDome();
    lookAtWater();
    lookAtCirculation();
    lookForLeak();
    lookAtDifference();
  }

  List<Reason> reasons() {
    return reasons;
  }

  Optional<DomeFigure> dome() {
    return Optional.ofNullable(dome);
  }

  Optional<WaterFigure> water() {
    return Optional.ofNullable(water);
  }

  /** Greatest difference of internal and outside temperature in a minute, in kelvin. */
  Optional<Double> difference() {
    return Optional.ofNullable(difference);
  }

  private List<ChannelLog> logs(Predicate<Channel> wanted) {
    return serving.stream().filter(log -> wanted.test(log.channel())).toList();
  }

  private List<ChannelLog> logs(Measured measured) {
    return logs(channel -> channel.measured() == measured);
  }

  private double pressureError(ChannelLog log, double kiloPascal) {
    double own = log.error(kiloPascal);
    return log.channel().pressure() == PressureKind.GAUGE ? Math.hypot(own, barometerError) : own;
  }

  private void lookAtDome() {
    List<ChannelLog> temperatures = logs(Measured.DOME_TEMPERATURE);
    for (ChannelLog pressure : logs(Measured.DOME_PRESSURE)) {
      for (ChannelLog temperature : temperatures) {
        lookAtDome(pressure, temperature, temperatures);
      }
    }
  }

  private void lookAtDome(
      ChannelLog pressure, ChannelLog temperature, List<ChannelLog> temperatures) {
    List<Mean> means = new ArrayList<>();
    Mean worst = null;
    double worstDepression = Double.NEGATIVE_INFINITY;
    double sum = 0;
    for (Steady steady : steam()) {
      for (Mean mean :
          MinuteMeans.of(steady.from(), steady.until(), pressure.trace(), temperature.trace())) {
        if (mean.means()[0] < 1 || mean.means()[0] > 22000) {
          continue;
        }
        double depression = steam(pressure, temperature, mean).depression();
        sum += depression;
        means.add(mean);
        if (depression > worstDepression) {
          worstDepression = depression;
          worst = mean;
        }
      }
    }
    if (worst == null) {
      return;
    }
    DomeSteam seen = steam(pressure, temperature, worst);
    if (dome == null || seen.depression() > dome.depression()) {
      dome = new DomeFigure(seen.depression(), seen.depressionError(), seen.airFraction());
    }
    if (seen.state() == DomeSteam.State.AIR) {
      air(seen, worst, temperature);
    } else if (-sum / means.size() > seen.depressionError()) {
      notSaturated(-sum / means.size(), seen.depressionError(), temperature, temperatures);
    }
  }

  /** Steps in which the dome is under steam, once the set point is to be met. */
  private List<Steady> steam() {
    List<Steady> pressures = run.steady(measured -> measured == Measured.DOME_PRESSURE);
    List<Steady> temperatures = run.steady(measured -> measured == Measured.DOME_TEMPERATURE);
    List<Steady> both = new ArrayList<>();
    for (Steady one : pressures) {
      for (Steady other : temperatures) {
        if (one.part().equals(other.part())) {
          both.add(one.from() > other.from() ? one : other);
        }
      }
    }
    return both.isEmpty() ? pressures : both;
  }

  private DomeSteam steam(ChannelLog pressure, ChannelLog temperature, Mean mean) {
    return DomeSteam.of(
        mean.means()[0],
        mean.means()[1],
        pressureError(pressure, mean.means()[0]),
        temperature.error(mean.means()[1]));
  }

  private void air(DomeSteam seen, Mean worst, ChannelLog temperature) {
    Quantity most = definition.mostDomeDepression();
    double limit = most == null ? Double.NaN : most.in(Unit.KELVIN_DIFFERENCE);
    Reason.Weight weight =
        most == null
            ? Reason.Weight.DOUBT
            : seen.depression() > limit ? Reason.Weight.BREACH : Reason.Weight.REMARK;
    Double fraction = seen.airFraction();
    Reason.Draft draft =
        Reason.of(
                Reason.Code.AIR_IN_DOME,
                weight,
                "The dome was "
                    + Words.number(seen.depression())
                    + " K colder than saturated steam of its pressure, beyond the sensors' error of "
                    + Words.number(seen.depressionError())
                    + " K"
                    + (fraction == null
                        ? ""
                        : ": about " + Words.number(100 * fraction) + " % of it is air")
                    + ". Air gathers in layers, so other places may be colder.")
            .on(temperature.channel())
            .at("dome")
            .from(cure.at(worst.from()), cure.at(worst.until()))
            .amount(seen.depression(), Unit.KELVIN_DIFFERENCE.code());
    reasons.add((most == null ? draft : draft.wanted(limit).line("/mostDomeDepression")).done());
  }

  private void notSaturated(
      double above, double error, ChannelLog temperature, List<ChannelLog> temperatures) {
    boolean agree =
        temperatures.size() > 1
            && temperatures.stream()
                .filter(other -> other != temperature)
                .allMatch(other -> agrees(temperature, other));
    reasons.add(
        Reason.of(
                agree ? Reason.Code.SUPERHEAT : Reason.Code.NOT_SATURATED,
                agree ? Reason.Weight.REMARK : Reason.Weight.DOUBT,
                "The dome was "
                    + Words.number(above)
                    + " K hotter than saturated steam of its pressure, beyond the sensors' error of "
                    + Words.number(error)
                    + " K: "
                    + (agree
                        ? "all its couples agree, so the steam is superheated."
                        : "superheated steam, or a wrong couple or gauge; one couple cannot tell."))
            .on(temperature.channel())
            .at("dome")
            .amount(above, Unit.KELVIN_DIFFERENCE.code())
            .wanted(error)
            .done());
  }

  private boolean agrees(ChannelLog one, ChannelLog other) {
    for (Steady steady : steam()) {
      for (Mean mean : MinuteMeans.of(steady.from(), steady.until(), one.trace(), other.trace())) {
        if (Math.abs(mean.means()[0] - mean.means()[1])
            > one.error(mean.means()[0]) + other.error(mean.means()[1])) {
          return false;
        }
      }
    }
    return true;
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
    for (ChannelLog pressure : logs(Measured.INTERNAL_PRESSURE)) {
      for (ChannelLog temperature : logs(Measured.INTERNAL_TEMPERATURE)) {
        for (Steady steady : hotWater(measured -> measured == Measured.INTERNAL_PRESSURE)) {
          for (Mean mean :
              MinuteMeans.of(
                  steady.from(), steady.until(), pressure.trace(), temperature.trace())) {
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
                    pressureError(pressure, mean.means()[0]),
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
    water = new WaterFigure(least.subcooling(), least.margin());
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
                  + Words.number(least.subcooling())
                  + " K below boiling at the lowest pressure of its circuit, wanted at least "
                  + Words.number(limit)
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
    return (wanted == null ? draft : draft.wanted(limit).line("/leastWaterMargin")).done();
  }

  private void lookAtCirculation() {
    Quantity wanted = definition.leastCirculation();
    if (wanted == null) {
      return;
    }
    double limit = wanted.in(Unit.KILOPASCAL);
    for (ChannelLog supply :
        logs(
            channel ->
                channel.measured() == Measured.INTERNAL_PRESSURE
                    && channel.circuitEnd() == CircuitEnd.SUPPLY)) {
      for (ChannelLog back :
          logs(
              channel ->
                  channel.measured() == Measured.INTERNAL_PRESSURE
                      && channel.circuitEnd() == CircuitEnd.RETURN)) {
        for (Steady steady : hotWater(measured -> measured == Measured.INTERNAL_PRESSURE)) {
          Optional<Mean> worst =
              MinuteMeans.worst(
                  MinuteMeans.of(steady.from(), steady.until(), supply.trace(), back.trace()),
                  mean -> mean.means()[1] - mean.means()[0]);
          if (worst.isPresent() && worst.get().means()[0] - worst.get().means()[1] < limit) {
            double flow = worst.get().means()[0] - worst.get().means()[1];
            reasons.add(
                Reason.of(
                        Reason.Code.NO_CIRCULATION,
                        Reason.Weight.BREACH,
                        "Supply and return of the hot water were only "
                            + Words.number(flow)
                            + " kPa apart, wanted at least "
                            + Words.number(limit)
                            + " kPa: it hardly circulated. Look for a stopped pump.")
                    .on(back.channel())
                    .during(steady.part().step().name())
                    .from(cure.at(worst.get().from()), cure.at(worst.get().until()))
                    .amount(flow, Unit.KILOPASCAL.code())
                    .wanted(limit)
                    .line("/leastCirculation")
                    .done());
            return;
          }
        }
      }
    }
  }

  /** A cavity's own pressure that falls away from the shared one while that stands. */
  private void lookForLeak() {
    List<ChannelLog> pressures = logs(Measured.INTERNAL_PRESSURE);
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
          List<Mean> means =
              MinuteMeans.of(steady.from(), steady.until(), own.trace(), shared.trace());
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
                            + Words.number(lost)
                            + " kPa against the shared supply during step "
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
    for (ChannelLog inside : logs(Measured.INTERNAL_TEMPERATURE)) {
      for (ChannelLog outside : logs(channel -> channel.measured().outsideTemperature())) {
        for (Steady steady : run.steady(measured -> measured == Measured.INTERNAL_TEMPERATURE)) {
          if (!steady.part().step().kind().beforeRelease()
              || steady.part().step().kind() == StepKind.COOLING_FLUSH) {
            continue;
          }
          Optional<Mean> here =
              MinuteMeans.worst(
                  MinuteMeans.of(steady.from(), steady.until(), inside.trace(), outside.trace()),
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
                      + Words.number(apart(worst))
                      + " K apart, wanted at most "
                      + Words.number(most.in(Unit.KELVIN_DIFFERENCE))
                      + " K: the tyre cured unevenly.")
              .on(seenOn.channel())
              .from(cure.at(worst.from()), cure.at(worst.until()))
              .amount(apart(worst), Unit.KELVIN_DIFFERENCE.code())
              .wanted(most.in(Unit.KELVIN_DIFFERENCE))
              .line("/mostInsideOutside")
              .done());
    }
  }

  private static double apart(Mean mean) {
    return Math.abs(mean.means()[0] - mean.means()[1]);
  }
}
