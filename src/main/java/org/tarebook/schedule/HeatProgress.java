package org.tarebook.schedule;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.DoubleStream;
import org.jspecify.annotations.Nullable;
import org.tarebook.thermal.HeatHistory;
import org.tarebook.thermal.Rule;
import org.tarebook.thermal.Trace;

/**
 * How far the cure has come while the press runs, and when the slowest place has what is wanted if
 * the media stay as they are. It has that when the lower end of the interval has, as the verdict
 * will hold it: without the sources of doubt that the limit holds already.
 *
 * @param minutes equivalent minutes so far at the slowest place, by the log-mean
 * @param layer the layer it lies in
 * @param lower lower end of the interval so far, in equivalent minutes; absent where a source of
 *     doubt has no known uncertainty
 * @param enoughAfter seconds from the start after which the lower end is what is wanted, be it
 *     before now or to come; absent where that takes longer than looked ahead, or there is no lower
 *     end
 */
public record HeatProgress(
    double minutes, String layer, @Nullable Double lower, OptionalDouble enoughAfter) {

  private static final double STEP = 30;

  /** How far ahead it looks, in seconds: further only where nearer is not enough. */
  private static final double[] AHEAD = {900, 3600, 14_400};

  /**
   * What heats the tyre at the least; temperatures in degrees Celsius.
   *
   * @param insideError largest error of the sensors inside, in kelvin
   * @param outsideError largest error of the sensors outside, in kelvin
   */
  public record Media(
      Trace inside, Trace outside, double green, double insideError, double outsideError) {}

  /**
   * Heats a section up to now, and on with the media as they are.
   *
   * @param now seconds from the start, above 0
   * @param wanted equivalent minutes; infinite where nothing is wanted, and nothing is enough then
   * @param holds sources of doubt that what is wanted holds already
   * @param ahead whether to look further than now
   */
  public static HeatProgress of(
      HeatSection section,
      Media media,
      double now,
      double wanted,
      Set<Guard> holds,
      boolean ahead) {
    Heated heated = new Heated(section, media, now, 0, holds);
    OptionalDouble enough = heated.reaching(wanted);
    for (int i = 0; ahead && i < AHEAD.length && enough.isEmpty() && heated.bounded(wanted); i++) {
      enough = new Heated(section, media, now, AHEAD[i], holds).reaching(wanted);
    }
    return new HeatProgress(
        heated.minutes(), heated.layer(), heated.known() ? heated.lower() : null, enough);
  }

  /** A section heated with and without each source of doubt, with marks all along. */
  private static final class Heated {
    private final HeatSection section;
    private final Media media;
    private final Set<Guard> holds;
    private final double[] marks;
    private final int now;
    private final HeatHistory plain;
    private final HeatHistory least;
    private final Map<Guard, List<HeatHistory>> doubted = new EnumMap<>(Guard.class);

    Heated(HeatSection section, Media media, double now, double ahead, Set<Guard> holds) {
      this.section = section;
      this.media = media;
      this.holds = holds;
      double[] before = DoubleStream.iterate(STEP, at -> at < now, at -> at + STEP).toArray();
      this.now = before.length;
      this.marks =
          DoubleStream.concat(
                  DoubleStream.of(before),
                  DoubleStream.iterate(now, at -> at <= now + ahead, at -> at + STEP))
              .toArray();
      this.plain = heat(section, 0);
      double error = Math.max(media.insideError(), media.outsideError());
      this.least = section.kinetics().ranged() ? heat(section.credited(error), 0) : plain;
      if (!known()) {
        return;
      }
      if (!holds.contains(Guard.DIFFUSIVITY)) {
        List<HeatHistory> slower = new ArrayList<>();
        section.slower().forEach(one -> slower.add(heat(one.credited(error), 0)));
        doubted.put(Guard.DIFFUSIVITY, slower);
      }
      if (!holds.contains(Guard.ACTIVATION_ENERGY)) {
        doubted.put(
            Guard.ACTIVATION_ENERGY, List.of(heat(section.withEnergy(1).credited(error), 0)));
      }
      if (!holds.contains(Guard.SENSOR)) {
        double off = HeatEstimate.RECTANGULAR;
        doubted.put(Guard.SENSOR, List.of(heat(section.credited(error * (1 - off)), off)));
      }
    }

    private HeatHistory heat(HeatSection of, double off) {
      return of.pressed(
          HeatSection.shifted(media.inside(), -off * media.insideError()),
          HeatSection.shifted(media.outside(), -off * media.outsideError()),
          media.green(),
          marks);
    }

    /** Whether every source of doubt that counts has a known uncertainty. */
    boolean known() {
      return section.kinetics().unknown(holds).isEmpty();
    }

    /** Whether something is wanted that can be reached. */
    boolean bounded(double wanted) {
      return known() && Double.isFinite(wanted);
    }

    double minutes() {
      return plain.slowest(now).minutes();
    }

    String layer() {
      return plain.slowest(now).layer();
    }

    double lower() {
      return lower(now);
    }

    private double lower(int mark) {
      HeatHistory.Place slowest = least.slowest(mark);
      Map<Guard, Double> doubts = new EnumMap<>(Guard.class);
      doubted.forEach(
          (guard, its) ->
              doubts.put(
                  guard,
                  HeatEstimate.off(
                      its,
                      least.minutesAt(slowest.position(), mark, Rule.LOG_MEAN),
                      one -> one.minutesAt(slowest.position(), mark, Rule.LOG_MEAN))));
      double doubt = HeatFigure.expanded(doubts, holds, section.kinetics().energyFreedom());
      return slowest.minutes() * Math.exp(-doubt);
    }

    /** When the lower end is what is wanted; between two marks it runs straight. */
    OptionalDouble reaching(double wanted) {
      double before = 0;
      for (int i = 0; known() && i < marks.length; i++) {
        double then = lower(i);
        if (then >= wanted) {
          double from = i == 0 ? 0 : marks[i - 1];
          return OptionalDouble.of(from + (wanted - before) / (then - before) * (marks[i] - from));
        }
        before = then;
      }
      return OptionalDouble.empty();
    }
  }
}
