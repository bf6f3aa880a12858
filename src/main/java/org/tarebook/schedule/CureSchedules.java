package org.tarebook.schedule;

import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.http.Problem;
import org.tarebook.plant.Register;

/** The plant's cure schedules and their revisions. */
@Service
public class CureSchedules extends Register<CureSchedule> {

  private final RevisionStore revisions;

  CureSchedules(CureScheduleRepository repository, Tools tools, RevisionStore revisions) {
    super("cure schedule", repository, tools);
    this.revisions = revisions;
  }

  /** All revisions of a schedule, the first one first, withdrawn ones included. */
  public List<ScheduleRevision> revisions(CureSchedule schedule) {
    return revisions.of(schedule.id());
  }

  /** One revision. */
  public ScheduleRevision revision(CureSchedule schedule, int revision) {
    return revisions(schedule).stream()
        .filter(known -> known.revision() == revision)
        .findFirst()
        .orElseThrow(
            () -> Problem.notFound("revision " + revision + " of cure schedule", schedule.code()));
  }

  /** The revision with this id. */
  public ScheduleRevision revisionById(long id) {
    return revisions.byId(id);
  }

  /** The number of the revision with this id. */
  public int revisionNumber(long id) {
    return revisions.number(id);
  }

  /** The revision in force at a moment: of those that stand, the last that began. */
  public Optional<ScheduleRevision> inForce(long scheduleId, Instant moment) {
    return revisions.of(scheduleId).stream()
        .filter(ScheduleRevision::stands)
        .filter(known -> !known.validFrom().isAfter(moment))
        .max(
            Comparator.comparing(ScheduleRevision::validFrom)
                .thenComparing(ScheduleRevision::revision));
  }

  /** The revision with this number, or the last one that stands. */
  ScheduleRevision asked(CureSchedule schedule, @Nullable Integer revision) {
    return revision != null
        ? revision(schedule, revision)
        : revisions(schedule).stream()
            .filter(ScheduleRevision::stands)
            .reduce((earlier, later) -> later)
            .orElseThrow(
                () -> Problem.notFound("standing revision of cure schedule", schedule.code()));
  }
}
