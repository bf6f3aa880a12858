package org.tarebook.cure;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.cure.Run.Part;
import org.tarebook.cure.Run.Steady;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Measured.Physical;
import org.tarebook.schedule.PressureKind;

/** Holds what a channel logged against the set points of the schedule, and steps against times. */
final class SetPoints {

  private SetPoints() {}

  /** The breaches of one channel in all steps. */
  static List<Reason> of(ChannelLog log, Run run, CureLog cure) {
    List<Reason> found = new ArrayList<>();
    for (Steady steady : run.steady(measured -> measured == log.channel().measured())) {
      if (log.channel().meantBy(steady.setPoint())) {
        breach(log, steady, cure).map(reason -> sure(reason, steady.part())).ifPresent(found::add);
      }
    }
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
      if (part.length() < least) {
        found.add(
            duration(
                part, cure, Reason.Code.STEP_SHORT, least, "shorter than the least", "/least"));
      } else if (part.length() > most) {
        found.add(
            sure(
                duration(part, cure, Reason.Code.STEP_LONG, most, "longer than the most", "/most"),
                part));
      }
    }
    return found;
  }

  private static Reason sure(Reason reason, Part part) {
    return part.sure()
        ? reason
        : reason.unproven("the step behind " + part.step().name() + " is not marked");
  }

  private static Reason duration(
      Part part, CureLog cure, Reason.Code code, double limit, String how, String member) {
    return Reason.of(
            code,
            Reason.Weight.BREACH,
            "Step "
                + part.step().name()
                + " took "
                + Words.seconds(part.length())
                + ", "
                + how
                + " of "
                + Words.seconds(limit)
                + ".")
        .during(part.step().name())
        .from(cure.at(part.from()), cure.at(part.until()))
        .amount(part.length(), Unit.SECOND.code())
        .wanted(limit)
        .line("/steps/" + part.index() + member)
        .done();
  }

  private static Optional<Reason> breach(ChannelLog log, Steady steady, CureLog cure) {
    Band band = new Band(steady.setPoint(), log.channel(), cure.barometer());
    double tolerated =
        steady.setPoint().tolerated() == null
            ? 0
            : steady.setPoint().tolerated().toMillis() / 1000.0;
    Breach breach = new Breach(tolerated, steady.until());
    boolean hold = log.channel().recording() == Recording.ON_CHANGE;
    int first = log.first(steady.from());
    if (hold
        && first > 0
        && (first == log.seconds().length || log.seconds()[first] > steady.from())) {
      breach.take(steady.from(), band.outside(log.shown()[first - 1]));
    }
    for (int i = first; i < log.seconds().length && log.seconds()[i] < steady.until(); i++) {
      if (!log.spikes().contains(i)) {
        breach.take(log.seconds()[i], band.outside(log.shown()[i]));
      }
    }
    breach.end();
    return breach.worst == 0
        ? Optional.empty()
        : Optional.of(reason(log, steady, band, breach, cure));
  }

  private static Reason reason(
      ChannelLog log, Steady steady, Band band, Breach breach, CureLog cure) {
    boolean below = breach.worst < 0;
    BigDecimal limit = below ? steady.setPoint().lower() : steady.setPoint().upper();
    boolean startsOutside = breach.first <= breach.seen;
    boolean toTheEnd = breach.last >= steady.until();
    boolean everInside = breach.inside;
    Reason.Code code = Reason.Code.SET_POINT;
    String what = "was out of its band";
    if (below && startsOutside && !toTheEnd && breach.runs == 1 && everInside) {
      code = Reason.Code.REACHED_LATE;
      what = "reached its band late";
    } else if (below
        && toTheEnd
        && everInside
        && breach.runs == 1
        && steady.setPoint().measured().physical() == Physical.PRESSURE
        && steady.setPoint().measured().internal()
        && steady.part().step().kind().beforeRelease()
        && fallsToNothing(log, steady, band)) {
      code = Reason.Code.RELEASED_EARLY;
      what = "was let go before the step had ended";
    }
    String unit = band.unit().label() + kind(steady);
    double extreme = limit.doubleValue() + breach.worst;
    return Reason.of(
            code,
            Reason.Weight.BREACH,
            Words.capital(log.channel().words())
                + " "
                + what
                + " in step "
                + steady.part().step().name()
                + ": "
                + Words.number(extreme)
                + " "
                + unit
                + (below ? " at the lowest, wanted at least " : " at the highest, wanted at most ")
                + limit.toPlainString()
                + " "
                + unit
                + ", for "
                + Words.seconds(breach.total)
                + ".")
        .on(log.channel())
        .during(steady.part().step().name())
        .from(cure.at(breach.first), cure.at(breach.last))
        .amount(extreme, band.unit().code())
        .wanted(limit.doubleValue())
        .line(steady.line())
        .done();
  }

  private static String kind(Steady steady) {
    PressureKind kind = steady.setPoint().pressure();
    return kind == null ? "" : kind == PressureKind.GAUGE ? " gauge" : " absolute";
  }

  /** Whether a pressure falls below half of its target before the step ends. */
  private static boolean fallsToNothing(ChannelLog log, Steady steady, Band band) {
    int end = log.first(steady.until());
    return end > 0
        && band.written(log.shown()[end - 1]) < steady.setPoint().target().doubleValue() / 2;
  }

  /** Runs of samples outside a band. */
  private static final class Breach {
    private final double tolerated;
    private final double until;
    private double first = Double.NaN;
    private double last;
    private double total;
    private double worst;
    private int runs;
    private boolean inside;
    private double seen = Double.NaN;
    private double runFrom = Double.NaN;
    private double runWorst;

    Breach(double tolerated, double until) {
      this.tolerated = tolerated;
      this.until = until;
    }

    void take(double at, double outside) {
      if (Double.isNaN(seen)) {
        seen = at;
      }
      if (outside == 0) {
        inside = true;
        endRun(at);
      } else {
        if (Double.isNaN(runFrom)) {
          runFrom = at;
          runWorst = 0;
        }
        runWorst = Math.abs(outside) > Math.abs(runWorst) ? outside : runWorst;
      }
    }

    void end() {
      endRun(until);
    }

    private void endRun(double at) {
      if (Double.isNaN(runFrom)) {
        return;
      }
      if (at - runFrom > tolerated || tolerated == 0) {
        first = Double.isNaN(first) ? runFrom : first;
        last = at;
        total += at - runFrom;
        worst = Math.abs(runWorst) > Math.abs(worst) ? runWorst : worst;
        runs++;
      }
      runFrom = Double.NaN;
    }
  }
}
