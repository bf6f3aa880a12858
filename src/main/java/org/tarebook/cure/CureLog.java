package org.tarebook.cure;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.LongSummaryStatistics;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.cure.ChannelLog.ClockStep;
import org.tarebook.cure.ChannelLog.Conflict;
import org.tarebook.cure.ChannelLog.Said;
import org.tarebook.cure.ChannelLog.Sample;
import org.tarebook.cure.ChannelLog.Settled;
import org.tarebook.cure.PieceContent.Mark;
import org.tarebook.cure.PieceContent.Samples;
import org.tarebook.cure.PieceStore.Stored;

/**
 * The log of one cure, put together from its pieces in whatever order they came: by channel, in the
 * order of time, with what is wrong with it. The order of rows within a piece says nothing; that of
 * numbered pieces shows a clock that went back.
 *
 * @param zero the start of the cure, from which seconds are counted
 * @param barometer air pressure in kPa, by which gauge pressures were made absolute
 * @param marks step marks in the order of time, each once
 * @param aheadBy seconds by which a piece was ahead of the server's clock when it came, at most; 0
 *     where none was
 */
record CureLog(
    Instant zero,
    double barometer,
    Map<String, ChannelLog> channels,
    List<Mark> marks,
    int samples,
    double aheadBy) {

  /**
   * By their numbers, those without one first. Pieces that share a number go by time and then by
   * key, so that a verdict does not depend on which came first.
   */
  private static final Comparator<Stored> ORDER =
      Comparator.comparing(Stored::sequence, Comparator.nullsFirst(Comparator.naturalOrder()))
          .thenComparing(
              piece -> piece.content().firstAt(), Comparator.nullsFirst(Comparator.naturalOrder()))
          .thenComparing(Stored::key);

  /** What was logged: a value at a moment. */
  private record Logged(long micros, double value) {}

  static CureLog of(
      Cure cure, List<Stored> pieces, List<Settlement> settlements, double barometer) {
    List<Stored> inOrder = new ArrayList<>(pieces);
    inOrder.sort(ORDER);
    long zero = PieceContent.micros(cure.startedAt());
    Map<String, ChannelLog> channels = new LinkedHashMap<>();
    for (Channel channel : cure.channels()) {
      channels.put(channel.code(), channelLog(channel, inOrder, settlements, zero, barometer));
    }
    Set<Mark> marks = new LinkedHashSet<>();
    double ahead = 0;
    int samples = 0;
    for (Stored piece : inOrder) {
      marks.addAll(piece.content().marks());
      samples += piece.content().samples();
      Instant last = piece.content().lastAt();
      if (last != null) {
        ahead =
            Math.max(
                ahead, (PieceContent.micros(last) - PieceContent.micros(piece.recordedAt())) / 1e6);
      }
    }
    List<Mark> byTime = new ArrayList<>(marks);
    byTime.sort(Comparator.comparingLong(Mark::micros));
    return new CureLog(cure.startedAt(), barometer, channels, List.copyOf(byTime), samples, ahead);
  }

  ChannelLog get(Channel channel) {
    ChannelLog found = channels.get(channel.code());
    if (found == null) {
      throw new IllegalStateException("No log of channel " + channel.code());
    }
    return found;
  }

  /**
   * The log of the time within the cure: what was logged before its start or after its end heated
   * no tyre, and says nothing of it. The last value before the start stays where it says what a
   * channel was at the start: of a report on change that is not overdue by then, and of a sample
   * from which a line runs to the first one within.
   *
   * @param end when the cure ended, in seconds from its start
   * @param largestGap seconds between two samples beyond which nothing is known between them
   */
  CureLog within(double end, double largestGap) {
    Map<String, ChannelLog> clipped = new LinkedHashMap<>();
    channels.forEach((code, one) -> clipped.put(code, within(one, end, largestGap)));
    return new CureLog(zero, barometer, clipped, marks, samples, aheadBy);
  }

  private ChannelLog within(ChannelLog one, double end, double largestGap) {
    List<Sample> all =
        Stream.concat(one.samples(), one.setAside().stream())
            .sorted(Comparator.comparingDouble(Sample::at))
            .toList();
    if (all.stream().allMatch(sample -> lies(sample.at(), end))
        && one.inConflict().stream().allMatch(conflict -> lies(conflict.at(), end))) {
      return one;
    }
    List<Sample> kept =
        new ArrayList<>(all.stream().filter(sample -> lies(sample.at(), end)).toList());
    one.samples()
        .filter(sample -> sample.at() < 0)
        .reduce((earlier, later) -> later)
        .filter(last -> tellsOfTheStart(one, last, kept, largestGap))
        .ifPresent(last -> kept.add(0, last));
    return new ChannelLog(
        one.channel(),
        kept.stream().mapToDouble(Sample::at).toArray(),
        kept.stream().mapToDouble(Sample::shown).toArray(),
        barometer,
        one.duplicates(),
        one.conflicts().stream().filter(conflict -> lies(conflict.at(), end)).toList(),
        one.settled().stream().filter(its -> lies(its.conflict().at(), end)).toList(),
        one.clockSteps());
  }

  private static boolean lies(double moment, double end) {
    return moment >= 0 && moment <= end + Excursion.MOMENT;
  }

  private static boolean tellsOfTheStart(
      ChannelLog one, Sample last, List<Sample> kept, double largestGap) {
    return one.channel().recording() == Recording.ON_CHANGE
        ? last.at() + one.knownFor(largestGap) >= 0 && one.lost(last.at(), 0) >= 0
        : !kept.isEmpty() && kept.get(0).at() - last.at() <= largestGap + Excursion.MOMENT;
  }

  /** A moment of the cure. */
  Instant at(double seconds) {
    return zero.plusNanos(Math.round(seconds * 1e6) * 1000);
  }

  private static ChannelLog channelLog(
      Channel channel,
      List<Stored> pieces,
      List<Settlement> settlements,
      long zero,
      double barometer) {
    int count = 0;
    for (Stored piece : pieces) {
      Samples samples = piece.content().channels().get(channel.code());
      count += samples == null ? 0 : samples.count();
    }
    long[] micros = new long[count];
    double[] values = new double[count];
    String[] keys = new String[count];
    int filled = 0;
    List<ClockStep> steps = new ArrayList<>();
    @Nullable Long sequenced = null;
    for (Stored piece : pieces) {
      Samples samples = piece.content().channels().get(channel.code());
      if (samples == null || samples.count() == 0) {
        continue;
      }
      int before = filled;
      double scale = Math.pow(10, samples.scale());
      for (int i = 0; i < samples.count(); i++) {
        micros[filled] = samples.micros()[i];
        keys[filled] = piece.key();
        values[filled++] = samples.numbers()[i] / scale;
      }
      LongSummaryStatistics moments = Arrays.stream(samples.micros()).summaryStatistics();
      if (piece.sequence() != null
          && sequenced != null
          && moments.getMin() < sequenced
          && holdsNews(sequenced, micros, values, before, filled)) {
        steps.add(step(sequenced, moments.getMin(), zero));
      }
      if (piece.sequence() != null) {
        sequenced = moments.getMax();
      }
    }
    return ordered(channel, micros, values, keys, steps, settlements, zero, barometer);
  }

  /**
   * Whether a piece says something of the time before another's end that was not logged before: of
   * a new moment, or another value of a known one. What was logged before is sent again.
   *
   * @param before how many samples were logged before the piece
   * @param filled how many there are with it
   */
  private static boolean holdsNews(
      long end, long[] micros, double[] values, int before, int filled) {
    Set<Logged> known = new HashSet<>();
    for (int i = 0; i < before; i++) {
      known.add(new Logged(micros[i], values[i]));
    }
    for (int i = before; i < filled; i++) {
      if (micros[i] <= end && !known.contains(new Logged(micros[i], values[i]))) {
        return true;
      }
    }
    return false;
  }

  private static ClockStep step(long before, long after, long zero) {
    return new ClockStep((before - zero) / 1e6, (before - after) / 1e6);
  }

  private static ChannelLog ordered(
      Channel channel,
      long[] micros,
      double[] values,
      String[] keys,
      List<ClockStep> steps,
      List<Settlement> settlements,
      long zero,
      double barometer) {
    int[] order = order(micros);
    double[] seconds = new double[micros.length];
    double[] shown = new double[micros.length];
    int kept = 0;
    int duplicates = 0;
    List<Conflict> conflicts = new ArrayList<>();
    List<Settled> settled = new ArrayList<>();
    for (int i = 0; i < order.length; ) {
      int same = i + 1;
      boolean differing = false;
      while (same < order.length && micros[order[same]] == micros[order[i]]) {
        differing |= values[order[same]] != values[order[i]];
        same++;
      }
      double at = (micros[order[i]] - zero) / 1e6;
      OptionalDouble stands = OptionalDouble.of(values[order[i]]);
      if (differing) {
        List<Said> said =
            Arrays.stream(order, i, same).mapToObj(j -> new Said(values[j], keys[j])).toList();
        Conflict conflict = new Conflict(at, said);
        Settlement by = settlement(channel, micros[order[i]], conflict, settlements);
        String piece = by == null ? null : by.asked().stands();
        stands = piece == null ? OptionalDouble.empty() : conflict.of(piece);
        if (by == null || (piece != null && stands.isEmpty())) {
          conflicts.add(conflict);
        } else {
          settled.add(new Settled(conflict, by));
        }
      } else {
        duplicates += same - i - 1;
      }
      if (stands.isPresent()) {
        seconds[kept] = at;
        shown[kept++] = stands.getAsDouble();
      }
      i = same;
    }
    seconds = Arrays.copyOf(seconds, kept);
    shown = Arrays.copyOf(shown, kept);
    return new ChannelLog(
        channel, seconds, shown, barometer, duplicates, conflicts, settled, steps);
  }

  /** The last settlement of a moment in conflict; null where there is none. */
  private static @Nullable Settlement settlement(
      Channel channel, long micros, Conflict conflict, List<Settlement> settlements) {
    Instant moment = PieceContent.instant(micros);
    return settlements.stream()
        .filter(one -> one.asked().channel().equals(channel.code()))
        .filter(one -> one.settles(moment, conflict.pieces()))
        .reduce((earlier, later) -> later)
        .orElse(null);
  }

  private static int[] order(long[] micros) {
    boolean sorted = true;
    for (int i = 1; i < micros.length; i++) {
      sorted &= micros[i] >= micros[i - 1];
    }
    int[] order = new int[micros.length];
    for (int i = 0; i < order.length; i++) {
      order[i] = i;
    }
    if (sorted) {
      return order;
    }
    return Arrays.stream(order)
        .boxed()
        .sorted(Comparator.comparingLong(i -> micros[i]))
        .mapToInt(Integer::intValue)
        .toArray();
  }
}
