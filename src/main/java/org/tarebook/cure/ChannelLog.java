package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Measured.Physical;
import org.tarebook.schedule.PressureKind;
import org.tarebook.thermal.Between;
import org.tarebook.thermal.Trace;

/**
 * What one channel logged of one cure, put in order: moments in seconds from the start of the cure,
 * values as sent, and as the media have them (degrees Celsius; kilopascals absolute; clamping as
 * sent).
 */
final class ChannelLog {

  private final Channel channel;
  private final double[] seconds;
  private final double[] shown;
  private final double[] media;
  private final double barometer;
  private final int duplicates;
  private final List<Conflict> conflicts;
  private final List<ClockStep> clockSteps;
  private final List<Sample> setAside = new ArrayList<>();
  private @Nullable Trace trace;

  /**
   * Puts spikes aside and keeps the other samples.
   *
   * @param seconds increasing
   * @param shown one for each moment, in the channel's unit
   * @param barometer in kPa, for gauge pressures
   */
  ChannelLog(
      Channel channel,
      double[] seconds,
      double[] shown,
      double barometer,
      int duplicates,
      List<Conflict> conflicts,
      List<ClockStep> clockSteps) {
    this.channel = channel;
    this.barometer = barometer;
    this.duplicates = duplicates;
    this.conflicts = conflicts;
    this.clockSteps = clockSteps;
    BitSet spikes = spikes(Arrays.stream(shown).map(this::medium).toArray());
    spikes.stream().forEach(i -> setAside.add(new Sample(seconds[i], shown[i])));
    int[] kept = IntStream.range(0, seconds.length).filter(i -> !spikes.get(i)).toArray();
    this.seconds = Arrays.stream(kept).mapToDouble(i -> seconds[i]).toArray();
    this.shown = Arrays.stream(kept).mapToDouble(i -> shown[i]).toArray();
    this.media = Arrays.stream(this.shown).map(this::medium).toArray();
  }

  /** A value that was sent, in the channel's unit, and its moment. */
  record Sample(double at, double shown) {}

  Channel channel() {
    return channel;
  }

  double[] seconds() {
    return seconds;
  }

  /** Values in the channel's unit. */
  double[] shown() {
    return shown;
  }

  /** Values in degrees Celsius or kilopascals absolute. */
  double[] media() {
    return media;
  }

  /** How many samples were sent twice and are the same. */
  int duplicates() {
    return duplicates;
  }

  /** Moments for which different values were sent; none of them is used. */
  List<Conflict> conflicts() {
    return conflicts;
  }

  /** Moments at which the recorder's clock went back. */
  List<ClockStep> clockSteps() {
    return clockSteps;
  }

  /** That different values were sent for one moment; the first and one that differs. */
  record Conflict(double at, Said one, Said other) {}

  /** A value as sent, and the key of the piece it came with. */
  record Said(double shown, String piece) {}

  /** That a clock went back by so many seconds behind a moment. */
  record ClockStep(double at, double back) {}

  /** Time without a sample. */
  record Silence(double from, double until) {
    double length() {
      return until - from;
    }
  }

  boolean empty() {
    return seconds.length == 0;
  }

  /** The trace of the medium, as the recorder means it. */
  Trace trace() {
    if (trace == null) {
      trace = new Trace(seconds, media, between());
    }
    return trace;
  }

  /** The samples that are used. */
  Stream<Sample> samples() {
    return IntStream.range(0, seconds.length).mapToObj(i -> new Sample(seconds[i], shown[i]));
  }

  /** Spikes: samples that stand alone far from both neighbours, as no medium with mass can. */
  List<Sample> setAside() {
    return setAside;
  }

  private BitSet spikes(double[] media) {
    BitSet found = new BitSet();
    Physical physical = channel.measured().physical();
    if (channel.recording() == Recording.ON_CHANGE || physical == Physical.CLAMPING) {
      return found;
    }
    for (int i = 1; i + 1 < media.length; i++) {
      double before = media[i - 1];
      double after = media[i + 1];
      double height = Math.min(Math.abs(media[i] - before), Math.abs(media[i] - after));
      boolean sameSide = (media[i] > before) == (media[i] > after);
      double least =
          Math.max(
              3 * error(before), physical == Physical.TEMPERATURE ? 5 : 0.05 * Math.abs(before));
      if (sameSide && height > least && Math.abs(after - before) < height / 2) {
        found.set(i);
      }
    }
    return found;
  }

  Between between() {
    return channel.recording() == Recording.ON_CHANGE ? Between.HOLD : Between.LINEAR;
  }

  /** Index of the first sample at or behind a moment. */
  int first(double from) {
    int found = Arrays.binarySearch(seconds, from);
    return found >= 0 ? found : -found - 1;
  }

  /**
   * Times within a window longer than a limit without a sample. A recorder that reports on change
   * is silent while nothing changes; it must have spoken by the start of the window, and after that
   * at least every heartbeat where it has one.
   */
  List<Silence> silences(double from, double until, double longest) {
    List<Silence> found = new ArrayList<>();
    int next = first(from);
    double last = next > 0 ? seconds[next - 1] : from;
    double allowed = longest;
    if (channel.recording() == Recording.ON_CHANGE) {
      if (next == 0) {
        double first = empty() ? until : Math.min(until, seconds[0]);
        if (first - from > longest) {
          found.add(new Silence(from, first));
        }
        last = first;
      }
      if (channel.heartbeat() == null) {
        return found;
      }
      allowed = Math.max(longest, channel.heartbeat().toMillis() / 1000.0);
    }
    for (; next < seconds.length && last < until; next++) {
      if (seconds[next] - last > allowed) {
        found.add(new Silence(Math.max(last, from), Math.min(seconds[next], until)));
      }
      last = seconds[next];
    }
    if (until - last > allowed) {
      found.add(new Silence(Math.max(last, from), until));
    }
    return found;
  }

  /** How far the sensor may be wrong at a value of the medium, in kelvin or kilopascal. */
  double error(double medium) {
    if (channel.accuracy() != null) {
      Unit base =
          channel.measured().physical() == Physical.TEMPERATURE ? Unit.CELSIUS : Unit.KILOPASCAL;
      return channel.accuracy().doubleValue() * channel.sent().factorTo(base).doubleValue();
    }
    return channel.sensorClass() == null ? 0 : channel.sensorClass().errorAt(medium);
  }

  /** A value of the channel's unit in degrees Celsius or kilopascals absolute. */
  double medium(double value) {
    return medium(channel, value, barometer);
  }

  /** A value of a channel's unit as the medium has it. */
  static double medium(Channel channel, double shown, double barometer) {
    return medium(
        channel.measured().physical(), channel.sent(), channel.pressure(), shown, barometer);
  }

  /** A value as the medium would have it, were it in that unit and counted from there. */
  static double medium(
      Physical physical,
      Unit unit,
      @Nullable PressureKind pressure,
      double shown,
      double barometer) {
    return switch (physical) {
      case TEMPERATURE ->
          shown * unit.factorTo(Unit.CELSIUS).doubleValue()
              + unit.offsetTo(Unit.CELSIUS).doubleValue();
      case PRESSURE ->
          shown * unit.factorTo(Unit.KILOPASCAL).doubleValue()
              + (pressure == PressureKind.GAUGE ? barometer : 0);
      case CLAMPING -> shown;
    };
  }
}
