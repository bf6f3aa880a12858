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
import org.tarebook.thermal.DomeSteam;

/** What the steam in the dome says of itself: air, superheat, or a wrong sensor. */
final class Dome {

  private final ScheduleDefinition definition;
  private final Run run;
  private final CureLog cure;
  private final Serving serving;
  private final List<Reason> reasons = new ArrayList<>();
  private @Nullable Figure figure;

  /**
   * Depression of the dome in its worst minute.
   *
   * @param steam what the sensors said of it in that minute
   */
  record Figure(DomeSteam steam) {
    double depression() {
      return steam.depression();
    }
  }

  Dome(ScheduleDefinition definition, Run run, CureLog cure, Serving serving) {
    this.definition = definition;
    this.run = run;
    this.cure = cure;
    this.serving = serving;
    lookAtDome();
  }

  List<Reason> reasons() {
    return reasons;
  }

  Optional<Figure> figure() {
    return Optional.ofNullable(figure);
  }

  private void lookAtDome() {
    List<ChannelLog> temperatures = serving.logs(Measured.DOME_TEMPERATURE);
    for (ChannelLog pressure : serving.logs(Measured.DOME_PRESSURE)) {
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
          MinuteMeans.of(run.course(pressure, steady), run.course(temperature, steady))) {
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
    if (figure == null || seen.depression() > figure.depression()) {
      figure = new Figure(seen);
    }
    Quantity most = definition.mostDomeDepression();
    if (most != null && seen.depressionError() > most.in(Unit.KELVIN_DIFFERENCE)) {
      tooCoarse(seen, most, temperature);
    }
    if (seen.state() == DomeSteam.State.AIR) {
      air(seen, worst, temperature);
    } else if (-sum / means.size() > seen.depressionError()) {
      notSaturated(-sum / means.size(), seen.depressionError(), temperature, temperatures);
    }
  }

  private void tooCoarse(DomeSteam seen, Quantity most, ChannelLog temperature) {
    double allowed = most.in(Unit.KELVIN_DIFFERENCE);
    reasons.add(
        Reason.of(
                Reason.Code.SENSORS_TOO_COARSE,
                Reason.Weight.DOUBT,
                "The sensors of the dome may be wrong by "
                    + Words.number(seen.depressionError(), allowed)
                    + " K together, more than the depression that the schedule allows ("
                    + Words.number(allowed, seen.depressionError())
                    + " K): they cannot tell it.")
            .on(temperature.channel())
            .at("dome")
            .amount(seen.depressionError(), Unit.KELVIN_DIFFERENCE.code())
            .wanted(most.in(Unit.KELVIN_DIFFERENCE))
            .by(Reason.Rule.WORST_MINUTE)
            .line("/mostDomeDepression")
            .done());
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
        serving.pressureError(pressure, mean.means()[0]),
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
                    + Words.number(seen.depression(), seen.depressionError())
                    + " K colder than saturated steam of its pressure, beyond the sensors' error of "
                    + Words.number(seen.depressionError(), seen.depression())
                    + " K"
                    + (fraction == null
                        ? ""
                        : ": about " + Words.number(100 * fraction) + " % of it is air")
                    + ". Air gathers in layers, so other places may be colder.")
            .on(temperature.channel())
            .at("dome")
            .from(cure.at(worst.from()), cure.at(worst.until()))
            .amount(seen.depression(), Unit.KELVIN_DIFFERENCE.code());
    reasons.add(
        (most == null
                ? draft
                : draft.wanted(limit).by(Reason.Rule.WORST_MINUTE).line("/mostDomeDepression"))
            .done());
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
                    + Words.number(above, error)
                    + " K hotter than saturated steam of its pressure, beyond the sensors' error of "
                    + Words.number(error, above)
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
      for (Mean mean : MinuteMeans.of(run.course(one, steady), run.course(other, steady))) {
        if (Math.abs(mean.means()[0] - mean.means()[1])
            > one.error(mean.means()[0]) + other.error(mean.means()[1])) {
          return false;
        }
      }
    }
    return true;
  }
}
