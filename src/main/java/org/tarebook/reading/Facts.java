package org.tarebook.reading;

import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.check.InstrumentState;
import org.tarebook.storage.CatchUps;

/** Gathers what was said of readings after they were recorded. */
@Component
class Facts {

  private final JdbcClient jdbc;
  private final UncountedStore uncounted;

  Facts(JdbcClient jdbc, UncountedStore uncounted) {
    this.jdbc = jdbc;
    this.uncounted = uncounted;
  }

  /**
   * A reading with all that was said of it.
   *
   * @param causes why it does not count; empty where it does
   * @param judged what it is judged to be now: its first result or the last successor
   * @param successors how many successor results it has
   * @param amendment what amended it; absent where nothing did
   */
  record Fact(
      Reading reading,
      Set<Cause> causes,
      Reading.Judged judged,
      int successors,
      @Nullable Amended amendment) {}

  /** An amendment as a reading shows it. */
  record Amended(Amendment.Kind kind, @Nullable Long replacementId, String reason, String person) {}

  List<Fact> of(List<Reading> readings) {
    if (readings.isEmpty()) {
      return List.of();
    }
    Set<Long> ids = new TreeSet<>();
    readings.forEach(reading -> ids.add(reading.id()));
    return facts(
        readings, uncounted.of(ids), successors(ids, CatchUps.counts("s")), amendments(ids));
  }

  /** The same with results that will count when their catch-up has finished. */
  List<Fact> toCome(List<Reading> readings) {
    if (readings.isEmpty()) {
      return List.of();
    }
    List<Long> ids = readings.stream().map(Reading::id).toList();
    return facts(readings, uncounted.of(ids), successors(ids, "1 = 1"), Map.of());
  }

  /**
   * The same of readings recorded a moment ago, of which nobody has said anything since. One that
   * measures nothing again is kept out by nothing but what was known when it was written.
   *
   * @param instruments how their instruments stood then, by their ids
   */
  List<Fact> ofRecorded(List<Reading> readings, Map<Long, InstrumentState> instruments) {
    Map<Long, Set<Cause>> causes =
        new HashMap<>(
            uncounted.of(
                readings.stream()
                    .filter(reading -> reading.remeasuresId() != null)
                    .map(Reading::id)
                    .toList()));
    for (Reading reading : readings) {
      if (reading.remeasuresId() == null) {
        Long instrument = reading.shown().instrumentId();
        causes.put(
            reading.id(),
            Intake.causes(reading, instrument == null ? null : instruments.get(instrument)));
      }
    }
    return facts(readings, causes, Map.of(), Map.of());
  }

  private static List<Fact> facts(
      List<Reading> readings,
      Map<Long, Set<Cause>> causes,
      Map<Long, List<Reading.Judged>> successors,
      Map<Long, Amended> amendments) {
    List<Fact> facts = new ArrayList<>();
    for (Reading reading : readings) {
      List<Reading.Judged> later = successors.getOrDefault(reading.id(), List.of());
      facts.add(
          new Fact(
              reading,
              causes.getOrDefault(reading.id(), EnumSet.noneOf(Cause.class)),
              later.isEmpty() ? reading.judged() : later.get(later.size() - 1),
              later.size(),
              amendments.get(reading.id())));
    }
    return facts;
  }

  private Map<Long, List<Reading.Judged>> successors(Collection<Long> ids, String which) {
    Map<Long, List<Reading.Judged>> found = new HashMap<>();
    jdbc.sql(
            "select s.reading_id, s.result, s.direction, s.not_judged, s.specification_id,"
                + " s.uncertainty_id from successor_result s where s.reading_id in (:ids) and "
                + which
                + " order by s.reading_id, s.sequence")
        .param("ids", ids)
        .query(
            (row, number) ->
                found
                    .computeIfAbsent(row.getLong("reading_id"), id -> new ArrayList<>())
                    .add(ReadingStore.judged(row)))
        .list();
    return found;
  }

  private Map<Long, Amended> amendments(Collection<Long> ids) {
    Map<Long, Amended> found = new HashMap<>();
    jdbc.sql(
            "select reading_id, kind, replacement_id, reason, person from amendment"
                + " where reading_id in (:ids)")
        .param("ids", ids)
        .query(
            (row, number) ->
                found.put(
                    row.getLong("reading_id"),
                    new Amended(
                        Amendment.Kind.valueOf(row.getString("kind")),
                        row.getObject("replacement_id", Long.class),
                        row.getString("reason"),
                        row.getString("person"))))
        .list();
    return found;
  }
}
