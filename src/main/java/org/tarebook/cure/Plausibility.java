package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.cure.ChannelLog.Sample;
import org.tarebook.cure.Run.Steady;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Measured.Physical;
import org.tarebook.schedule.PressureKind;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;

/** Whether one channel can be believed: range, flat line, spikes, clock, unit, kind of pressure. */
final class Plausibility {

  /** Most samples within the band so, hardly any as declared: then the declaration is in doubt. */
  private static final double MOST = 0.8;

  private static final double HARDLY_ANY = 0.2;

  private static final double COLDEST = -50;
  private static final double HOTTEST = 400;
  private static final double VACUUM = -5;

  private final ScheduleDefinition definition;
  private final Run run;
  private final CureLog cure;

  Plausibility(ScheduleDefinition definition, Run run, CureLog cure) {
    this.definition = definition;
    this.run = run;
    this.cure = cure;
  }

  /** All doubts about one channel. */
  List<Reason> of(ChannelLog log) {
    List<Reason> found = new ArrayList<>();
    range(log).ifPresent(found::add);
    stuck(log).ifPresent(found::add);
    spikes(log).ifPresent(found::add);
    clock(log).ifPresent(found::add);
    found.addAll(Conflicts.of(log, cure));
    unit(log).ifPresent(found::add);
    pressureKind(log).ifPresent(found::add);
    return found;
  }

  /** Whether a doubt makes everything else on its channel unproven. */
  static boolean disbelieved(Reason doubt) {
    return switch (doubt.code()) {
      case OUT_OF_RANGE,
          STUCK,
          UNIT_SUSPECTED,
          PRESSURE_KIND_SUSPECTED,
          SWAPPED,
          TWINS_DISAGREE,
          CLOCK_BACK ->
          true;
      default -> false;
    };
  }

  private Reason.Draft doubt(Reason.Code code, ChannelLog log, String words) {
    return Reason.of(code, Reason.Weight.DOUBT, Words.capital(log.channel().words()) + " " + words)
        .on(log.channel());
  }

  private Optional<Reason> range(ChannelLog log) {
    Channel channel = log.channel();
    List<Sample> impossible =
        Stream.concat(log.samples(), log.setAside().stream())
            .filter(sample -> sample.at() >= 0 && impossible(log, sample.shown()))
            .sorted(Comparator.comparingDouble(Sample::at))
            .toList();
    if (impossible.isEmpty()) {
      return Optional.empty();
    }
    Sample first = impossible.get(0);
    Sample last = impossible.get(impossible.size() - 1);
    return Optional.of(
        doubt(
                Reason.Code.OUT_OF_RANGE,
                log,
                "showed what it cannot show: "
                    + Words.number(first.shown())
                    + " "
                    + channel.sent().label()
                    + ", "
                    + impossible.size()
                    + (impossible.size() == 1 ? " sample." : " samples."))
            .from(cure.at(first.at()), cure.at(last.at()))
            .amount(first.shown(), channel.unit())
            .done());
  }

  private static boolean impossible(ChannelLog log, double shown) {
    Channel channel = log.channel();
    double medium = log.medium(shown);
    boolean unphysical =
        switch (channel.measured().physical()) {
          case TEMPERATURE -> medium < COLDEST || medium > HOTTEST;
          case PRESSURE -> medium < VACUUM;
          case CLAMPING -> false;
        };
    return unphysical
        || (channel.rangeFrom() != null && shown < channel.rangeFrom().doubleValue())
        || (channel.rangeUntil() != null && shown > channel.rangeUntil().doubleValue());
  }

  private Optional<Reason> stuck(ChannelLog log) {
    Run.Stretch need = run.need(log.channel(), definition).orElse(null);
    if (need == null
        || log.channel().recording() == Recording.ON_CHANGE
        || log.seconds().length < 3) {
      return Optional.empty();
    }
    double longest =
        definition.longestFlat() == null
            ? Double.POSITIVE_INFINITY
            : definition.longestFlat().toMillis() / 1000.0;
    int from = 0;
    for (int i = 1; i <= log.shown().length; i++) {
      if (i < log.shown().length && log.shown()[i] == log.shown()[from]) {
        continue;
      }
      double start = Math.max(log.seconds()[from], need.from());
      double end = Math.min(log.seconds()[i - 1], need.until());
      if (end - start > longest || (i - from >= 3 && spansMovedSetPoint(log, start, end))) {
        return Optional.of(
            doubt(
                    Reason.Code.STUCK,
                    log,
                    "stood at "
                        + Words.number(log.shown()[from])
                        + " "
                        + log.channel().sent().label()
                        + " without any change for "
                        + Words.seconds(end - start)
                        + ".")
                .from(cure.at(start), cure.at(end))
                .amount(end - start, Unit.SECOND.code())
                .done());
      }
      from = i;
    }
    return Optional.empty();
  }

  /** Whether set points that lie apart by more than their bands both fall into a flat line. */
  private boolean spansMovedSetPoint(ChannelLog log, double start, double end) {
    List<Steady> steady = steady(log.channel());
    for (Steady earlier : steady) {
      for (Steady later : steady) {
        if (earlier.from() < later.from()
            && start < earlier.until()
            && end > later.from()
            && apart(earlier.setPoint(), later.setPoint())) {
          return true;
        }
      }
    }
    return false;
  }

  private static boolean apart(SetPoint one, SetPoint other) {
    return one.unit().equals(other.unit())
        && (one.lower().compareTo(other.upper()) > 0 || other.lower().compareTo(one.upper()) > 0);
  }

  private Optional<Reason> spikes(ChannelLog log) {
    List<Sample> spikes = log.setAside();
    if (spikes.isEmpty()) {
      return Optional.empty();
    }
    Sample first = spikes.get(0);
    return Optional.of(
        doubt(
                Reason.Code.SPIKE,
                log,
                "jumped to "
                    + Words.number(first.shown())
                    + " "
                    + log.channel().sent().label()
                    + " for one sample and back, "
                    + spikes.size()
                    + (spikes.size() == 1 ? " time." : " times.")
                    + " Such samples are not used.")
            .from(cure.at(first.at()), cure.at(spikes.get(spikes.size() - 1).at()))
            .amount(first.shown(), log.channel().unit())
            .done());
  }

  /**
   * Samples hotter than the schedule says that the medium can be: either the channel is wrong or
   * the schedule is.
   *
   * @param line where the schedule states it
   */
  static Optional<Reason> hotter(ChannelLog log, double hottest, String line, CureLog cure) {
    int[] hotter = log.hotter(hottest).filter(i -> log.seconds()[i] >= 0).toArray();
    if (hotter.length == 0) {
      return Optional.empty();
    }
    double most = Arrays.stream(hotter).mapToDouble(i -> log.media()[i]).max().orElseThrow();
    return Optional.of(
        Reason.of(
                Reason.Code.HOTTER_THAN_STATED,
                Reason.Weight.DOUBT,
                Words.capital(log.channel().words())
                    + " showed "
                    + Words.number(most, hottest)
                    + " °C, and the schedule states that the medium is at most "
                    + Words.number(hottest, most)
                    + " °C (hottest); "
                    + hotter.length
                    + (hotter.length == 1 ? " sample." : " samples.")
                    + " A minimum takes no credit from them: look at the sensor, or correct the"
                    + " schedule.")
            .on(log.channel())
            .from(
                cure.at(log.seconds()[hotter[0]]),
                cure.at(log.seconds()[hotter[hotter.length - 1]]))
            .amount(most, Unit.CELSIUS.code())
            .wanted(hottest)
            .line(line)
            .done());
  }

  private Optional<Reason> clock(ChannelLog log) {
    return log.clockSteps().stream()
        .max(Comparator.comparingDouble(ChannelLog.ClockStep::back))
        .map(
            step ->
                doubt(
                        Reason.Code.CLOCK_BACK,
                        log,
                        "was logged by a clock that went back by at least "
                            + Words.seconds(step.back())
                            + ": "
                            + log.clockSteps().size()
                            + (log.clockSteps().size() == 1 ? " piece holds" : " pieces hold")
                            + " moments before the end of the piece numbered before.")
                    .from(cure.at(step.at()), cure.at(step.at()))
                    .amount(step.back(), Unit.SECOND.code())
                    .done());
  }

  private List<Steady> steady(Channel channel) {
    return run.steady(measured -> measured == channel.measured()).stream()
        .filter(steady -> channel.meantBy(steady.setPoint()))
        .toList();
  }

  /**
   * The share of samples within the bands of some set points, their values read in some way.
   *
   * @param toMedium what a shown value would be of the medium
   */
  double share(ChannelLog log, List<Steady> held, DoubleUnaryOperator toMedium) {
    int inside = 0;
    int all = 0;
    for (Steady steady : held) {
      SetPoint setPoint = steady.setPoint();
      Unit unit = Unit.of(setPoint.unit());
      Physical physical = setPoint.measured().physical();
      double lower =
          ChannelLog.medium(
              physical,
              unit,
              setPoint.pressure(),
              setPoint.lower().doubleValue(),
              cure.barometer());
      double upper =
          ChannelLog.medium(
              physical,
              unit,
              setPoint.pressure(),
              setPoint.upper().doubleValue(),
              cure.barometer());
      for (int i = log.first(steady.from());
          i < log.seconds().length && log.seconds()[i] < steady.until();
          i++) {
        double medium = toMedium.applyAsDouble(log.shown()[i]);
        double error = log.error(medium);
        all++;
        inside += medium >= lower - error && medium <= upper + error ? 1 : 0;
      }
    }
    return all == 0 ? Double.NaN : (double) inside / all;
  }

  double shareAsDeclared(ChannelLog log, List<Steady> held) {
    return share(log, held, shown -> ChannelLog.medium(log.channel(), shown, cure.barometer()));
  }

  private Optional<Reason> unit(ChannelLog log) {
    Channel channel = log.channel();
    List<Steady> held = steady(channel);
    if (channel.measured().physical() == Physical.CLAMPING
        || !(shareAsDeclared(log, held) < HARDLY_ANY)) {
      return Optional.empty();
    }
    List<Unit> others =
        channel.measured().physical() == Physical.TEMPERATURE
            ? List.of(Unit.CELSIUS, Unit.FAHRENHEIT, Unit.KELVIN)
            : List.of(Unit.BAR, Unit.POUND_PER_SQUARE_INCH, Unit.KILOPASCAL, Unit.MEGAPASCAL);
    for (Unit other : others) {
      if (other != channel.sent()
          && share(log, held, as(channel, other, channel.pressure())) > MOST) {
        return Optional.of(
            doubt(
                    Reason.Code.UNIT_SUSPECTED,
                    log,
                    "is declared in "
                        + channel.sent().label()
                        + " but fits the schedule only as "
                        + other.label()
                        + "; look at the recorder's settings.")
                .line(held.get(0).line())
                .done());
      }
    }
    return Optional.empty();
  }

  private DoubleUnaryOperator as(Channel channel, Unit unit, @Nullable PressureKind kind) {
    return shown ->
        ChannelLog.medium(channel.measured().physical(), unit, kind, shown, cure.barometer());
  }

  private Optional<Reason> pressureKind(ChannelLog log) {
    Channel channel = log.channel();
    List<Steady> held = steady(channel);
    if (channel.measured().physical() != Physical.PRESSURE
        || !(shareAsDeclared(log, held) < HARDLY_ANY)) {
      return Optional.empty();
    }
    PressureKind other =
        channel.pressure() == PressureKind.GAUGE ? PressureKind.ABSOLUTE : PressureKind.GAUGE;
    DoubleUnaryOperator otherwise = as(channel, channel.sent(), other);
    if (!(share(log, held, otherwise) > MOST) || restsAsDeclared(log)) {
      return Optional.empty();
    }
    return Optional.of(
        doubt(
                Reason.Code.PRESSURE_KIND_SUSPECTED,
                log,
                "is declared "
                    + String.valueOf(channel.pressure()).toLowerCase(Locale.ROOT)
                    + " but fits the schedule only as "
                    + other.name().toLowerCase(Locale.ROOT)
                    + ": it is off by about the barometer, "
                    + Words.pressure(cure.barometer(), cure.barometer(), channel)
                    + ".")
            .amount(cure.barometer(), Unit.KILOPASCAL.code())
            .line(held.get(0).line())
            .done());
  }

  /** Whether the open press shows the air around it, read as declared. */
  private boolean restsAsDeclared(ChannelLog log) {
    double from = run.opening();
    double sum = 0;
    int count = 0;
    for (int i = log.first(from); i < log.seconds().length; i++) {
      sum += log.media()[i];
      count++;
    }
    return count > 0 && Math.abs(sum / count - cure.barometer()) < cure.barometer() / 4;
  }
}
