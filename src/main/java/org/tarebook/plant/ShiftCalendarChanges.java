package org.tarebook.plant;

import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.ShiftCalendarChange.Action;
import org.tarebook.storage.CatchUp;
import org.tarebook.storage.Ids;

/**
 * Records, retires and reinstates shift calendars. What cuts no reading on record comes into use at
 * once. Anything else takes a reason, and comes into use when the readings have been cut again;
 * until then no other change is taken.
 */
@Service
class ShiftCalendarChanges {

  private final ShiftCalendars calendars;
  private final ShiftCalendarChangeStore store;
  private final CutReadings readings;
  private final CutStudies studies;
  private final Register.Tools tools;
  private final Ids ids;
  private final ZoneId fallbackZone;

  ShiftCalendarChanges(
      ShiftCalendars calendars,
      ShiftCalendarChangeStore store,
      CutReadings readings,
      CutStudies studies,
      Register.Tools tools,
      Ids ids,
      @Value("${tarebook.zone}") ZoneId fallbackZone) {
    this.calendars = calendars;
    this.store = store;
    this.readings = readings;
    this.studies = studies;
    this.tools = tools;
    this.ids = ids;
    this.fallbackZone = fallbackZone;
  }

  /**
   * What a change would cut again.
   *
   * @param recut where it cuts otherwise; absent where no day is cut otherwise
   */
  record Preview(Shifts.@Nullable Recut recut, CutReadings.Counts counts, long keptStudies) {}

  /** A change that cut readings again, and how far that is. */
  record Done(ShiftCalendarChange change, CatchUp.@Nullable Progress progress) {}

  /** What recording a calendar would cut again; nothing is written. */
  Preview preview(Supplier<ShiftCalendar> fresh) {
    return preview(all -> recut(all, fresh.get(), true));
  }

  /** What retiring or reinstating a calendar would cut again; nothing is written. */
  Preview preview(String code, boolean retired) {
    return preview(
        all -> {
          ShiftCalendar calendar = calendars.get(code);
          return calendar.retired() == retired ? Optional.empty() : recut(all, calendar, !retired);
        });
  }

  private interface Cut {
    Optional<Shifts.Recut> of(List<ShiftCalendar> all);
  }

  private Preview preview(Cut cut) {
    return tools
        .transactions()
        .snapshot(
            () -> {
              List<ShiftCalendar> all = calendars.all();
              requireNoneChanging(all);
              return count(cut.of(all).orElse(null));
            });
  }

  private Preview count(Shifts.@Nullable Recut recut) {
    return recut == null
        ? new Preview(null, new CutReadings.Counts(0, 0, 0, 0, 0), 0)
        : new Preview(recut, readings.count(recut), studies.count(recut));
  }

  /** Records a calendar. */
  ShiftCalendar record(
      Object request, @Nullable String reason, Supplier<ShiftCalendar> fresh, Actor actor) {
    return explained(
        "/api/v1/shift-calendars/preview",
        () ->
            tools
                .transactions()
                .write(
                    () -> {
                      Instant at = readings.lock().at();
                      List<ShiftCalendar> all = calendars.all();
                      requireNoneChanging(all);
                      ShiftCalendar calendar = fresh.get();
                      Optional<Shifts.Recut> cut = cut(recut(all, calendar, true), reason);
                      if (cut.isEmpty()) {
                        calendar.settle(at);
                      }
                      ShiftCalendar stored = calendars.add(calendar, actor, request);
                      cut.ifPresent(
                          recut -> cutAgain(stored, Action.RECORDED, reason, recut, at, actor));
                      return stored;
                    }));
  }

  /** Renames, retires or reinstates a calendar, if it is still the version the client read. */
  ShiftCalendar change(
      String code,
      @Nullable String ifMatch,
      ShiftCalendarController.Change request,
      @Nullable String reason,
      Actor actor) {
    return explained(
        "/api/v1/shift-calendars/" + code + "/preview",
        () ->
            calendars.change(
                code,
                ifMatch,
                request,
                calendar -> {
                  if (calendar.retired() == request.retired()) {
                    calendar.change(request.name(), request.retired(), tools.clock().instant());
                  } else {
                    change(calendar, request, reason, actor);
                  }
                },
                actor));
  }

  private void change(
      ShiftCalendar calendar,
      ShiftCalendarController.Change request,
      @Nullable String reason,
      Actor actor) {
    Instant at = readings.lock().at();
    List<ShiftCalendar> all = calendars.all();
    requireNoneChanging(all);
    boolean inUse = !request.retired();
    Optional<Shifts.Recut> cut = cut(recut(all, calendar, inUse), reason);
    calendar.change(request.name(), request.retired(), at);
    if (cut.isEmpty()) {
      calendar.settle(at);
    } else {
      Action action = inUse ? Action.REINSTATED : Action.RETIRED;
      cutAgain(calendar, action, reason, cut.get(), at, actor);
    }
  }

  /** Runs a change; one that lacks a reason is refused with what it would cut again. */
  private ShiftCalendar explained(String address, Supplier<ShiftCalendar> change) {
    try {
      return change.get();
    } catch (Unexplained unexplained) {
      Preview preview = tools.transactions().snapshot(() -> count(unexplained.recut));
      throw Problem.at(
          ProblemType.RULE_BROKEN, "/reason", needed(unexplained.recut, preview, address));
    }
  }

  /** Counted when the locks of the charts are free again, since counting takes a while. */
  private static final class Unexplained extends RuntimeException {
    private final transient Shifts.Recut recut;

    Unexplained(Shifts.Recut recut) {
      this.recut = recut;
    }
  }

  private static String needed(Shifts.Recut recut, Preview preview, String address) {
    CutReadings.Counts counts = preview.counts();
    return ("is missing. This change moves readings on record into other shifts: %,d readings of %,d"
            + " charts, measured from %s %s, with %,d judged shifts, %,d signals, %,d limit sets and"
            + " %,d kept studies. Send the same request with a reason to have them cut again; POST %s"
            + " shows this and writes nothing.")
        .formatted(
            counts.readings(),
            counts.charts(),
            recut.from().equals(Instant.EPOCH) ? "the first" : recut.from(),
            recut.before() == null ? "on" : "until " + recut.before(),
            counts.judgedShifts(),
            counts.signals(),
            counts.limitSets(),
            preview.keptStudies(),
            address);
  }

  private Optional<Shifts.Recut> recut(
      List<ShiftCalendar> all, ShiftCalendar changed, boolean inUse) {
    return new Shifts(all, fallbackZone).recut(Shifts.changed(all, fallbackZone, changed, inUse));
  }

  /** Where a change cuts readings on record, under the locks of all charts. */
  private Optional<Shifts.Recut> cut(Optional<Shifts.Recut> recut, @Nullable String reason) {
    Optional<Shifts.Recut> cut = recut.filter(readings::any);
    if (cut.isPresent() && (reason == null || reason.isBlank())) {
      throw new Unexplained(cut.get());
    }
    return cut;
  }

  private void cutAgain(
      ShiftCalendar calendar,
      Action action,
      @Nullable String reason,
      Shifts.Recut recut,
      Instant at,
      Actor actor) {
    ShiftCalendarChange change =
        new ShiftCalendarChange(
            ids.next(),
            calendar.id(),
            action,
            Objects.requireNonNull(reason),
            actor.name(),
            at,
            recut.from(),
            recut.before(),
            null);
    store.insert(change);
    readings.cutAgain(change.id());
  }

  private static void requireNoneChanging(List<ShiftCalendar> all) {
    all.stream()
        .filter(ShiftCalendar::changing)
        .findFirst()
        .ifPresent(
            calendar -> {
              throw new Problem(
                  ProblemType.CONFLICT,
                  "Readings are still being cut again because of shift calendar "
                      + calendar.code()
                      + "; wait until its last change is FINISHED (GET /api/v1/shift-calendars/"
                      + calendar.code()
                      + "), then send this again.");
            });
  }

  /** The changes of each calendar that cut readings again, by its id, in order. */
  Map<Long, List<Done>> done() {
    Map<Long, CatchUp.Progress> progress = readings.progress();
    return store.all().stream()
        .collect(
            Collectors.groupingBy(
                ShiftCalendarChange::calendarId,
                Collectors.mapping(
                    change -> new Done(change, progress.get(change.id())), Collectors.toList())));
  }
}
