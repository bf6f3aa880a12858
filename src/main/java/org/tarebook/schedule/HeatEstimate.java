package org.tarebook.schedule;

import java.util.EnumMap;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.function.UnaryOperator;
import org.apache.commons.statistics.distribution.TDistribution;
import org.jspecify.annotations.Nullable;
import org.tarebook.schedule.ScheduleDefinition.Place;
import org.tarebook.schedule.ScheduleDefinition.Wanted;
import org.tarebook.thermal.HeatHistory;
import org.tarebook.thermal.Rule;
import org.tarebook.thermal.StatedRange;
import org.tarebook.thermal.Trace;

/**
 * Equivalents inside a tyre from the temperatures of its faces: for minima from the coldest traces
 * and the coldest green tyre by the log-mean, for maxima from the hottest ones by the trapezoid,
 * with what each source of doubt adds. Each has bounds: the lower one without credit for what is
 * not known (gaps in a trace, temperatures outside the range of the kinetics), the upper one with
 * all that it may have been. An estimate in one dimension; thermocouples measure, this does not.
 */
public final class HeatEstimate {

  /** Part of a largest error that is its standard uncertainty (JCGM 100, rectangular). */
  static final double RECTANGULAR = 1 / Math.sqrt(3);

  /** The part of a normal distribution more than 2 standard deviations above its mean. */
  private static final double ONE_SIDE = 0.022750131948179195;

  /** Degrees of freedom beyond which the quantile of t is 2 to six digits. */
  private static final double MANY = 1e6;

  private final HeatSection section;
  private final Heating heating;
  private final HeatHistory coldest;
  private final HeatHistory hottest;
  private final HeatHistory floor;
  private final @Nullable HeatHistory ceiling;
  private @Nullable HeatHistory credited;
  private @Nullable HeatHistory allowed;
  private final Map<Guard, HeatHistory> doubted;
  private final Map<Guard, HeatHistory> doubtedInRange;

  /**
   * What a tyre was heated by; temperatures in degrees Celsius, times in seconds.
   *
   * @param insideError largest error of the sensors inside, in kelvin
   * @param outsideError largest error of the sensors outside, in kelvin
   * @param gaps the traces with the bounds of what is not known in the place of bridged gaps;
   *     absent where there is no gap
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
      double opening,
      @Nullable Gaps gaps) {}

  /**
   * Traces that have gaps, at their bounds.
   *
   * @param insideFloor the coldest that the inside can have been
   * @param outsideFloor the coldest that the outside can have been
   * @param insideCeiling the hottest; absent where nothing states it
   * @param outsideCeiling the hottest; absent where nothing states it
   */
  public record Gaps(
      Trace insideFloor,
      Trace outsideFloor,
      @Nullable Trace insideCeiling,
      @Nullable Trace outsideCeiling) {}

  /**
   * Equivalents at one place of the rubber, or of a medium.
   *
   * @param layer absent of a medium
   * @param depthMillimetres from the inner face of the rubber; absent of a medium
   * @param minutes equivalent minutes by the rule
   * @param otherRule by the other of log-mean and trapezoid
   * @param celsius its temperature at the end of that time, in degrees Celsius
   * @param bounds without the sources of doubt
   * @param contributions relative standard uncertainty by each source of doubt
   */
  public record Figure(
      @Nullable String layer,
      @Nullable Double depthMillimetres,
      double minutes,
      Rule rule,
      double otherRule,
      double celsius,
      Bounds bounds,
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

  /**
   * Bounds of equivalents, in minutes.
   *
   * @param least by the coldest course, with no credit outside the range of the kinetics
   * @param leastExtrapolated by the coldest course, the kinetics extrapolated
   * @param most by the hottest course, where rubber colder than the range cures as fast as at its
   *     lower end; absent where rubber was hotter than the range, and where nothing states how hot
   *     a gap can have been
   * @param mostExtrapolated by the hottest course, the kinetics extrapolated; absent where nothing
   *     states how hot a gap can have been
   */
  public record Bounds(
      double least,
      double leastExtrapolated,
      @Nullable Double most,
      @Nullable Double mostExtrapolated) {}

  private HeatEstimate(HeatSection section, Heating heating) {
    this.section = section;
    this.heating = heating;
    this.coldest = heat(section, heating.insideLow(), heating.outsideLow(), heating.greenLow());
    this.hottest =
        same(heating)
            ? coldest
            : heat(section, heating.insideHigh(), heating.outsideHigh(), heating.greenHigh());
    Gaps gaps = heating.gaps();
    this.floor =
        gaps == null
            ? coldest
            : heat(section, gaps.insideFloor(), gaps.outsideFloor(), heating.greenLow());
    this.ceiling = gaps == null ? hottest : ceiling(gaps);
    this.doubted = doubted(UnaryOperator.identity(), heating.insideLow(), heating.outsideLow());
    this.doubtedInRange =
        section.kinetics().ranged()
            ? doubted(
                of -> of.bounded(StatedRange.Bound.LOWER),
                gaps == null ? heating.insideLow() : gaps.insideFloor(),
                gaps == null ? heating.outsideLow() : gaps.outsideFloor())
            : Map.of();
  }

  /** The course with each source of doubt a standard uncertainty off. */
  private Map<Guard, HeatHistory> doubted(
      UnaryOperator<HeatSection> bound, Trace inside, Trace outside) {
    double green = heating.greenLow();
    Map<Guard, HeatHistory> found = new EnumMap<>(Guard.class);
    found.put(Guard.DIFFUSIVITY, heat(bound.apply(section.slower(1)), inside, outside, green));
    found.put(
        Guard.ACTIVATION_ENERGY, heat(bound.apply(section.withEnergy(1)), inside, outside, green));
    found.put(
        Guard.SENSOR,
        heat(
            bound.apply(section),
            HeatSection.shifted(inside, -heating.insideError() * RECTANGULAR),
            HeatSection.shifted(outside, -heating.outsideError() * RECTANGULAR),
            green));
    return found;
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

  private @Nullable HeatHistory ceiling(Gaps gaps) {
    Trace inside = gaps.insideCeiling();
    Trace outside = gaps.outsideCeiling();
    return inside == null || outside == null
        ? null
        : heat(section, inside, outside, heating.greenHigh());
  }

  /** The coldest course with no credit outside the range of the kinetics. */
  private HeatHistory credited() {
    HeatHistory known = credited;
    if (known == null) {
      Gaps gaps = heating.gaps();
      known =
          !section.kinetics().ranged()
              ? floor
              : heat(
                  section.bounded(StatedRange.Bound.LOWER),
                  gaps == null ? heating.insideLow() : gaps.insideFloor(),
                  gaps == null ? heating.outsideLow() : gaps.outsideFloor(),
                  heating.greenLow());
      credited = known;
    }
    return known;
  }

  /** The hottest course, of rubber that may cure below its range as at the lower end of it. */
  private HeatHistory allowed(HeatHistory most) {
    HeatHistory known = allowed;
    if (known == null) {
      Gaps gaps = heating.gaps();
      known =
          !section.kinetics().ranged()
              ? most
              : heat(
                  section.bounded(StatedRange.Bound.UPPER),
                  gaps == null || gaps.insideCeiling() == null
                      ? heating.insideHigh()
                      : gaps.insideCeiling(),
                  gaps == null || gaps.outsideCeiling() == null
                      ? heating.outsideHigh()
                      : gaps.outsideCeiling(),
                  heating.greenHigh());
      allowed = known;
    }
    return known;
  }

  /** The section it was computed for. */
  public HeatSection section() {
    return section;
  }

  /** The place that cured least. */
  public Figure slowest(Until until) {
    return low(Place.SLOWEST, coldest.slowest(until.mark()).position(), until);
  }

  /** The place that cured most. */
  public Figure fastest(Until until) {
    return high(Place.FASTEST, hottest.fastest(until.mark()).position(), until);
  }

  /** What a minimum is held against. */
  public Figure minimum(Wanted wanted) {
    return low(wanted.place(), position(wanted), wanted.until());
  }

  /** What a maximum is held against. */
  public Figure maximum(Wanted wanted) {
    return high(wanted.place(), position(wanted), wanted.until());
  }

  private double position(Wanted wanted) {
    return switch (wanted.place()) {
      case SLOWEST -> coldest.slowest(wanted.until().mark()).position();
      case FASTEST -> hottest.fastest(wanted.until().mark()).position();
      case IN_LAYER ->
          section.position(
              Objects.requireNonNull(wanted.layer()),
              wanted.depth() == null ? 0.5 : wanted.depth().doubleValue());
    };
  }

  private Figure low(Place place, double position, Until until) {
    return figure(coldest, place, position, until, Rule.LOG_MEAN);
  }

  private Figure high(Place place, double position, Until until) {
    return figure(hottest, place, position, until, Rule.TRAPEZOID);
  }

  /**
   * What each source adds; near the end of a range of kinetics what it adds to the credit within
   * that range, if that is more: there a little may take all of it.
   */
  private Map<Guard, Double> contributions(double position, Until until) {
    Map<Guard, Double> contributions = new EnumMap<>(Guard.class);
    doubted.forEach(
        (guard, history) -> contributions.put(guard, off(history, coldest, position, until)));
    doubtedInRange.forEach(
        (guard, history) ->
            contributions.merge(guard, off(history, credited(), position, until), Math::max));
    return contributions;
  }

  private static double off(HeatHistory doubted, HeatHistory of, double position, Until until) {
    return Math.abs(
        Math.log(
            doubted.minutesAt(position, until.mark(), Rule.LOG_MEAN)
                / of.minutesAt(position, until.mark(), Rule.LOG_MEAN)));
  }

  /**
   * The bounds of a place. The slowest place may be another one in each history, and so may the
   * fastest: the least of the slowest is that of its own slowest place, the most of it that of any.
   */
  private Bounds bounds(Place place, double position, int mark) {
    HeatHistory hot = ceiling;
    return new Bounds(
        least(credited(), place, position, mark),
        least(floor, place, position, mark),
        hot == null || beyondRange(hot, place, position, mark)
            ? null
            : Double.valueOf(most(allowed(hot), place, position, mark)),
        hot == null ? null : Double.valueOf(most(hot, place, position, mark)));
  }

  private boolean beyondRange(HeatHistory hot, Place place, double position, int mark) {
    double error = Math.max(heating.insideError(), heating.outsideError());
    return place == Place.FASTEST
        ? section.beyondRange(hot, mark, error)
        : section.beyondRange(hot, mark, position, error);
  }

  private static double most(HeatHistory of, Place place, double position, int mark) {
    return place == Place.FASTEST
        ? of.fastest(mark).minutes()
        : of.minutesAt(position, mark, Rule.TRAPEZOID);
  }

  private static double least(HeatHistory of, Place place, double position, int mark) {
    return place == Place.SLOWEST
        ? of.slowest(mark).minutes()
        : of.minutesAt(position, mark, Rule.LOG_MEAN);
  }

  private Figure figure(HeatHistory of, Place place, double position, Until until, Rule rule) {
    int mark = until.mark();
    return new Figure(
        of.layerAt(position),
        1000 * (position - section.rubberFrom()),
        of.minutesAt(position, mark, rule),
        rule,
        of.minutesAt(position, mark, rule == Rule.LOG_MEAN ? Rule.TRAPEZOID : Rule.LOG_MEAN),
        of.celsiusAt(position, mark),
        bounds(place, position, mark),
        contributions(position, until));
  }
}
