package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.DoubleStream;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.cure.ChannelLog.Silence;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.thermal.Trace;

/**
 * What media were at the least and at the most, by the channels that show them. A channel of which
 * nothing is known, or that cannot be believed, shows nothing: it widens both ends.
 */
final class MediaBounds {

  private final Run run;
  private final Set<String> disbelieved;
  private final boolean running;

  /**
   * Of one load.
   *
   * @param disbelieved codes of channels that cannot be believed
   * @param running whether more samples may come: the newest is then not confirmed
   */
  MediaBounds(Run run, Set<String> disbelieved, boolean running) {
    this.run = run;
    this.disbelieved = disbelieved;
    this.running = running;
  }

  /** Those that show a medium. */
  static List<ChannelLog> of(List<ChannelLog> serving, Medium medium) {
    return serving.stream().filter(one -> medium.isShownBy(one.channel().measured())).toList();
  }

  /** Their channels, to know the same ones by. */
  static String codes(List<ChannelLog> logs) {
    StringBuilder codes = new StringBuilder();
    logs.forEach(one -> codes.append(' ').append(one.channel().code()));
    return codes.toString();
  }

  /** Whether a channel says anything that can be believed. */
  boolean known(ChannelLog one) {
    return !one.empty() && !disbelieved.contains(one.channel().code());
  }

  /** What the medium was by the lowest of those that are known. */
  Trace lowest(List<ChannelLog> logs) {
    return logs.stream().filter(this::known).map(this::least).reduce(Trace::lowest).orElseThrow();
  }

  /** What it was by the highest of them. */
  Trace highest(List<ChannelLog> logs) {
    return logs.stream()
        .filter(this::known)
        .map(ChannelLog::trace)
        .reduce(Trace::highest)
        .orElseThrow();
  }

  /** Largest error of the sensors of a face; a class allows most at the hottest they logged. */
  double error(List<ChannelLog> logs) {
    return logs.stream()
        .filter(this::known)
        .mapToDouble(one -> one.error(Arrays.stream(one.media()).max().orElse(0)))
        .max()
        .orElse(0);
  }

  /** The least that it can have been: the coldest where a channel is not known. */
  Trace floor(List<ChannelLog> logs, double coldest, OptionalDouble hottest) {
    double bound = Math.min(coldest, media(logs).min().orElse(coldest));
    return traces(logs, this::least, bound, coldest, hottest).reduce(Trace::lowest).orElseThrow();
  }

  /**
   * The most that it can have been: the hottest where a channel is not known; null where that is
   * not stated.
   */
  @Nullable Trace ceiling(List<ChannelLog> logs, double end, OptionalDouble hottest) {
    if (unknown(logs, end, hottest).findAny().isEmpty()) {
      return highest(logs);
    }
    if (hottest.isEmpty()) {
      return null;
    }
    double most = hottest.getAsDouble();
    double bound = Math.max(most, media(logs).max().orElse(most));
    return traces(logs, ChannelLog::trace, bound, most, hottest)
        .reduce(Trace::highest)
        .orElseThrow();
  }

  /** The traces with a bound in their gaps, and another for those of which nothing is known. */
  private Stream<Trace> traces(
      List<ChannelLog> logs,
      Function<ChannelLog, Trace> logged,
      double bound,
      double silent,
      OptionalDouble hottest) {
    return logs.stream()
        .map(
            one ->
                known(one)
                    ? replaced(one, logged.apply(one), bound, hottest)
                    : Trace.constant(silent));
  }

  private DoubleStream media(List<ChannelLog> logs) {
    return logs.stream().filter(this::known).flatMapToDouble(one -> Arrays.stream(one.media()));
  }

  /** As logged; while more may come, a newest sample counts no more than the one before it. */
  private Trace least(ChannelLog one) {
    int last = one.media().length - 1;
    if (!running
        || last < 1
        || one.channel().recording() == Recording.ON_CHANGE
        || one.media()[last] <= one.media()[last - 1]) {
      return one.trace();
    }
    double[] confirmed = one.media().clone();
    confirmed[last] = confirmed[last - 1];
    return new Trace(one.seconds(), confirmed, one.between());
  }

  private Trace replaced(ChannelLog one, Trace logged, double bound, OptionalDouble hottest) {
    Trace trace = logged;
    for (Silence gap : unknown(one, run.opening(), hottest)) {
      trace = trace.replaced(gap.from(), gap.until(), bound);
    }
    return trace;
  }

  /** The stretches in which one of some channels is not known. */
  Stream<Silence> unknown(List<ChannelLog> logs, double end, OptionalDouble hottest) {
    return logs.stream().flatMap(one -> unknown(one, end, hottest).stream());
  }

  /** Stretches in which nothing is known, apart, and those with samples hotter than can be. */
  private List<Silence> unknown(ChannelLog one, double end, OptionalDouble hottest) {
    if (!known(one)) {
      return List.of(new Silence(0, end));
    }
    List<Silence> found = new ArrayList<>(one.unknown(0, end, run.largestGap()));
    hottest.ifPresent(most -> found.addAll(one.hotter(most, 0, end)));
    return apart(found.stream());
  }

  /** Stretches joined where they touch, in the order of time. */
  static List<Silence> apart(Stream<Silence> stretches) {
    List<Silence> apart = new ArrayList<>();
    stretches
        .sorted(Comparator.comparingDouble(Silence::from))
        .forEach(
            gap -> {
              Silence last = apart.isEmpty() ? null : apart.get(apart.size() - 1);
              if (last == null || gap.from() > last.until()) {
                apart.add(gap);
              } else if (gap.until() > last.until()) {
                apart.set(apart.size() - 1, new Silence(last.from(), gap.until()));
              }
            });
    return apart;
  }

  static double sum(List<Silence> gaps) {
    return gaps.stream().mapToDouble(Silence::length).sum();
  }

  /** For how long a channel is not known; empty where it is known all the time. */
  Optional<String> words(ChannelLog one, OptionalDouble hottest) {
    double time = sum(unknown(one, run.opening(), hottest));
    return time == 0
        ? Optional.empty()
        : Optional.of(
            one.channel().words()
                + " is not known for "
                + Words.seconds(time)
                + ", which count only as the coldest it can have been");
  }
}
