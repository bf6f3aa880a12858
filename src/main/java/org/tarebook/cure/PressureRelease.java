package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tarebook.cure.Run.Part;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.PressureKind;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;

/**
 * When the pressure inside was let go, by its own channels beside the marks of the log. It is gone
 * where it is known to lie below half of the gauge pressure that it was held at, and stayed there
 * until the mark of the release. What it was held at is the target of the step, or of the last step
 * before it that has one, or else the highest mean of a minute that was logged.
 */
final class PressureRelease {

  private final Run run;
  private final CureLog cure;
  private final List<Gone> gone = new ArrayList<>();
  private final List<ChannelLog> held = new ArrayList<>();
  private boolean fell;

  /** From when on the pressure is known to be gone by one channel. */
  private record Gone(ChannelLog log, double at) {}

  /**
   * Looks at the pressure channels of one cavity.
   *
   * @param pressures logs of internal pressure that serve it and can be believed
   */
  PressureRelease(Run run, CureLog cure, List<ChannelLog> pressures) {
    this.run = run;
    this.cure = cure;
    if (run.start(kind -> !kind.beforeRelease()).isEmpty()) {
      return; // it has not come so far
    }
    double mark = run.releaseMark();
    for (ChannelLog log : pressures) {
      if (log.channel().measured() == Measured.INTERNAL_PRESSURE && !log.empty()) {
        lookAt(log, mark);
      }
    }
  }

  private void lookAt(ChannelLog log, double mark) {
    List<Part> parts =
        run.parts().stream()
            .filter(part -> part.step().kind().beforeRelease() && part.from() < mark)
            .toList();
    double at = mark;
    for (int i = parts.size() - 1; i >= 0; i--) {
      Part part = parts.get(i);
      double until = Math.min(part.until(), mark);
      OptionalDouble level = level(log, parts.subList(0, i + 1), mark);
      if (level.isEmpty() || until < at - Excursion.MOMENT || part.from() >= until) {
        break;
      }
      double from =
          new Course(log, 0, part.from(), until, false, run.largestGap())
              .belowFrom(cure.barometer() + level.getAsDouble() / 2);
      at = from;
      if (from > part.from() + Excursion.MOMENT) {
        break;
      }
    }
    gone.add(new Gone(log, at));
    OptionalDouble level = level(log, parts, mark);
    int after = log.first(Math.nextUp(mark));
    if (level.isPresent() && after < log.seconds().length) {
      double limit = cure.barometer() + level.getAsDouble() / 2;
      boolean falls = false;
      for (int i = after; i < log.media().length; i++) {
        falls |= log.media()[i] < limit;
      }
      fell |= falls;
      held.add(log);
    }
  }

  /** What the pressure was held at in the last of some steps, in kPa gauge. */
  private OptionalDouble level(ChannelLog log, List<Part> parts, double mark) {
    for (int i = parts.size() - 1; i >= 0; i--) {
      for (SetPoint setPoint : parts.get(i).step().setPoints()) {
        if (log.channel().meantBy(setPoint)) {
          double target =
              setPoint.target().doubleValue()
                  * Unit.of(setPoint.unit()).factorTo(Unit.KILOPASCAL).doubleValue();
          return OptionalDouble.of(
              setPoint.pressure() == PressureKind.ABSOLUTE ? target - cure.barometer() : target);
        }
      }
    }
    return MinuteMeans.of(new Course(log, 0, 0, mark, false, run.largestGap())).stream()
        .mapToDouble(mean -> mean.means()[0] - cure.barometer())
        .max();
  }

  /** When it was let go by every channel that shows it, in seconds from the start. */
  double at() {
    return gone.stream().mapToDouble(Gone::at).max().orElse(run.releaseMark());
  }

  /**
   * When it was let go by the channel that shows it first; empty where the channels agree within
   * the largest gap of a log.
   */
  OptionalDouble earliest() {
    OptionalDouble first = gone.stream().mapToDouble(Gone::at).min();
    return first.isPresent() && first.getAsDouble() < at() - run.largestGap()
        ? first
        : OptionalDouble.empty();
  }

  /** What is to be said of it: let go before its mark, or held until the closing. */
  List<Reason> reasons() {
    List<Reason> reasons = new ArrayList<>();
    double mark = run.releaseMark();
    beforeTheMark(mark).ifPresent(reasons::add);
    if (run.marked() && !held.isEmpty() && !fell && run.end() > mark + run.largestGap()) {
      ChannelLog log = held.get(0);
      reasons.add(
          Reason.of(
                  Reason.Code.PRESSURE_NOT_RELEASED,
                  Reason.Weight.REMARK,
                  Words.capital(log.channel().words())
                      + " never fell below half of what it was held at, from the mark of the release"
                      + " until the load closed: look at the valve, the mark or the sensor.")
              .on(log.channel())
              .from(cure.at(mark), cure.at(run.end()))
              .done());
    }
    return reasons;
  }

  private Optional<Reason> beforeTheMark(double mark) {
    return gone.stream()
        .max(Comparator.comparingDouble(Gone::at))
        .filter(last -> last.at() < mark - Excursion.MOMENT)
        .map(
            last ->
                Reason.of(
                        Reason.Code.RELEASED_BEFORE_MARK,
                        Reason.Weight.REMARK,
                        Words.capital(last.log().channel().words())
                            + " lay below half of what it was held at for the last "
                            + Words.seconds(mark - last.at())
                            + " before the mark of the release: the release counts from there.")
                    .on(last.log().channel())
                    .from(cure.at(last.at()), cure.at(mark))
                    .amount(mark - last.at(), Unit.SECOND.code())
                    .done());
  }
}
