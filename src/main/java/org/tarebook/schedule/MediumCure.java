package org.tarebook.schedule;

import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tarebook.compound.Kinetics;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.HeatFigure.Bounds;
import org.tarebook.schedule.ScheduleDefinition.WantedOfMedium;
import org.tarebook.thermal.Arrhenius;
import org.tarebook.thermal.CureLaw;
import org.tarebook.thermal.EquivalentCure;
import org.tarebook.thermal.Rule;
import org.tarebook.thermal.StatedRange;
import org.tarebook.thermal.Trace;

/**
 * Equivalents of a medium itself: what rubber at its temperature would have, without a tyre
 * between. For a minimum the coldest course by the log-mean, for a maximum the hottest by the
 * trapezoid. While a channel of the medium is not known, the least counts nothing at all, and the
 * most as at the hottest that the medium can be.
 *
 * @param wanted what the schedule wants
 * @param kinetics whose minutes are counted
 */
public record MediumCure(WantedOfMedium wanted, Kinetics kinetics) {

  /**
   * What a medium did; temperatures in degrees Celsius, times in seconds.
   *
   * @param low the lowest of its channels, bridged by a line where one is not known
   * @param high the highest of them
   * @param ceiling the highest, with the hottest that the medium can be where one is not known;
   *     absent where nothing states it
   * @param error largest error of its sensors, in kelvin
   * @param until to where it is counted
   * @param unknown stretches in which a channel is not known, in the order of time, apart
   */
  public record Heating(
      Trace low,
      Trace high,
      @Nullable Trace ceiling,
      double error,
      double until,
      List<Stretch> unknown) {}

  /** From one moment until another, in seconds. */
  public record Stretch(double from, double until) {}

  /** Those that a schedule wants. */
  static List<MediumCure> of(ScheduleDefinition definition, HeatModel.Compounds compounds) {
    List<WantedOfMedium> wanted = definition.mediaOrNone();
    return IntStream.range(0, wanted.size())
        .mapToObj(
            i ->
                new MediumCure(
                    wanted.get(i),
                    compounds.require(
                        wanted.get(i).compound(),
                        wanted.get(i).revision(),
                        "/definition/media/" + i + "/compound")))
        .toList();
  }

  /** The hottest that the medium can be, in degrees Celsius, where the schedule states it. */
  public @Nullable Double hottest() {
    Quantity stated = wanted.hottest();
    return stated == null ? null : (Double) stated.in(Unit.CELSIUS);
  }

  /** The kinetics, as a figure's. */
  public KineticsUsed used() {
    return new KineticsUsed(List.of(kinetics));
  }

  /** What the minimum is held against. */
  public HeatFigure minimum(Heating heating) {
    return figure(heating, heating.low(), Rule.LOG_MEAN);
  }

  /** What the maximum is held against. */
  public HeatFigure maximum(Heating heating) {
    return figure(heating, heating.high(), Rule.TRAPEZOID);
  }

  private HeatFigure figure(Heating heating, Trace trace, Rule rule) {
    CureLaw law = kinetics.law();
    Rule other = rule == Rule.LOG_MEAN ? Rule.TRAPEZOID : Rule.LOG_MEAN;
    double until = heating.until();
    Map<Guard, Double> ofTrace = doubts(heating, (its, by) -> whole(heating.low(), its, until, by));
    Map<Guard, Double> low =
        doubts(heating, (its, by) -> known(heating, credited(its, heating.error() + by), by));
    Trace ceiling = heating.ceiling();
    Map<Guard, Double> high =
        ceiling == null
            ? ofTrace
            : doubts(heating, (its, by) -> whole(ceiling, allowed(its), until, -by));
    return new HeatFigure(
        null,
        null,
        minutes(trace, law, 0, until, rule),
        rule,
        minutes(trace, law, 0, until, other),
        trace.at(until),
        bounds(heating),
        ofTrace,
        HeatEstimate.greater(ofTrace, low),
        HeatEstimate.greater(ofTrace, high));
  }

  private static double whole(Trace trace, CureLaw law, double until, double kelvin) {
    return minutes(trace.map(celsius -> celsius + kelvin), law, 0, until, Rule.LOG_MEAN);
  }

  private static double minutes(Trace trace, CureLaw law, double from, double until, Rule rule) {
    return from < until ? EquivalentCure.of(trace, law, from, until, rule).minutes() : 0;
  }

  private static double known(Heating heating, CureLaw law, double shift) {
    Trace low = heating.low().map(celsius -> celsius + shift);
    double sum = 0;
    double start = 0;
    for (Stretch gap : heating.unknown()) {
      sum += minutes(low, law, start, Math.min(gap.from(), heating.until()), Rule.LOG_MEAN);
      start = Math.max(start, gap.until());
    }
    return sum + minutes(low, law, start, heating.until(), Rule.LOG_MEAN);
  }

  private Bounds bounds(Heating heating) {
    CureLaw law = kinetics.law();
    Trace ceiling = heating.ceiling();
    return new Bounds(
        known(heating, credited(law, heating.error()), 0),
        known(heating, law, 0),
        ceiling == null || beyondRange(heating, ceiling)
            ? null
            : (Double) minutes(ceiling, allowed(law), 0, heating.until(), Rule.TRAPEZOID),
        ceiling == null
            ? null
            : (Double) minutes(ceiling, law, 0, heating.until(), Rule.TRAPEZOID));
  }

  /** Credit only where the sensors show the temperature to be within the range. */
  private CureLaw credited(CureLaw law, double error) {
    Kinetics.Range range = kinetics.range();
    return range == null ? law : StatedRange.credited(law, range.lowest(), range.highest(), error);
  }

  private CureLaw allowed(CureLaw law) {
    Kinetics.Range range = kinetics.range();
    return range == null
        ? law
        : new StatedRange(law, range.lowest(), range.highest(), StatedRange.Bound.UPPER);
  }

  private boolean beyondRange(Heating heating, Trace ceiling) {
    Kinetics.Range range = kinetics.range();
    return range != null
        && heating.until() > 0
        && Arrays.stream(ceiling.between(0, heating.until()).values()).max().orElse(0)
                + heating.error()
            > range.highest();
  }

  /** Minutes by a law, the temperatures off by so many kelvin. */
  private interface Minutes {
    double of(CureLaw law, double kelvin);
  }

  /** The relative change of minutes by one standard uncertainty of each source of doubt. */
  private Map<Guard, Double> doubts(Heating heating, Minutes minutes) {
    CureLaw law = kinetics.law();
    double plain = minutes.of(law, 0);
    double kelvin = heating.error() * HeatEstimate.RECTANGULAR;
    Map<Guard, Double> found = new EnumMap<>(Guard.class);
    found.put(Guard.SENSOR, change(minutes.of(law, -kelvin), plain));
    found.put(Guard.ACTIVATION_ENERGY, change(minutes.of(withEnergyOff(law), 0), plain));
    return found;
  }

  private static double change(double minutes, double plain) {
    return plain > 0 ? Math.abs(Math.log(minutes / plain)) : 0;
  }

  private CureLaw withEnergyOff(CureLaw law) {
    Double error = kinetics.energyError();
    return law instanceof Arrhenius arrhenius && error != null
        ? new Arrhenius(arrhenius.joulesPerMole() + error, arrhenius.referenceCelsius())
        : law;
  }
}
