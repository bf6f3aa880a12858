package org.tarebook.cure;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.MinuteMeans.Mean;
import org.tarebook.cure.Run.Steady;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.CircuitEnd;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.thermal.HotWater;

/**
 * How far the hot water inside was from flashing, by each pair of a pressure and a temperature.
 * Both are taken moment by moment, since water boils at once when its pressure falls. The boiling
 * temperature is a concave function of pressure, so along straight lines of both the margin is
 * least at one end of a line.
 *
 * <p>It flashed where it is known to have been above boiling by more than the sensors may err, and
 * may have where it was not below boiling by as much. It missed a margin that the schedule wants
 * where it is known to have been closer by more than the sensors may err, or was in the mean of a
 * minute, in which noise averages out; a moment that is closer by less is a doubt.
 */
final class WaterMargin {

  private static final double LEAST_PRESSURE = 1;
  private static final double MOST_PRESSURE = 22000;
  private static final double COLDEST = 1;
  private static final double HOTTEST = 373;

  private final ScheduleDefinition definition;
  private final Run run;
  private final CureLog cure;
  private final Serving serving;
  private final List<Reason> reasons = new ArrayList<>();
  private @Nullable Worst known;
  private @Nullable Worst possible;
  private @Nullable Worst minute;

  /**
   * The least subcooling of some moments or minutes.
   *
   * @param from the first moment of the stretch around it that is too close to boiling
   * @param until its last moment
   */
  private record Worst(HotWater water, double from, double until, ChannelLog pressure) {
    double subcooling() {
      return water.subcooling();
    }

    double error() {
      return water.error();
    }
  }

  WaterMargin(
      ScheduleDefinition definition,
      Run run,
      CureLog cure,
      Serving serving,
      List<Steady> hotWater) {
    this.definition = definition;
    this.run = run;
    this.cure = cure;
    this.serving = serving;
    for (ChannelLog pressure : serving.logs(Measured.INTERNAL_PRESSURE)) {
      for (ChannelLog temperature : serving.logs(Measured.INTERNAL_TEMPERATURE)) {
        for (Steady steady : hotWater) {
          moments(pressure, temperature, steady);
          minutes(pressure, temperature, steady);
        }
      }
    }
    judge();
  }

  List<Reason> reasons() {
    return reasons;
  }

  /**
   * The least of all moments that are known, or else of those that are held; null where none is.
   */
  Water.@Nullable Figure figure() {
    Worst least = known == null ? possible : known;
    return least == null ? null : new Water.Figure(least.subcooling(), least.water().margin());
  }

  private double limit() {
    Quantity wanted = definition.leastWaterMargin();
    return wanted == null ? 0 : wanted.in(Unit.KELVIN_DIFFERENCE);
  }

  private void moments(ChannelLog pressure, ChannelLog temperature, Steady steady) {
    List<Course.Both> both = run.course(pressure, steady).beside(run.course(temperature, steady));
    int least = -1;
    int surest = -1;
    double[] subcooling = new double[both.size()];
    for (int i = 0; i < both.size(); i++) {
      Course.Both one = both.get(i);
      subcooling[i] = water(pressure, temperature, one.one(), one.other()).subcooling();
      least = least < 0 || subcooling[i] < subcooling[least] ? i : least;
      surest = one.known() && (surest < 0 || subcooling[i] < subcooling[surest]) ? i : surest;
    }
    if (least >= 0) {
      possible = worse(possible, moment(pressure, temperature, both, subcooling, least));
    }
    if (surest >= 0) {
      known = worse(known, moment(pressure, temperature, both, subcooling, surest));
    }
  }

  private Worst moment(
      ChannelLog pressure,
      ChannelLog temperature,
      List<Course.Both> both,
      double[] subcooling,
      int worst) {
    double limit = Math.max(limit(), subcooling[worst]);
    int first = worst;
    while (first > 0 && subcooling[first - 1] <= limit) {
      first--;
    }
    int last = worst;
    while (last + 1 < subcooling.length && subcooling[last + 1] <= limit) {
      last++;
    }
    Course.Both one = both.get(worst);
    return worst(
        pressure, temperature, one.one(), one.other(), both.get(first).at(), both.get(last).at());
  }

  private void minutes(ChannelLog pressure, ChannelLog temperature, Steady steady) {
    for (Mean mean :
        MinuteMeans.of(run.course(pressure, steady), run.course(temperature, steady))) {
      minute =
          worse(
              minute,
              worst(
                  pressure,
                  temperature,
                  mean.means()[0],
                  mean.means()[1],
                  mean.from(),
                  mean.until()));
    }
  }

  private static Worst worse(@Nullable Worst one, Worst other) {
    return one == null || other.subcooling() < one.subcooling() ? other : one;
  }

  private Worst worst(
      ChannelLog pressure,
      ChannelLog temperature,
      double kiloPascal,
      double celsius,
      double from,
      double until) {
    HotWater water = water(pressure, temperature, kiloPascal, celsius);
    return new Worst(water, from, until, pressure);
  }

  private HotWater water(
      ChannelLog pressure, ChannelLog temperature, double kiloPascal, double celsius) {
    return HotWater.of(
        Math.max(LEAST_PRESSURE, Math.min(MOST_PRESSURE, kiloPascal)),
        Math.max(COLDEST, Math.min(HOTTEST, celsius)),
        serving.pressureError(pressure, kiloPascal),
        temperature.error(celsius));
  }

  private void judge() {
    Worst sure = known;
    Worst may = possible;
    if (may == null) {
      return;
    }
    onlyOneEnd();
    if (sure != null && sure.water().state() == HotWater.State.FLASHING) {
      reasons.add(flashing(sure, Reason.Weight.BREACH));
    } else if (!margin(sure, may) && may.water().state() != HotWater.State.LIQUID) {
      reasons.add(flashing(may, Reason.Weight.DOUBT));
    }
  }

  /** Holds the margin that the schedule wants; whether there is anything to be said of it. */
  private boolean margin(@Nullable Worst sure, Worst may) {
    double limit = limit();
    if (definition.leastWaterMargin() == null) {
      return false;
    }
    Worst mean = minute;
    if (sure != null && sure.subcooling() + sure.error() < limit) {
      reasons.add(tooClose(sure, Reason.Weight.BREACH, Reason.Rule.COURSE));
    } else if (mean != null && mean.subcooling() < limit) {
      reasons.add(tooClose(mean, Reason.Weight.BREACH, Reason.Rule.WORST_MINUTE));
    } else if (may.subcooling() < limit) {
      reasons.add(tooClose(may, Reason.Weight.DOUBT, Reason.Rule.COURSE));
    } else {
      return false;
    }
    return true;
  }

  private Reason flashing(Worst worst, Reason.Weight weight) {
    double above = -worst.subcooling();
    String words =
        weight == Reason.Weight.BREACH
            ? "The hot water was "
                + Words.number(above, worst.error())
                + " K above boiling at the lowest pressure of its circuit, beyond the sensors' error"
                + " of "
                + Words.number(worst.error(), above)
                + " K: it flashed into steam."
            : "The hot water may have flashed into steam: it was "
                + Words.number(Math.abs(above), worst.error())
                + (above > 0 ? " K above" : " K below")
                + " boiling at the lowest pressure of its circuit, and the sensors may err by "
                + Words.number(worst.error(), Math.abs(above))
                + " K.";
    Reason.Draft draft = draft(Reason.Code.FLASHING, weight, words, worst);
    return (definition.leastWaterMargin() == null
            ? draft
            : draft.wanted(limit()).by(Reason.Rule.COURSE).line("/leastWaterMargin"))
        .done();
  }

  private Reason tooClose(Worst worst, Reason.Weight weight, Reason.Rule rule) {
    double limit = limit();
    boolean sure = weight == Reason.Weight.BREACH;
    String words =
        "The hot water "
            + (sure ? "was only " : "may have been only ")
            + Words.number(worst.subcooling(), limit)
            + " K below boiling at the lowest pressure of its circuit, wanted at least "
            + Words.number(limit, worst.subcooling())
            + " K"
            + (rule == Reason.Rule.WORST_MINUTE
                ? " in the mean of a minute."
                : sure ? "." : "; the sensors may err by " + Words.number(worst.error()) + " K.");
    return draft(Reason.Code.WATER_MARGIN, weight, words, worst)
        .wanted(limit)
        .by(rule)
        .line("/leastWaterMargin")
        .done();
  }

  private Reason.Draft draft(Reason.Code code, Reason.Weight weight, String words, Worst worst) {
    return Reason.of(code, weight, words)
        .on(worst.pressure().channel())
        .from(cure.at(worst.from()), cure.at(worst.until()))
        .amount(worst.subcooling(), Unit.KELVIN_DIFFERENCE.code());
  }

  /** Water loses pressure and heat on its way: the supply has the more of both. */
  private void onlyOneEnd() {
    List<ChannelLog> pressures = serving.logs(Measured.INTERNAL_PRESSURE);
    List<ChannelLog> temperatures = serving.logs(Measured.INTERNAL_TEMPERATURE);
    if (allAt(CircuitEnd.SUPPLY, pressures) && allAt(CircuitEnd.RETURN, temperatures)) {
      reasons.add(
          Reason.of(
                  Reason.Code.WATER_MARGIN_AT_BEST,
                  Reason.Weight.REMARK,
                  "The pressure of the hot water is logged at its supply only and its temperature at"
                      + " its return only: the margin above flashing at the worst place of the"
                      + " circuit is less and is not known. Log the return pressure or the supply"
                      + " temperature.")
              .on(pressures.get(0).channel())
              .done());
    }
  }

  private static boolean allAt(CircuitEnd end, List<ChannelLog> logs) {
    return !logs.isEmpty() && logs.stream().allMatch(one -> one.channel().circuitEnd() == end);
  }
}
