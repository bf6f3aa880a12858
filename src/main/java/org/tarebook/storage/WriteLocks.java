package org.tarebook.storage;

import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.Collection;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.SortedSet;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import org.springframework.context.event.EventListener;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.jdbc.core.RowCallbackHandler;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.springframework.transaction.support.TransactionSynchronization;
import org.springframework.transaction.support.TransactionSynchronizationManager;

/**
 * The locks under which readings are written and figures change: one for each chart, one for each
 * characteristic, which serves its readings outside any chart, and one for each press, which serves
 * its cures and is taken last. Their ids come from one sequence and never clash. A lock also
 * counts: each taking gives it a new version, and what is written under it keeps that version, so
 * that a figure can be told again as it stood then.
 */
@Component
public class WriteLocks {

  private static final String TAKE = "update write_lock set version = version + 1 where id = ?";

  private final JdbcClient jdbc;
  private final String takeOne;
  private final JdbcTemplate batches;
  private final Clock clock;
  private final Map<Long, Instant> noted = new ConcurrentHashMap<>();

  WriteLocks(JdbcClient jdbc, JdbcTemplate batches, Vendor vendor, Clock clock) {
    this.jdbc = jdbc;
    this.takeOne =
        vendor == Vendor.POSTGRESQL
            ? TAKE + " returning id, version"
            : "select id, version from final table (" + TAKE + ")";
    this.batches = batches;
    this.clock = clock;
  }

  /** Makes the lock of a new chart, characteristic or press. */
  public void open(long id) {
    jdbc.sql("insert into write_lock (id, version) values (?, 0)").param(id).update();
    note(Map.of(id, 0L), clock.instant());
  }

  /**
   * Takes locks until the transaction ends, in the order all writers keep.
   *
   * @return the new version of each
   */
  public Map<Long, Long> take(Collection<Long> ids) {
    Map<Long, Long> versions = versionsTaken(ids);
    noteNewMinute(versions);
    return versions;
  }

  private Map<Long, Long> versionsTaken(Collection<Long> ids) {
    SortedSet<Long> inOrder = new TreeSet<>(ids);
    Map<Long, Long> versions = new TreeMap<>();
    if (inOrder.size() == 1) {
      jdbc.sql(takeOne).param(inOrder.first()).query(into(versions));
    } else if (!inOrder.isEmpty()) {
      batches.batchUpdate(
          TAKE, inOrder, inOrder.size(), (statement, id) -> statement.setLong(1, id));
      versions.putAll(versions(inOrder));
    }
    return versions;
  }

  /**
   * Takes one lock until the transaction ends.
   *
   * @return its new version
   */
  public long take(long id) {
    return Objects.requireNonNull(take(List.of(id)).get(id), "no lock has this id");
  }

  /**
   * Takes locks as {@link #take(Collection)} does, and gives all of them the same new version: what
   * is marked with it counts from one moment on wherever they are asked.
   */
  public Together takeTogether(Collection<Long> ids) {
    Map<Long, Long> versions = versionsTaken(ids);
    Instant at = noteNewMinute(versions);
    if (versions.isEmpty()) {
      return new Together(0, at);
    }
    long version = Collections.max(versions.values());
    jdbc.sql("update write_lock set version = :version where id in (:ids)")
        .param("version", version)
        .param("ids", versions.keySet())
        .update();
    return new Together(version, at);
  }

  /**
   * Locks that were taken together.
   *
   * @param version the one new version of all
   * @param at when they were taken; this and the version lie on the same side of every minute
   */
  public record Together(long version, Instant at) {}

  /** Keeps others off a lock until the transaction ends, without a new version. */
  public void hold(long id) {
    jdbc.sql("select version from write_lock where id = ? for update")
        .param(id)
        .query(Long.class)
        .single();
  }

  private static RowCallbackHandler into(Map<Long, Long> versions) {
    return row -> versions.put(row.getLong("id"), row.getLong("version"));
  }

  /** The first version of a lock that this service takes in a minute is noted with its moment. */
  private Instant noteNewMinute(Map<Long, Long> versions) {
    Instant now = clock.instant();
    Instant minute = now.truncatedTo(ChronoUnit.MINUTES);
    Map<Long, Long> first = new TreeMap<>(versions);
    first.keySet().removeIf(id -> minute.equals(noted.get(id)));
    note(first, now);
    first.keySet().forEach(id -> rememberWhenCommitted(id, minute));
    return now;
  }

  private void note(Map<Long, Long> versions, Instant now) {
    batches.batchUpdate(
        "insert into lock_moment (lock_id, version, taken_at) values (?, ?, ?)",
        versions.entrySet().stream()
            .map(each -> new Object[] {each.getKey(), each.getValue(), SqlTime.of(now)})
            .toList());
  }

  /** Notes the moments of this minute again. */
  @EventListener(DatabaseReopened.class)
  public void forget() {
    noted.clear();
  }

  private void rememberWhenCommitted(long id, Instant minute) {
    TransactionSynchronizationManager.registerSynchronization(
        new TransactionSynchronization() {
          @Override
          public void afterCommit() {
            noted.put(id, minute);
          }
        });
  }

  /**
   * The version of a lock at the beginning of a minute: the last before the first that is noted
   * then or later. Of another moment it holds what was written in its minute before the first
   * taking that is noted later, so ask for the beginning of a minute.
   *
   * @return empty if nothing is known from before the moment
   */
  public Optional<Long> versionAt(long id, Instant moment) {
    boolean known =
        jdbc.sql(
                "select version from lock_moment where lock_id = ? and taken_at < ?"
                    + " order by taken_at desc fetch first 1 rows only")
            .params(id, SqlTime.of(moment))
            .query(Long.class)
            .optional()
            .isPresent();
    if (!known) {
      return Optional.empty();
    }
    Optional<Long> next =
        jdbc.sql(
                "select version from lock_moment where lock_id = ? and taken_at >= ?"
                    + " order by taken_at, version fetch first 1 rows only")
            .params(id, SqlTime.of(moment))
            .query(Long.class)
            .optional();
    return Optional.of(next.map(version -> version - 1).orElseGet(() -> version(id)));
  }

  /** The versions of locks, without taking them. */
  public Map<Long, Long> versions(Collection<Long> ids) {
    Map<Long, Long> versions = new TreeMap<>();
    jdbc.sql("select id, version from write_lock where id in (:ids)")
        .param("ids", ids)
        .query(into(versions));
    return versions;
  }

  /** The version of a lock, without taking it. */
  public long version(long id) {
    return jdbc.sql("select version from write_lock where id = ?")
        .param(id)
        .query(Long.class)
        .single();
  }
}
