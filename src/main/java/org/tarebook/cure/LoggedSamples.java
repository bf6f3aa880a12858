package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.ChannelLog.Settled;
import org.tarebook.cure.PieceContent.Samples;
import org.tarebook.cure.PieceStore.Stored;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;

/** The samples of a cure log as they were sent, each with what became of it. */
final class LoggedSamples {

  private static final Comparator<Logged> BY_TIME = Comparator.comparing(Logged::at);

  private final Cure cure;
  private final CureLog log;
  private final List<Stored> pieces;

  /** What became of a sample. */
  @Schema(name = "SampleStanding", description = "What became of a sample of a cure log.")
  enum Standing {
    @Schema(description = "It counts.")
    USED,
    @Schema(description = "It was sent before with the same value.")
    REPEATED,
    @Schema(description = "Other values were sent for its moment; none of them counts.")
    CONFLICT,
    @Schema(
        description =
            "Other values were sent for its moment, and a person decided against it; it does"
                + " not count.")
    OVERRULED,
    @Schema(description = "It jumped away from both its neighbours; it does not count.")
    SPIKE
  }

  /** One sample. */
  @Schema(name = "CureSample", description = "A sample of a cure log.")
  record Logged(
      @Schema(description = "When it was taken, by the recorder's clock.") Instant at,
      @Schema(description = "Code of the channel.") String channel,
      @Schema(description = "The value sent, in unit.") BigDecimal value,
      @Schema(description = "UCUM code.", example = "Cel") String unit,
      @Schema(description = "What became of it.") Standing standing,
      @Schema(description = "Key of the piece it came with.") String piece) {}

  /**
   * What is wanted of a log.
   *
   * @param channels codes; all where empty
   * @param units to bring channels of their kinds into
   * @param from the first moment, inclusive
   * @param before the first moment after the window
   * @param most so many samples of a channel at the most; absent for all
   */
  record Wanted(
      Set<String> channels,
      List<Unit> units,
      @Nullable Instant from,
      @Nullable Instant before,
      @Nullable Integer most) {}

  LoggedSamples(Cure cure, CureLog log, List<Stored> pieces) {
    this.cure = cure;
    this.log = log;
    this.pieces = pieces;
  }

  /** The samples that are wanted, channel by channel, each in the order of time. */
  List<Logged> of(Wanted wanted) {
    List<Logged> found = new ArrayList<>();
    for (Channel channel : cure.channels()) {
      if (wanted.channels().isEmpty() || wanted.channels().contains(channel.code())) {
        List<Logged> all =
            of(channel, wanted.units()).stream()
                .filter(one -> wanted.from() == null || !one.at().isBefore(wanted.from()))
                .filter(one -> wanted.before() == null || one.at().isBefore(wanted.before()))
                .toList();
        found.addAll(wanted.most() == null ? all : thinned(all, wanted.most()));
      }
    }
    return found;
  }

  private List<Logged> of(Channel channel, List<Unit> units) {
    Unit sent = channel.sent();
    Unit shown = units.stream().filter(sent::sameKindAs).findFirst().orElse(sent);
    Set<Long> spikes = new HashSet<>();
    log.get(channel)
        .setAside()
        .forEach(sample -> spikes.add(PieceContent.micros(log.at(sample.at()))));
    Set<Long> conflicts = new HashSet<>();
    log.get(channel)
        .conflicts()
        .forEach(conflict -> conflicts.add(PieceContent.micros(log.at(conflict.at()))));
    Map<Long, Settled> settled = new HashMap<>();
    log.get(channel)
        .settled()
        .forEach(one -> settled.put(PieceContent.micros(log.at(one.conflict().at())), one));
    Set<Long> seen = new HashSet<>();
    List<Logged> found = new ArrayList<>();
    for (Stored piece : pieces) {
      Samples samples = piece.content().channels().get(channel.code());
      double scale = samples == null ? 1 : Math.pow(10, samples.scale());
      for (int i = 0; samples != null && i < samples.count(); i++) {
        long micros = samples.micros()[i];
        Settled by = settled.get(micros);
        boolean overruled = by != null && !stands(by, samples.numbers()[i] / scale);
        boolean first = !overruled && seen.add(micros);
        found.add(
            new Logged(
                PieceContent.instant(micros),
                channel.code(),
                value(samples, i, sent, shown),
                shown.code(),
                conflicts.contains(micros)
                    ? Standing.CONFLICT
                    : overruled
                        ? Standing.OVERRULED
                        : !first
                            ? Standing.REPEATED
                            : spikes.contains(micros) ? Standing.SPIKE : Standing.USED,
                piece.key()));
      }
    }
    found.sort(BY_TIME);
    return found;
  }

  private static boolean stands(Settled by, double shown) {
    String piece = by.by().asked().stands();
    OptionalDouble value = piece == null ? OptionalDouble.empty() : by.conflict().of(piece);
    return value.isPresent() && value.getAsDouble() == shown;
  }

  private static BigDecimal value(Samples samples, int i, Unit sent, Unit shown) {
    BigDecimal value = BigDecimal.valueOf(samples.numbers()[i], samples.scale());
    return sent == shown ? value : Decimals.of(Unit.convert(value, sent, shown));
  }

  /** Of each stretch the first, the least, the greatest and the last; all that do not count. */
  private static List<Logged> thinned(List<Logged> all, int most) {
    List<Logged> used = all.stream().filter(one -> one.standing() == Standing.USED).toList();
    if (used.size() <= most) {
      return all;
    }
    Set<Integer> kept = new TreeSet<>();
    int stretches = Math.max(1, most / 4);
    for (int stretch = 0; stretch < stretches; stretch++) {
      int from = (int) ((long) stretch * used.size() / stretches);
      int until = (int) ((stretch + 1L) * used.size() / stretches);
      int least = from;
      int greatest = from;
      for (int i = from; i < until; i++) {
        least = used.get(i).value().compareTo(used.get(least).value()) < 0 ? i : least;
        greatest = used.get(i).value().compareTo(used.get(greatest).value()) > 0 ? i : greatest;
      }
      kept.addAll(List.of(from, least, greatest, until - 1));
    }
    List<Logged> found = new ArrayList<>();
    kept.forEach(i -> found.add(used.get(i)));
    all.stream().filter(one -> one.standing() != Standing.USED).forEach(found::add);
    found.sort(BY_TIME);
    return found;
  }

  /** Units that fit no channel that is wanted. */
  static List<Unit> unfit(Cure cure, Wanted wanted) {
    return wanted.units().stream()
        .filter(
            unit ->
                cure.channels().stream()
                    .filter(
                        one ->
                            wanted.channels().isEmpty() || wanted.channels().contains(one.code()))
                    .noneMatch(one -> one.sent().sameKindAs(unit)))
        .toList();
  }

  /** That a step began. */
  @Schema(name = "CureStepMark", description = "A mark that a step began.")
  record MarkView(
      @Schema(description = "Name of the step in the schedule.") String step,
      @Schema(description = "When it began, by the recorder's clock.") Instant at) {}

  /** The marks of steps in the window, in the order of time. */
  List<MarkView> marks(Wanted wanted) {
    return log.marks().stream()
        .map(mark -> new MarkView(mark.step(), PieceContent.instant(mark.micros())))
        .filter(mark -> wanted.from() == null || !mark.at().isBefore(wanted.from()))
        .filter(mark -> wanted.before() == null || mark.at().isBefore(wanted.before()))
        .toList();
  }
}
