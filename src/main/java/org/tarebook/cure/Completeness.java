package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.tarebook.cure.ChannelLog.Silence;
import org.tarebook.cure.Run.Part;
import org.tarebook.cure.Run.Steady;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.Measured.Physical;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;

/** What a log does not hold: channels that the schedule asks for, and times without samples. */
final class Completeness {

  private final ScheduleDefinition definition;
  private final Run run;
  private final CureLog log;

  Completeness(ScheduleDefinition definition, Run run, CureLog log) {
    this.definition = definition;
    this.run = run;
    this.log = log;
  }

  /**
   * The longest silence of a channel while set points were to be met, which leaves the load not
   * judged, and the longest one while none was, which is a remark: the equivalents take it into
   * account by themselves. Of a pressure the time from its last set point to the opening is looked
   * at too, as a remark: nothing is held against it then, and it shows when it was let go.
   */
  List<Reason> gaps(Channel channel) {
    Run.Stretch need = run.need(channel, definition).orElse(null);
    if (need == null) {
      return List.of();
    }
    List<Steady> steady = run.steady(measured -> true);
    List<Silence> held = new ArrayList<>();
    List<Silence> others = new ArrayList<>();
    for (Silence silence : log.get(channel).silences(need.from(), need.until(), run.largestGap())) {
      boolean meets =
          !run.sure()
              || steady.stream()
                  .anyMatch(one -> one.from() < silence.until() && silence.from() < one.until());
      (meets ? held : others).add(silence);
    }
    if (channel.measured().physical() == Physical.PRESSURE && need.until() < run.opening()) {
      log.get(channel).silences(need.until(), run.opening(), run.largestGap()).stream()
          .filter(silence -> held.isEmpty() || held.get(held.size() - 1).from() < silence.from())
          .filter(silence -> !others.contains(silence))
          .forEach(others::add);
    }
    List<Reason> found = new ArrayList<>();
    gap(channel, held, Reason.Weight.DOUBT, ".", found);
    gap(channel, others, Reason.Weight.REMARK, ", while no set point was to be met.", found);
    return found;
  }

  private void gap(
      Channel channel,
      List<Silence> silences,
      Reason.Weight weight,
      String when,
      List<Reason> found) {
    double allowed = log.get(channel).knownFor(run.largestGap());
    silences.stream()
        .max(Comparator.comparingDouble(Silence::length))
        .ifPresent(
            worst -> {
              Reason.Draft draft =
                  Reason.of(
                          Reason.Code.GAP,
                          weight,
                          Words.capital(channel.words())
                              + (log.get(channel).disputed(worst.from(), worst.until())
                                  ? " has no believed samples for "
                                  : " has no samples for ")
                              + Words.seconds(worst.length(), allowed)
                              + (channel.heartbeat() == null ? ", allowed " : ", its heartbeat is ")
                              + Words.seconds(allowed)
                              + (silences.size() == 1 ? "" : "; " + silences.size() + " gaps")
                              + when)
                      .on(channel)
                      .from(log.at(worst.from()), log.at(worst.until()))
                      .amount(worst.length(), Unit.SECOND.code())
                      .wanted(allowed);
              found.add((channel.heartbeat() == null ? draft.line("/largestGap") : draft).done());
            });
  }

  /** Channels that the schedule has set points for and that do not serve a cavity. */
  List<Reason> missing(List<Channel> serving) {
    List<Reason> found = new ArrayList<>();
    Set<String> told = new HashSet<>();
    for (Part part : run.parts()) {
      for (int i = 0; i < part.step().setPoints().size(); i++) {
        SetPoint setPoint = part.step().setPoints().get(i);
        String what =
            setPoint.measured().words()
                + (setPoint.circuitEnd() == null
                    ? ""
                    : " (" + setPoint.circuitEnd().name().toLowerCase(Locale.ROOT) + ")");
        if (serving.stream().noneMatch(channel -> channel.meantBy(setPoint)) && told.add(what)) {
          found.add(
              Reason.of(
                      Reason.Code.CHANNEL_MISSING,
                      Reason.Weight.DOUBT,
                      "No channel serves this cavity with its " + what + ".")
                  .during(part.step().name())
                  .line(part.line(i))
                  .done());
        }
      }
    }
    return found;
  }
}
