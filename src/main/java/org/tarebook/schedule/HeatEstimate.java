package org.tarebook.schedule;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.function.ToDoubleFunction;
import org.jspecify.annotations.Nullable;
import org.tarebook.schedule.ScheduleDefinition.Place;
import org.tarebook.schedule.ScheduleDefinition.Wanted;
import org.tarebook.thermal.HeatHistory;
import org.tarebook.thermal.Rule;
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

  private final HeatSection section;
  private final Heating heating;
  private final HeatHistory coldest;
  private final HeatHistory hottest;
  private final HeatHistory floor;
  private final @Nullable HeatHistory ceiling;
  private @Nullable HeatHistory credited;
  private @Nullable HeatHistory allowed;
  private final Map<Guard, List<HeatHistory>> doubted;
  private final @Nullable Map<Guard, List<HeatHistory>> doubtedLeast;
  private @Nullable Map<Guard, List<HeatHistory>> doubtedMost;

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
    this.doubted = doubted(section, this::plain, heating.insideLow(), heating.outsideLow(), -1);
    this.doubtedLeast =
        gaps == null && !section.kinetics().ranged()
            ? null
            : doubted(
                section,
                this::credited,
                gaps == null ? heating.insideLow() : gaps.insideFloor(),
                gaps == null ? heating.outsideLow() : gaps.outsideFloor(),
                -1);
  }

  /** A section by laws that are bounded in some way, the sensors off by a part of their error. */
  private interface Bounded {
    HeatSection of(HeatSection section, double off);
  }

  private HeatSection plain(HeatSection of, double off) {
    return of;
  }

  private HeatSection credited(HeatSection of, double off) {
    return of.credited(Math.max(heating.insideError(), heating.outsideError()) * (1 - off));
  }

  private HeatSection allowed(HeatSection of, double off) {
    return of.allowed();
  }

  /**
   * The courses with each source of doubt a standard uncertainty off: one for the energies and one
   * for the sensors, and one for the diffusivity of each compound, since those are independent and
   * may work against each other.
   *
   * @param side -1 where sensors show too much, 1 where they show too little
   */
  private Map<Guard, List<HeatHistory>> doubted(
      HeatSection of, Bounded bounded, Trace inside, Trace outside, int side) {
    double green = side < 0 ? heating.greenLow() : heating.greenHigh();
    Map<Guard, List<HeatHistory>> found = new EnumMap<>(Guard.class);
    found.put(
        Guard.DIFFUSIVITY,
        of.slower().stream()
            .map(slower -> heat(bounded.of(slower, 0), inside, outside, green))
            .toList());
    found.put(
        Guard.ACTIVATION_ENERGY,
        List.of(heat(bounded.of(of.withEnergy(1), 0), inside, outside, green)));
    found.put(
        Guard.SENSOR,
        List.of(
            heat(
                bounded.of(of, RECTANGULAR),
                HeatSection.shifted(inside, side * heating.insideError() * RECTANGULAR),
                HeatSection.shifted(outside, side * heating.outsideError() * RECTANGULAR),
                green)));
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
                  credited(section, 0),
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
                  section.allowed(),
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
  public HeatFigure slowest(Until until) {
    return low(Place.SLOWEST, coldest.slowest(until.mark()).position(), until);
  }

  /** The place that cured most. */
  public HeatFigure fastest(Until until) {
    return high(Place.FASTEST, hottest.fastest(until.mark()).position(), until);
  }

  /** What a minimum is held against. */
  public HeatFigure minimum(Wanted wanted) {
    return low(wanted.place(), position(wanted), wanted.until());
  }

  /** What a maximum is held against. */
  public HeatFigure maximum(Wanted wanted) {
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

  private HeatFigure low(Place place, double position, Until until) {
    return figure(coldest, place, position, until, Rule.LOG_MEAN);
  }

  private HeatFigure high(Place place, double position, Until until) {
    return figure(hottest, place, position, until, Rule.TRAPEZOID);
  }

  private Map<Guard, Double> doubts(
      Map<Guard, List<HeatHistory>> doubted, HeatHistory of, double position, Until until) {
    Map<Guard, Double> found = new EnumMap<>(Guard.class);
    doubted.forEach((guard, history) -> found.put(guard, off(history, of, position, until)));
    return found;
  }

  /** What each source adds to the least: in its own course where that is another one. */
  private Map<Guard, Double> ofLeast(Map<Guard, Double> plain, double position, Until until) {
    return doubtedLeast == null
        ? plain
        : greater(plain, doubts(doubtedLeast, credited(), position, until));
  }

  /** The same of the most. */
  private Map<Guard, Double> ofMost(Map<Guard, Double> plain, double position, Until until) {
    HeatHistory hot = ceiling;
    Gaps gaps = heating.gaps();
    if (hot == null || (gaps == null && !section.kinetics().ranged())) {
      return plain;
    }
    Map<Guard, List<HeatHistory>> its = doubtedMost;
    if (its == null) {
      its =
          doubted(
              section,
              this::allowed,
              gaps == null ? heating.insideHigh() : Objects.requireNonNull(gaps.insideCeiling()),
              gaps == null ? heating.outsideHigh() : Objects.requireNonNull(gaps.outsideCeiling()),
              1);
      doubtedMost = its;
    }
    return greater(plain, doubts(its, allowed(hot), position, until));
  }

  /** The greater of two doubts of each source. */
  static Map<Guard, Double> greater(Map<Guard, Double> one, Map<Guard, Double> other) {
    Map<Guard, Double> greater = new EnumMap<>(one);
    other.forEach((guard, doubt) -> greater.merge(guard, doubt, Math::max));
    return greater;
  }

  private static double off(
      List<HeatHistory> doubted, HeatHistory of, double position, Until until) {
    return off(
        doubted,
        of.minutesAt(position, until.mark(), Rule.LOG_MEAN),
        one -> one.minutesAt(position, until.mark(), Rule.LOG_MEAN));
  }

  /**
   * By how much a source of doubt changes ln(minutes) at a place; its independent parts added in
   * squares, and 0 where it has none.
   *
   * @param minutes without the doubt, in equivalent minutes
   * @param at the equivalent minutes there in a course with one part of the doubt
   */
  static double off(List<HeatHistory> doubted, double minutes, ToDoubleFunction<HeatHistory> at) {
    double square = 0;
    for (HeatHistory one : doubted) {
      double change = Math.log(at.applyAsDouble(one) / minutes);
      square += change * change;
    }
    return Math.sqrt(square);
  }

  /**
   * The bounds of a place. The slowest place may be another one in each history, and so may the
   * fastest: the least of the slowest is that of its own slowest place, the most of it that of any.
   */
  private HeatFigure.Bounds bounds(Place place, double position, int mark) {
    HeatHistory hot = ceiling;
    return new HeatFigure.Bounds(
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

  private HeatFigure figure(HeatHistory of, Place place, double position, Until until, Rule rule) {
    int mark = until.mark();
    Map<Guard, Double> plain = doubts(doubted, coldest, position, until);
    return new HeatFigure(
        of.layerAt(position),
        1000 * (position - section.rubberFrom()),
        of.minutesAt(position, mark, rule),
        rule,
        of.minutesAt(position, mark, rule == Rule.LOG_MEAN ? Rule.TRAPEZOID : Rule.LOG_MEAN),
        of.celsiusAt(position, mark),
        bounds(place, position, mark),
        plain,
        ofLeast(plain, position, until),
        ofMost(plain, position, until));
  }
}
