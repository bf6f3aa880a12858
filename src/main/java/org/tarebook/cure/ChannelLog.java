package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalDouble;
import java.util.stream.DoubleStream;
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
  private final List<Settled> settled;
  private final List<ClockStep> clockSteps;
  private final List<Sample> setAside = new ArrayList<>();
  private final double[] lost;
  private final double[] disputed;
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
      List<Settled> settled,
      List<ClockStep> clockSteps) {
    this.channel = channel;
    this.barometer = barometer;
    this.duplicates = duplicates;
    this.conflicts = conflicts;
    this.settled = settled;
    this.clockSteps = clockSteps;
    BitSet spikes = Spikes.of(this, Arrays.stream(shown).map(this::medium).toArray());
    spikes.stream().forEach(i -> setAside.add(new Sample(seconds[i], shown[i])));
    int[] kept = IntStream.range(0, seconds.length).filter(i -> !spikes.get(i)).toArray();
    this.seconds = Arrays.stream(kept).mapToDouble(i -> seconds[i]).toArray();
    this.shown = Arrays.stream(kept).mapToDouble(i -> shown[i]).toArray();
    this.media = Arrays.stream(this.shown).map(this::medium).toArray();
    this.lost =
        channel.recording() == Recording.ON_CHANGE
            ? inConflict().stream()
                .mapToDouble(Conflict::at)
                .filter(moment -> Arrays.binarySearch(this.seconds, moment) < 0)
                .toArray()
            : new double[0];
    this.disputed =
        DoubleStream.concat(
                setAside.stream().mapToDouble(Sample::at),
                conflicts.stream().mapToDouble(Conflict::at))
            .sorted()
            .toArray();
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

  /** Moments for which different values were sent and nobody settled it; none of them is used. */
  List<Conflict> conflicts() {
    return conflicts;
  }

  /** Moments for which different values were sent and a person settled it. */
  List<Settled> settled() {
    return settled;
  }

  /** Moments for which different values were sent, settled or not, in the order of time. */
  List<Conflict> inConflict() {
    return Stream.concat(conflicts.stream(), settled.stream().map(Settled::conflict))
        .sorted(Comparator.comparingDouble(Conflict::at))
        .toList();
  }

  /** Where a numbered piece goes back to before the end of the one numbered before it. */
  List<ClockStep> clockSteps() {
    return clockSteps;
  }

  /** That different values were sent for one moment, in the order of the pieces. */
  record Conflict(double at, List<Said> said) {
    Said one() {
      return said.get(0);
    }

    /** The first value that differs. */
    Said other() {
      return said.stream()
          .filter(value -> value.shown() != one().shown())
          .findFirst()
          .orElseThrow();
    }

    /** Keys of the pieces that say something of the moment. */
    List<String> pieces() {
      return said.stream().map(Said::piece).distinct().toList();
    }

    /** The one value that a piece says of the moment, if it says just one. */
    OptionalDouble of(String piece) {
      double[] values =
          said.stream()
              .filter(value -> value.piece().equals(piece))
              .mapToDouble(Said::shown)
              .distinct()
              .toArray();
      return values.length == 1 ? OptionalDouble.of(values[0]) : OptionalDouble.empty();
    }
  }

  /** What a person settled of a moment in conflict. */
  record Settled(Conflict conflict, Settlement by) {}

  /** A value as sent, and the key of the piece it came with. */
  record Said(double shown, String piece) {}

  /** That a clock went back by at least so many seconds, after a moment. */
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

  Between between() {
    return channel.recording() == Recording.ON_CHANGE ? Between.HOLD : Between.LINEAR;
  }

  /** Index of the first sample at or behind a moment. */
  int first(double from) {
    int found = Arrays.binarySearch(seconds, from);
    return found >= 0 ? found : -found - 1;
  }

  /**
   * How long a value is known after its sample, in seconds. Of a recorder that reports on change:
   * until its heartbeat is overdue; without a heartbeat its silence cannot be told from rest, so no
   * longer than the largest gap.
   *
   * @param largestGap of the schedule, in seconds
   */
  double knownFor(double largestGap) {
    return channel.recording() == Recording.ON_CHANGE && channel.heartbeat() != null
        ? channel.heartbeat().toMillis() / 1000.0
        : largestGap;
  }

  /**
   * Times within a window without a sample, longer than {@link #knownFor}; the whole window where
   * there is no sample at all. Before its first report nothing is known of a channel, and on change
   * a report of which no value stands ends what was reported before it.
   */
  List<Silence> silences(double from, double until, double largestGap) {
    if (empty()) {
      return from < until ? List.of(new Silence(from, until)) : List.of();
    }
    List<Silence> found = new ArrayList<>();
    int next = first(from);
    double last = next > 0 ? Math.max(0, seconds[next - 1]) : from; // from the start on
    double known = next > 0 ? knownFor(largestGap) : Math.min(knownFor(largestGap), largestGap);
    while (last < until) {
      double end = next < seconds.length ? seconds[next] : until;
      double lost = lost(last, end);
      if (lost < last + known && end - lost > largestGap + Excursion.MOMENT) {
        found.add(new Silence(lost, end));
      } else if (end - last > known + Excursion.MOMENT) {
        found.add(new Silence(last, end));
      }
      known = knownFor(largestGap);
      last = next < seconds.length ? end : until;
      next++;
    }
    return found;
  }

  /**
   * The first moment between two at which a channel on change reported values of which none stands;
   * positive infinity where there is none.
   */
  double lost(double after, double before) {
    for (double moment : lost) {
      if (moment > after && moment < before) {
        return moment;
      }
    }
    return Double.POSITIVE_INFINITY;
  }

  /** Whether a sample was sent between two moments that is not used, and nobody settled it. */
  boolean disputed(double after, double before) {
    int next = Arrays.binarySearch(disputed, Math.nextUp(after));
    next = next >= 0 ? next : -next - 1;
    return next < disputed.length && disputed[next] < before;
  }

  /**
   * The stretches of a window in which nothing is known of the channel, those between two samples
   * among them where one between them was set aside.
   */
  List<Silence> unknown(double from, double until, double largestGap) {
    List<Silence> found =
        channel.recording() == Recording.ON_CHANGE && !empty()
            ? unreported(from, until, largestGap)
            : new ArrayList<>(silences(from, until, largestGap));
    if (channel.recording() == Recording.SAMPLED && !empty()) {
      addEdges(found, from, until, largestGap);
      for (int i = Math.max(1, first(from)); i < seconds.length && seconds[i - 1] < until; i++) {
        if (seconds[i] - seconds[i - 1] <= largestGap + Excursion.MOMENT
            && disputed(seconds[i - 1], seconds[i])) {
          found.add(new Silence(Math.max(from, seconds[i - 1]), Math.min(until, seconds[i])));
        }
      }
      found.sort(Comparator.comparingDouble(Silence::from));
    }
    return found;
  }

  /**
   * Of a channel on change: before its first report, where its heartbeat is overdue, and from a
   * report of which no value stands until the next one.
   */
  private List<Silence> unreported(double from, double until, double largestGap) {
    List<Silence> found = new ArrayList<>();
    double known = knownFor(largestGap);
    for (int i = -1; i < seconds.length; i++) {
      double end = Math.min(until, i + 1 < seconds.length ? seconds[i + 1] : until);
      double report = i < 0 ? Double.NEGATIVE_INFINITY : seconds[i];
      double start = Math.max(from, Math.min(report + known, lost(report, end)));
      if (end - start > Excursion.MOMENT) {
        found.add(new Silence(start, end));
      }
    }
    return found;
  }

  /**
   * Before its first sample and after its last one a channel is known for as long as it ever was
   * between two, and no longer: no line runs there.
   */
  private void addEdges(List<Silence> found, double from, double until, double largestGap) {
    double usual = 0;
    for (int i = 1; i < seconds.length; i++) {
      double between = seconds[i] - seconds[i - 1];
      usual = between <= largestGap + Excursion.MOMENT ? Math.max(usual, between) : usual;
    }
    double first = Math.min(seconds[0], until) - from;
    if (first > usual + Excursion.MOMENT && first <= largestGap + Excursion.MOMENT) {
      found.add(new Silence(from, Math.min(seconds[0], until)));
    }
    double last = seconds[seconds.length - 1];
    if (until - last > usual + Excursion.MOMENT
        && until - last <= largestGap + Excursion.MOMENT
        && last >= from) {
      found.add(new Silence(last, until));
    }
  }

  /** Indexes of samples hotter than something, beyond the error of the sensor. */
  IntStream hotter(double celsius) {
    return IntStream.range(0, media.length).filter(i -> media[i] - error(media[i]) > celsius);
  }

  /** The stretches of a window that rest on samples hotter than something. */
  List<Silence> hotter(double celsius, double from, double until) {
    boolean held = channel.recording() == Recording.ON_CHANGE;
    return hotter(celsius)
        .mapToObj(
            i ->
                new Silence(
                    Math.max(from, held ? seconds[i] : i > 0 ? seconds[i - 1] : from),
                    Math.min(until, i + 1 < seconds.length ? seconds[i + 1] : until)))
        .filter(stretch -> stretch.from() < stretch.until())
        .toList();
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
