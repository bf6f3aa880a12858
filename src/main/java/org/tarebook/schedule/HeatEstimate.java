package org.tarebook.schedule;

import java.util.EnumMap;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import org.apache.commons.statistics.distribution.TDistribution;
import org.tarebook.schedule.ScheduleDefinition.Place;
import org.tarebook.schedule.ScheduleDefinition.Wanted;
import org.tarebook.thermal.HeatHistory;
import org.tarebook.thermal.Rule;
import org.tarebook.thermal.Trace;

/**
 * Equivalents inside a tyre from the temperatures of its faces: for minima from the coldest traces
 * and the coldest green tyre by the log-mean, for maxima from the hottest ones by the trapezoid,
 * with what each source of doubt adds. An estimate in one dimension; thermocouples measure, this
 * does not.
 */
public final class HeatEstimate {

  /** Part of a largest error that is its standard uncertainty (JCGM 100, rectangular). */
  private static final double RECTANGULAR = 1 / Math.sqrt(3);

  /** The part of a normal distribution more than 2 standard deviations above its mean. */
  private static final double ONE_SIDE = 0.022750131948179195;

  /** Degrees of freedom beyond which the quantile of t is 2 to six digits. */
  private static final double MANY = 1e6;

  private final HeatSection section;
  private final Heating heating;
  private final HeatHistory coldest;
  private final HeatHistory hottest;
  private final Map<Guard, HeatHistory> doubted = new EnumMap<>(Guard.class);

  /**
   * What a tyre was heated by; temperatures in degrees Celsius, times in seconds.
   *
   * @param insideError largest error of the sensors inside, in kelvin
   * @param outsideError largest error of the sensors outside, in kelvin
   */
  public record Heating(
      Trace insideLow,
      Trace insideHigh,
      Trace outsideLow,
      Trace outsideHigh,
      double greenLow,
      double greenHigh,
      double insideError,
      double outsideError,
      double release,
      double opening) {}

  /**
   * Equivalents at one place.
   *
   * @param depthMillimetres from the inner face of the rubber
   * @param minutes equivalent minutes by the rule
   * @param otherRule by the other of log-mean and trapezoid
   * @param contributions relative standard uncertainty by each source of doubt
   */
  public record Figure(
      String layer,
      double depthMillimetres,
      double minutes,
      Rule rule,
      double otherRule,
      Map<Guard, Double> contributions) {

    /**
     * By how much ln(minutes) may be wrong, up or down, at a level of confidence of 95.45 %: the
     * standard uncertainties of independent sources added in squares, times the quantile of
     * Student's t for the effective degrees of freedom (JCGM 100:2008, 5.1.2, 6.2 and G.4.1, the
     * Welch-Satterthwaite formula). With unlimited degrees of freedom the factor is 2.
     *
     * @param held sources that the minimum holds already
     * @param energyFreedom degrees of freedom of the activation energy's uncertainty; the other
     *     sources are largest errors and have unlimited ones (G.4.3)
     */
    public double expanded(Set<Guard> held, double energyFreedom) {
      double square = 0;
      for (Map.Entry<Guard, Double> one : contributions.entrySet()) {
        if (!held.contains(one.getKey())) {
          square += one.getValue() * one.getValue();
        }
      }
      Double energy =
          held.contains(Guard.ACTIVATION_ENERGY)
              ? null
              : contributions.get(Guard.ACTIVATION_ENERGY);
      double freedom =
          energy == null || energy == 0
              ? Double.POSITIVE_INFINITY
              : energyFreedom * Math.pow(square / (energy * energy), 2);
      double factor =
          freedom > MANY ? 2 : TDistribution.of(freedom).inverseSurvivalProbability(ONE_SIDE);
      return factor * Math.sqrt(square);
    }
  }

  private HeatEstimate(HeatSection section, Heating heating) {
    this.section = section;
    this.heating = heating;
    this.coldest = heat(section, heating.insideLow(), heating.outsideLow(), heating.greenLow());
    this.hottest =
        same(heating)
            ? coldest
            : heat(section, heating.insideHigh(), heating.outsideHigh(), heating.greenHigh());
    doubted.put(
        Guard.DIFFUSIVITY,
        heat(section.slower(1), heating.insideLow(), heating.outsideLow(), heating.greenLow()));
    doubted.put(
        Guard.ACTIVATION_ENERGY,
        heat(section.withEnergy(1), heating.insideLow(), heating.outsideLow(), heating.greenLow()));
    doubted.put(
        Guard.SENSOR,
        heat(
            section,
            HeatSection.shifted(heating.insideLow(), -heating.insideError() * RECTANGULAR),
            HeatSection.shifted(heating.outsideLow(), -heating.outsideError() * RECTANGULAR),
            heating.greenLow()));
  }

  /** Computes the equivalents of one tyre. */
  public static HeatEstimate of(HeatSection section, Heating heating) {
    return new HeatEstimate(section, heating);
  }

  private static boolean same(Heating heating) {
    return heating.insideLow().equals(heating.insideHigh())
        && heating.outsideLow().equals(heating.outsideHigh())
        && heating.greenLow() == heating.greenHigh();
  }

  private HeatHistory heat(HeatSection of, Trace inside, Trace outside, double green) {
    return of.heat(inside, outside, green, heating.release(), heating.opening());
  }

  /** The section it was computed for. */
  public HeatSection section() {
    return section;
  }

  /** The place that cured least. */
  public Figure slowest(Until until) {
    return low(coldest.slowest(until.mark()).position(), until);
  }

  /** The place that cured most. */
  public Figure fastest(Until until) {
    return high(hottest.fastest(until.mark()).position(), until);
  }

  /** What a minimum is held against. */
  public Figure minimum(Wanted wanted) {
    return wanted.place() == Place.SLOWEST
        ? slowest(wanted.until())
        : wanted.place() == Place.FASTEST
            ? low(hottest.fastest(wanted.until().mark()).position(), wanted.until())
            : low(position(wanted), wanted.until());
  }

  /** What a maximum is held against. */
  public Figure maximum(Wanted wanted) {
    return wanted.place() == Place.FASTEST
        ? fastest(wanted.until())
        : wanted.place() == Place.SLOWEST
            ? high(coldest.slowest(wanted.until().mark()).position(), wanted.until())
            : high(position(wanted), wanted.until());
  }

  private double position(Wanted wanted) {
    return section.position(
        Objects.requireNonNull(wanted.layer()),
        wanted.depth() == null ? 0.5 : wanted.depth().doubleValue());
  }

  private Figure low(double position, Until until) {
    double minutes = coldest.minutesAt(position, until.mark(), Rule.LOG_MEAN);
    Map<Guard, Double> contributions = new EnumMap<>(Guard.class);
    doubted.forEach(
        (guard, history) ->
            contributions.put(
                guard,
                Math.abs(
                    Math.log(history.minutesAt(position, until.mark(), Rule.LOG_MEAN) / minutes))));
    return figure(
        coldest,
        position,
        minutes,
        Rule.LOG_MEAN,
        coldest.minutesAt(position, until.mark(), Rule.TRAPEZOID),
        contributions);
  }

  private Figure high(double position, Until until) {
    return figure(
        hottest,
        position,
        hottest.minutesAt(position, until.mark(), Rule.TRAPEZOID),
        Rule.TRAPEZOID,
        hottest.minutesAt(position, until.mark(), Rule.LOG_MEAN),
        low(position, until).contributions());
  }

  private Figure figure(
      HeatHistory of,
      double position,
      double minutes,
      Rule rule,
      double otherRule,
      Map<Guard, Double> contributions) {
    return new Figure(
        of.layerAt(position),
        1000 * (position - section.rubberFrom()),
        minutes,
        rule,
        otherRule,
        contributions);
  }
}
