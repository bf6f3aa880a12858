package org.tarebook.cure;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.Run.Part;
import org.tarebook.cure.Run.Steady;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Measured.Physical;
import org.tarebook.schedule.PressureKind;

/** Holds what a channel logged against the set points of the schedule, and steps against times. */
final class SetPoints {

  /** So many excursions from one set point have a reason of their own. */
  private static final int MOST_TOLD = 10;

  private SetPoints() {}

  /** What is said of one channel in all steps. */
  static List<Reason> of(ChannelLog log, Run run, CureLog cure) {
    List<Reason> found = new ArrayList<>();
    for (Steady steady : run.steady(measured -> measured == log.channel().measured())) {
      if (log.channel().meantBy(steady.setPoint())) {
        for (Reason reason : hold(run.course(log, steady), steady, cure)) {
          found.add(steady.part().proven(reason));
        }
      }
    }
    found.addAll(AcrossMarks.of(log, run, cure));
    return found;
  }

  /** Steps that took too short or too long; only where the log has marks of them. */
  static List<Reason> durations(Run run, CureLog cure) {
    List<Reason> found = new ArrayList<>();
    if (!run.marked()) {
      return found;
    }
    for (Part part : run.parts()) {
      double least = part.step().least().toMillis() / 1000.0;
      double most = part.step().most().toMillis() / 1000.0;
      if (part.length() < least - Excursion.MOMENT) {
        Reason breach =
            duration(part, cure, Reason.Code.STEP_SHORT, least, "shorter than the least", "/least");
        // up to a later mark than that of the next step it was shorter still
        found.add(run.disordered().isEmpty() ? breach : part.proven(breach));
      } else if (part.length() > most + Excursion.MOMENT) {
        found.add(
            part.proven(
                duration(
                    part, cure, Reason.Code.STEP_LONG, most, "longer than the most", "/most")));
      }
    }
    return found;
  }

  private static Reason duration(
      Part part, CureLog cure, Reason.Code code, double limit, String how, String member) {
    return Reason.of(
            code,
            Reason.Weight.BREACH,
            "Step "
                + part.step().name()
                + " took "
                + Words.seconds(part.length(), limit)
                + ", "
                + how
                + " of "
                + Words.seconds(limit)
                + ".")
        .during(part.step().name())
        .from(cure.at(part.from()), cure.at(part.until()))
        .amount(part.length(), Unit.SECOND.code())
        .wanted(limit)
        .by(Reason.Rule.MARKS)
        .line("/steps/" + part.index() + member)
        .done();
  }

  /** Holds the course of a channel against one set point; one reason for each excursion. */
  private static List<Reason> hold(Course course, Steady steady, CureLog cure) {
    if (course.log().empty()) {
      return List.of(); // its log has a gap, which is a reason of its own
    }
    if (course.unseen()) {
      return List.of(notSampled(course, steady, cure));
    }
    Band band = new Band(steady.setPoint(), course.log().channel(), cure.barometer());
    double tolerated =
        steady.setPoint().tolerated() == null
            ? 0
            : steady.setPoint().tolerated().toMillis() / 1000.0;
    List<Told> found = new ArrayList<>();
    List<Excursion> excursions = course.outside(band);
    for (Excursion excursion : excursions) {
      if (excursion.provenBeyond(tolerated)) {
        found.add(new Told(excursion, breach(course, steady, band, excursion, cure)));
      } else if (excursion.possibleBeyond(tolerated) && !excursion.seen()) {
        found.add(new Told(excursion, suspected(course, steady, band, excursion, cure)));
      } else if (excursion.possibleBeyond(tolerated)) {
        found.add(
            new Told(
                excursion,
                breach(course, steady, band, excursion, cure)
                    .unproven(
                        (excursion.proven() == 0
                                ? "it is known for a moment only and possible for "
                                : "it is known for "
                                    + Words.seconds(excursion.proven(), tolerated)
                                    + " without a break and possible for ")
                            + Words.seconds(excursion.possible(), tolerated)
                            + ", tolerated "
                            + Words.seconds(tolerated))));
      }
    }
    List<Reason> told =
        found.size() <= MOST_TOLD
            ? new ArrayList<>(found.stream().map(Told::reason).toList())
            : shortened(found);
    if (excursions.size() > 1) {
      told.add(inAll(course, steady, excursions, cure));
    }
    return told;
  }

  /** All excursions of a step together, held against what the schedule tolerates in all. */
  private static Reason inAll(
      Course course, Steady steady, List<Excursion> excursions, CureLog cure) {
    double known = excursions.stream().mapToDouble(Excursion::known).sum();
    double possible = excursions.stream().mapToDouble(Excursion::possible).sum();
    Duration most = steady.setPoint().toleratedTotal();
    double limit = most == null ? Double.POSITIVE_INFINITY : most.toMillis() / 1000.0;
    Channel channel = course.log().channel();
    Reason.Draft draft =
        Reason.of(
                Reason.Code.EXCURSIONS,
                known > limit + Excursion.MOMENT
                    ? Reason.Weight.BREACH
                    : possible > limit + Excursion.MOMENT
                        ? Reason.Weight.DOUBT
                        : Reason.Weight.REMARK,
                Words.capital(channel.words())
                    + (excursions.stream().anyMatch(Excursion::seen)
                        ? " was out of its band "
                        : " may have been out of its band ")
                    + excursions.size()
                    + " times in step "
                    + steady.part().step().name()
                    + (known == 0
                        ? ", which no sample shows; possible for "
                        : ", known for " + total(known, most) + " and possible for ")
                    + total(possible, most)
                    + " in all"
                    + (most == null ? "." : ", tolerated " + Words.seconds(limit) + "."))
            .on(channel)
            .during(steady.part().step().name())
            .from(
                cure.at(excursions.get(0).from()),
                cure.at(excursions.get(excursions.size() - 1).until()))
            .amount(known, Unit.SECOND.code())
            .by(Reason.Rule.COURSE);
    return (most == null
            ? draft.line(steady.line())
            : draft.wanted(limit).line(steady.line() + "/toleratedTotal"))
        .done();
  }

  private static String total(double seconds, @Nullable Duration most) {
    return most == null ? Words.seconds(seconds) : Words.seconds(seconds, most.toMillis() / 1000.0);
  }

  /** The sample beyond a mark is outside, the last or first of the step is not. */
  private static Reason suspected(
      Course course, Steady steady, Band band, Excursion excursion, CureLog cure) {
    boolean below = excursion.worst() < 0;
    BigDecimal limit = below ? steady.setPoint().lower() : steady.setPoint().upper();
    Channel channel = course.log().channel();
    double beyond = limit.doubleValue() + excursion.worst();
    return Reason.of(
            Reason.Code.SET_POINT,
            Reason.Weight.DOUBT,
            Words.capital(channel.words())
                + " may have been out of its band for up to "
                + Words.seconds(excursion.possible())
                + (excursion.toEnd() ? " at the end" : " at the start")
                + " of step "
                + steady.part().step().name()
                + ": its samples in the step are inside, and the one beyond the mark is "
                + Words.number(beyond, limit.doubleValue())
                + " "
                + band.unit().label()
                + kind(steady)
                + ". Sample at the marks, or state the time that is tolerated.")
        .on(channel)
        .during(steady.part().step().name())
        .from(cure.at(excursion.from()), cure.at(excursion.until()))
        .amount(beyond, band.unit().code())
        .wanted(limit.doubleValue())
        .by(Reason.Rule.COURSE)
        .line(steady.line())
        .done();
  }

  /** An excursion and what is said of it. */
  private record Told(Excursion excursion, Reason reason) {}

  /** The excursions known for longest; the first of them says how many there were. */
  private static List<Reason> shortened(List<Told> all) {
    List<Reason> told =
        new ArrayList<>(
            all.stream()
                .sorted(
                    Comparator.comparing(
                            (Told one) -> one.reason().weight() != Reason.Weight.BREACH)
                        .thenComparing(one -> -one.excursion().known())
                        .thenComparing(one -> -one.excursion().possible()))
                .limit(MOST_TOLD)
                .map(Told::reason)
                .toList());
    told.set(
        0,
        told.get(0).with(" One of " + all.size() + "; the longest " + MOST_TOLD + " are listed."));
    return told;
  }

  /** How long it is known to have lasted, and how long it may have; gaps are only possible. */
  private static String lasting(Excursion excursion) {
    if (excursion.known() == 0 && excursion.possible() > Excursion.MOMENT) {
      return ", at a moment, and possible for " + Words.seconds(excursion.possible());
    }
    return excursion.possible() <= excursion.known() + Excursion.MOMENT
        ? ", for " + Words.seconds(excursion.known())
        : ", known for "
            + Words.seconds(excursion.known(), excursion.possible())
            + " and possible for "
            + Words.seconds(excursion.possible(), excursion.known());
  }

  private static Reason notSampled(Course course, Steady steady, CureLog cure) {
    Channel channel = course.log().channel();
    return Reason.of(
            Reason.Code.STEP_NOT_SAMPLED,
            Reason.Weight.DOUBT,
            Words.capital(channel.words())
                + " has no sample in step "
                + steady.part().step().name()
                + " while its set point was to be met.")
        .on(channel)
        .during(steady.part().step().name())
        .from(cure.at(steady.from()), cure.at(steady.until()))
        .line(steady.line())
        .done();
  }

  private static Reason breach(
      Course course, Steady steady, Band band, Excursion excursion, CureLog cure) {
    boolean below = excursion.worst() < 0;
    BigDecimal limit = below ? steady.setPoint().lower() : steady.setPoint().upper();
    Reason.Code code = Reason.Code.SET_POINT;
    String what = "was out of its band";
    if (below && excursion.fromStart() && !excursion.toEnd()) {
      code = Reason.Code.REACHED_LATE;
      what = "reached its band late";
    } else if (below
        && excursion.toEnd()
        && !excursion.fromStart()
        && letGo(course, steady, band)) {
      code = Reason.Code.RELEASED_EARLY;
      what = "was let go before the step had ended";
    }
    String unit = band.unit().label() + kind(steady);
    double extreme = limit.doubleValue() + excursion.worst();
    Channel channel = course.log().channel();
    return Reason.of(
            code,
            Reason.Weight.BREACH,
            Words.capital(channel.words())
                + " "
                + what
                + " in step "
                + steady.part().step().name()
                + ": "
                + Words.number(extreme, limit.doubleValue())
                + " "
                + unit
                + (below ? " at the lowest, wanted at least " : " at the highest, wanted at most ")
                + limit.toPlainString()
                + " "
                + unit
                + lasting(excursion)
                + ".")
        .on(channel)
        .during(steady.part().step().name())
        .from(cure.at(excursion.from()), cure.at(excursion.until()))
        .amount(extreme, band.unit().code())
        .wanted(limit.doubleValue())
        .by(Reason.Rule.COURSE)
        .line(steady.line())
        .done();
  }

  /** Whether an internal pressure falls below half of its target before the step ends. */
  private static boolean letGo(Course course, Steady steady, Band band) {
    return steady.setPoint().measured().physical() == Physical.PRESSURE
        && steady.setPoint().measured().internal()
        && steady.part().step().kind().beforeRelease()
        && band.written(course.last()) < steady.setPoint().target().doubleValue() / 2;
  }

  private static String kind(Steady steady) {
    PressureKind kind = steady.setPoint().pressure();
    return kind == null ? "" : kind == PressureKind.GAUGE ? " gauge" : " absolute";
  }
}
