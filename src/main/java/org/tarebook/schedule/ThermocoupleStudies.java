package org.tarebook.schedule;

import java.math.BigDecimal;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Clock;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.http.Bodies;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.quantity.Decimals;
import org.tarebook.storage.Ids;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Transactions;

/** Thermocouple studies: added, never edited. */
@Service
public class ThermocoupleStudies {

  private static final Set<String> ALWAYS = Set.of("SLOWEST", "FASTEST");

  private final JdbcClient jdbc;
  private final Transactions transactions;
  private final Bodies bodies;
  private final Audit audit;
  private final Ids ids;
  private final Clock clock;

  ThermocoupleStudies(
      JdbcClient jdbc,
      Transactions transactions,
      Bodies bodies,
      Audit audit,
      Ids ids,
      Clock clock) {
    this.jdbc = jdbc;
    this.transactions = transactions;
    this.bodies = bodies;
    this.audit = audit;
    this.ids = ids;
    this.clock = clock;
  }

  /** What somebody posts. */
  record Posted(
      String key,
      String place,
      Until until,
      BigDecimal equivalents,
      BigDecimal uncertainty,
      LocalDate measuredOn,
      String source) {}

  /** A study, and whether it was on record before. */
  record Outcome(ThermocoupleStudy study, boolean replayed) {}

  /** The studies of a revision, the earliest recorded first. */
  public List<ThermocoupleStudy> of(ScheduleRevision revision) {
    return found(
        "schedule_id = ? and revision = ? order by id", revision.scheduleId(), revision.revision());
  }

  Outcome record(ScheduleRevision revision, Posted posted, Actor actor) {
    Set<String> places = new TreeSet<>(ALWAYS);
    revision.definition().wantedOrNone().forEach(wanted -> places.add(wanted.name()));
    if (!places.contains(posted.place())) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/place",
          "'"
              + posted.place()
              + "' is no place of the schedule; its places are "
              + String.join(", ", places));
    }
    return transactions.write(
        () -> {
          Optional<ThermocoupleStudy> stored =
              found("person = ? and fact_key = ?", actor.name(), posted.key()).stream().findFirst();
          if (stored.isPresent()) {
            requireSame(revision, posted, stored.get());
            return new Outcome(stored.get(), true);
          }
          ThermocoupleStudy study =
              new ThermocoupleStudy(
                  ids.next(),
                  revision.scheduleId(),
                  revision.revision(),
                  posted.key(),
                  posted.place(),
                  posted.until(),
                  posted.equivalents(),
                  posted.uncertainty(),
                  posted.measuredOn(),
                  posted.source(),
                  actor.name(),
                  clock.instant());
          add(study);
          audit.record(actor, "recorded", "thermocouple study", String.valueOf(study.id()), posted);
          return new Outcome(study, false);
        });
  }

  private void requireSame(ScheduleRevision revision, Posted posted, ThermocoupleStudy stored) {
    List<String> differing =
        bodies.differences(
            posted,
            new Posted(
                stored.key(),
                stored.place(),
                stored.until(),
                stored.equivalents(),
                stored.uncertainty(),
                stored.measuredOn(),
                stored.source()));
    if (!differing.isEmpty()
        || stored.scheduleId() != revision.scheduleId()
        || stored.revision() != revision.revision()) {
      throw new Problem(
          ProblemType.KEY_REUSED,
          "The key "
              + posted.key()
              + " names another study"
              + (differing.isEmpty() ? "" : ", which differs in " + String.join(", ", differing))
              + "; a new study needs a new key.");
    }
  }

  private void add(ThermocoupleStudy study) {
    jdbc.sql(
            """
            insert into thermocouple_study (id, schedule_id, revision, fact_key, place,
              counted_until, equivalents, uncertainty, measured_on, source, person, recorded_at)
            values (:id, :schedule, :revision, :key, :place, :until, :equivalents, :uncertainty,
              :on, :source, :person, :at)
            """)
        .param("id", study.id())
        .param("schedule", study.scheduleId())
        .param("revision", study.revision())
        .param("key", study.key())
        .param("place", study.place())
        .param("until", study.until().name())
        .param("equivalents", study.equivalents())
        .param("uncertainty", study.uncertainty())
        .param("on", study.measuredOn())
        .param("source", study.source())
        .param("person", study.person())
        .param("at", SqlTime.of(study.recordedAt()))
        .update();
  }

  private List<ThermocoupleStudy> found(String where, Object... values) {
    return jdbc.sql("select * from thermocouple_study where " + where)
        .params(values)
        .query(ThermocoupleStudies::study)
        .list();
  }

  private static ThermocoupleStudy study(ResultSet row, int number) throws SQLException {
    return new ThermocoupleStudy(
        row.getLong("id"),
        row.getLong("schedule_id"),
        row.getInt("revision"),
        row.getString("fact_key"),
        row.getString("place"),
        Until.valueOf(row.getString("counted_until")),
        Decimals.plain(row.getBigDecimal("equivalents")),
        Decimals.plain(row.getBigDecimal("uncertainty")),
        row.getObject("measured_on", LocalDate.class),
        row.getString("source"),
        row.getString("person"),
        SqlTime.get(row, "recorded_at"));
  }
}
