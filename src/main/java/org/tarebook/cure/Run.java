package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Stream;
import org.tarebook.cure.PieceContent.Mark;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;
import org.tarebook.schedule.ScheduleDefinition.Step;
import org.tarebook.schedule.ScheduleDefinition.WantedOfMedium;
import org.tarebook.schedule.StepKind;

/**
 * The steps of a schedule as they were run, in seconds from the start of the cure: by the marks of
 * the log where it has any, else by the target times of the schedule.
 *
 * @param marked whether the log has marks
 * @param unmarked names of steps without a mark, in a log that has others
 * @param disordered names of steps marked after a later step, a second time, or after the end
 * @param end when the cure ended: its closing, or while it runs its last sample
 * @param largestGap seconds between two samples beyond which nothing is known between them
 * @param pressureGone when the pressure inside is known to have been gone, whatever the marks say;
 *     infinite where nothing shows it
 */
record Run(
    List<Part> parts,
    boolean marked,
    Set<String> unmarked,
    Set<String> disordered,
    double end,
    double largestGap,
    double pressureGone) {

  /** Of the rows of a channel that have a mark, where its recorder names the step on each. */
  private static final double NEARLY_EVERY = 0.9;

  /** Fewer rows than these do not show how a recorder writes. */
  private static final int FEWEST_ROWS = 5;

  /** A run in which nothing shows that the pressure was let go before its mark. */
  Run(
      List<Part> parts,
      boolean marked,
      Set<String> unmarked,
      Set<String> disordered,
      double end,
      double largestGap) {
    this(parts, marked, unmarked, disordered, end, largestGap, Double.POSITIVE_INFINITY);
  }

  /** The same where the pressure inside is known to be gone from a moment on. */
  Run releasedAt(double moment) {
    return new Run(parts, marked, unmarked, disordered, end, largestGap, moment);
  }

  /**
   * One step as it was run.
   *
   * @param sure whether its end is: the mark after it is of the next step, or it is the last, and
   *     no other mark contradicts it. In a log without marks no end is, though the schedule may
   *     state that its press sends none: a load passes by target times then, but fails by none
   */
  record Part(Step step, int index, double from, double until, boolean sure) {
    double length() {
      return until - from;
    }

    /** A breach seen in this step; not proven where its end is not marked. */
    Reason proven(Reason breach) {
      return sure
          ? breach
          : breach.unproven(
              "when step " + step.name() + " ended is not clear from the log's marks");
    }

    /** The place of a set point in the schedule. */
    String line(int setPoint) {
      return "/steps/" + index + "/setPoints/" + setPoint;
    }
  }

  /**
   * Part of a step in which a set point must be met.
   *
   * @param open whether a sample at its first moment belongs to the step before
   */
  record Steady(Part part, SetPoint setPoint, int place, double from, double until, boolean open) {
    String line() {
      return part.line(place);
    }
  }

  /**
   * Lays out the steps.
   *
   * @param end when the cure ended: its closing, or while it runs its last sample
   */
  static Run of(ScheduleDefinition definition, CureLog log, double end) {
    return log.marks().isEmpty() ? bySchedule(definition, end) : byMarks(definition, log, end);
  }

  /** The last step goes on until the cure ended, as it does in a log with marks. */
  private static Run bySchedule(ScheduleDefinition definition, double end) {
    List<Part> parts = new ArrayList<>();
    double from = 0;
    for (int i = 0; i < definition.steps().size(); i++) {
      Step step = definition.steps().get(i);
      double target = from + step.target().toMillis() / 1000.0;
      double until = i + 1 < definition.steps().size() ? target : Math.max(target, end);
      parts.add(new Part(step, i, from, until, false));
      from = until;
    }
    return new Run(parts, false, Set.of(), Set.of(), end, largestGap(definition));
  }

  private static Run byMarks(ScheduleDefinition definition, CureLog log, double end) {
    Map<String, Integer> indexOf = new HashMap<>();
    for (int i = 0; i < definition.steps().size(); i++) {
      indexOf.put(definition.steps().get(i).name(), i);
    }
    List<Part> parts = new ArrayList<>();
    Set<String> disordered = new LinkedHashSet<>();
    int latest = -1;
    int contradicted = Integer.MAX_VALUE;
    Set<String> unmarked = new LinkedHashSet<>(indexOf.keySet());
    List<Mark> marks = namesEachRow(log) ? firsts(log.marks()) : log.marks();
    long zero = PieceContent.micros(log.zero());
    for (int i = 0; i < marks.size(); i++) {
      Mark mark = marks.get(i);
      Integer index = indexOf.get(mark.step());
      if (index == null) {
        continue;
      }
      unmarked.remove(mark.step());
      if (index <= latest) {
        disordered.add(mark.step());
        contradicted = Math.min(contradicted, index);
      }
      latest = Math.max(latest, index);
      double from = (mark.micros() - zero) / 1e6;
      double until = i + 1 < marks.size() ? (marks.get(i + 1).micros() - zero) / 1e6 : end;
      boolean sure =
          i + 1 < marks.size()
              ? Objects.equals(indexOf.get(marks.get(i + 1).step()), index + 1)
              : index + 1 == definition.steps().size();
      if (from > end + Excursion.MOMENT) {
        disordered.add(mark.step());
        contradicted = Math.min(contradicted, index);
      }
      parts.add(new Part(definition.steps().get(index), index, from, Math.max(from, until), sure));
    }
    return new Run(
        believed(parts, contradicted), true, unmarked, disordered, end, largestGap(definition));
  }

  /**
   * Steps from the first one on that another mark contradicts are not sure, nor is the one before
   * it, which ends with that mark.
   */
  private static List<Part> believed(List<Part> parts, int contradicted) {
    int first = 0;
    while (first < parts.size() && parts.get(first).index() < contradicted) {
      first++;
    }
    int sure = first == parts.size() ? first : Math.max(0, first - 1);
    List<Part> believed = new ArrayList<>(parts.subList(0, sure));
    for (Part part : parts.subList(sure, parts.size())) {
      believed.add(new Part(part.step(), part.index(), part.from(), part.until(), false));
    }
    return believed;
  }

  /**
   * Whether a recorder names the step on each row, and not only where a step begins: then some
   * channel has a mark at nearly every moment of its samples. Else a mark that repeats the one
   * before it says that the step began a second time.
   */
  private static boolean namesEachRow(CureLog log) {
    Set<Long> marked = new HashSet<>();
    log.marks().forEach(mark -> marked.add(mark.micros()));
    long zero = PieceContent.micros(log.zero());
    double first = (log.marks().get(0).micros() - zero) / 1e6;
    double last = (log.marks().get(log.marks().size() - 1).micros() - zero) / 1e6;
    for (ChannelLog one : log.channels().values()) {
      long[] moments =
          Arrays.stream(one.seconds())
              .filter(at -> at >= first && at <= last)
              .mapToLong(at -> zero + Math.round(at * 1e6))
              .toArray();
      long named = Arrays.stream(moments).filter(marked::contains).count();
      if (moments.length >= FEWEST_ROWS && named >= NEARLY_EVERY * moments.length) {
        return true;
      }
    }
    return false;
  }

  /** Marks without those that repeat the one before: some recorders name the step on each row. */
  private static List<Mark> firsts(List<Mark> marks) {
    List<Mark> firsts = new ArrayList<>();
    for (Mark mark : marks) {
      if (firsts.isEmpty() || !firsts.get(firsts.size() - 1).step().equals(mark.step())) {
        firsts.add(mark);
      }
    }
    return firsts;
  }

  private static double largestGap(ScheduleDefinition definition) {
    return definition.largestGap().toMillis() / 1000.0;
  }

  /** As far as it has come while the load runs: without what its schedule has for later. */
  Run upTo(double moment) {
    double now = Math.max(0, moment);
    List<Part> begun =
        parts.stream()
            .filter(part -> part.from() <= now)
            .map(
                part ->
                    new Part(
                        part.step(),
                        part.index(),
                        part.from(),
                        Math.min(part.until(), now),
                        part.sure()))
            .toList();
    return new Run(begun, marked, unmarked, disordered, now, largestGap, pressureGone);
  }

  /** Whether it is known when each step began and ended. */
  boolean sure() {
    return disordered.isEmpty() && parts.stream().allMatch(Part::sure);
  }

  /** What a channel did while a set point was to be met. */
  Course course(ChannelLog log, Steady steady) {
    return new Course(
        log, steady.part().from(), steady.from(), steady.until(), steady.open(), largestGap);
  }

  /** When the first step of some kind began. */
  Optional<Double> start(Predicate<StepKind> kind) {
    return parts.stream().filter(part -> kind.test(part.step().kind())).map(Part::from).findFirst();
  }

  /**
   * When the pressure inside was let go: the first release, or else the opening; no later than the
   * end of the cure, which nothing that was logged later belongs to, nor than it is known to have
   * been gone.
   */
  double release() {
    return Math.min(pressureGone, releaseMark());
  }

  /** The same by the steps alone, whatever the pressure was. */
  double releaseMark() {
    return Math.min(start(kind -> !kind.beforeRelease()).orElse(end), end);
  }

  /** When the press opened; no later than the end of the cure. */
  double opening() {
    return Math.min(start(kind -> !kind.inPress()).orElse(end), end);
  }

  /** How long steps of a kind took, together. */
  double length(StepKind kind) {
    return parts.stream()
        .filter(part -> part.step().kind() == kind)
        .mapToDouble(Part::length)
        .sum();
  }

  /** A stretch of time. */
  record Stretch(double from, double until) {}

  /**
   * While a channel is needed: from the first to the last step that has a set point for it, and for
   * the temperatures that heat the tyre from the start to the opening.
   */
  Optional<Stretch> need(Channel channel, ScheduleDefinition definition) {
    double first = Double.POSITIVE_INFINITY;
    double last = Double.NEGATIVE_INFINITY;
    for (Part part : parts) {
      if (part.step().setPoints().stream().anyMatch(channel::meantBy)) {
        first = Math.min(first, part.from());
        last = Math.max(last, part.until());
      }
    }
    Stream<Medium> heating =
        definition.section() != null
            ? Stream.of(Medium.values())
            : definition.mediaOrNone().stream().map(WantedOfMedium::medium);
    if (heating.anyMatch(medium -> medium.isShownBy(channel.measured()))) {
      first = Math.min(first, 0);
      last = Math.max(last, opening());
    }
    return first < last ? Optional.of(new Stretch(first, last)) : Optional.empty();
  }

  /** As moments of samples are written, so that a sum meets the sample that lies on it. */
  private static double toMicroseconds(double seconds) {
    return Math.rint(seconds * 1e6) / 1e6;
  }

  /** Where set points of a kind of channel must be met, settling times taken off. */
  List<Steady> steady(Predicate<Measured> measured) {
    List<Steady> found = new ArrayList<>();
    for (Part part : parts) {
      for (int i = 0; i < part.step().setPoints().size(); i++) {
        SetPoint setPoint = part.step().setPoints().get(i);
        if (!measured.test(setPoint.measured())) {
          continue;
        }
        double settle = setPoint.settle() == null ? 0 : setPoint.settle().toMillis() / 1000.0;
        double settled = settle == 0 ? part.from() : toMicroseconds(part.from() + settle);
        if (settled < part.until()) {
          boolean open = settle == 0 && !part.equals(parts.get(0));
          found.add(new Steady(part, setPoint, i, settled, part.until(), open));
        }
      }
    }
    return found;
  }

  /** The step that runs at a moment. */
  Optional<Part> at(double moment) {
    return parts.stream()
        .filter(part -> part.from() <= moment && moment < part.until())
        .reduce((earlier, later) -> later);
  }
}
