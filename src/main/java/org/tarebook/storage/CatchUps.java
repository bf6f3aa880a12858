package org.tarebook.storage;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.locks.LockSupport;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.beans.factory.ObjectProvider;
import org.springframework.context.event.ContextClosedEvent;
import org.springframework.context.event.EventListener;
import org.springframework.jdbc.core.RowCallbackHandler;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.scheduling.annotation.Scheduled;
import org.springframework.stereotype.Component;

/**
 * Runs long work that follows a request. What is left to do stands in the table {@code catch_up}: a
 * restart goes on at the last piece, and another copy of the service takes over from a dead one.
 *
 * <p>Catch-ups of one scope run one after the other, each piece in a transaction of its own under
 * the row lock of the oldest. When none has a piece left, all of them finish in one short
 * transaction: it takes the write locks concerned, gives them one new version, and writes that
 * version into the rows of the catch-ups. From that version on all that they wrote counts.
 */
@Component
public class CatchUps {

  private static final Logger log = LoggerFactory.getLogger(CatchUps.class);
  private static final Duration LONGEST_PAUSE = Duration.ofSeconds(1);
  private static final String UNFINISHED = " and finished_at is null";

  private final JdbcClient jdbc;
  private final Transactions transactions;
  private final WriteLocks locks;
  private final Ids ids;
  private final Clock clock;
  private final Outages outages;
  private final ObjectProvider<CatchUp> kinds;
  private final Map<Scope, String> failures = new ConcurrentHashMap<>();
  private volatile boolean stopping;

  CatchUps(
      JdbcClient jdbc,
      Transactions transactions,
      WriteLocks locks,
      Ids ids,
      Clock clock,
      Outages outages,
      ObjectProvider<CatchUp> kinds) {
    this.outages = outages;
    this.jdbc = jdbc;
    this.transactions = transactions;
    this.locks = locks;
    this.ids = ids;
    this.clock = clock;
    this.kinds = kinds;
  }

  private record Scope(String what, long id) {}

  private static final Scope ANY = new Scope("looking for catch-ups", 0);

  private record Row(CatchUp.Task task, boolean started, boolean pieces) {}

  /**
   * SQL that is true of rows that count: those of no catch-up, and those of a finished one.
   *
   * @param alias of the table of the rows
   */
  public static String counts(String alias) {
    return ("(%1$s.catch_up_id is null or exists (select 1 from catch_up f"
            + " where f.id = %1$s.catch_up_id and f.version is not null))")
        .formatted(alias);
  }

  /**
   * SQL for the version from which on a row counts; null while its catch-up has not finished.
   *
   * @param alias of the table of the rows
   */
  public static String version(String alias) {
    return ("(case when %1$s.catch_up_id is null then %1$s.lock_version"
            + " else (select f.version from catch_up f where f.id = %1$s.catch_up_id) end)")
        .formatted(alias);
  }

  /**
   * Asks for work, inside the transaction of the fact that makes it necessary. It begins after the
   * commit, and after earlier work on the same scope.
   *
   * @param askedBy the fact, by which its progress is found
   * @param text what to do; the kind reads it again
   */
  public void ask(String what, long scope, String askedBy, String text) {
    jdbc.sql(
            "insert into catch_up (id, what, scope, asked_by, task, done, changed, recorded_at)"
                + " values (?, ?, ?, ?, ?, 0, 0, ?)")
        .params(ids.next(), what, scope, askedBy, text, SqlTime.of(clock.instant()))
        .update();
  }

  /** The last progress of everything ever asked for on a scope, by the fact that asked for it. */
  public Map<String, CatchUp.Progress> of(String what, long scope) {
    Map<String, CatchUp.Progress> found = new LinkedHashMap<>();
    jdbc.sql("select * from catch_up where what = ? and scope = ? order by id")
        .params(what, scope)
        .query((RowCallbackHandler) row -> found.put(row.getString("asked_by"), progress(row)));
    return found;
  }

  /** The scopes on which work of a kind has not finished. */
  public Set<Long> unfinished(String what) {
    return new TreeSet<>(
        jdbc.sql("select distinct scope from catch_up where what = ?" + UNFINISHED)
            .param(what)
            .query(Long.class)
            .list());
  }

  /** The scopes on which work of a kind was asked for at a moment and had not finished. */
  public Set<Long> unfinishedAt(String what, Instant moment) {
    return new TreeSet<>(
        jdbc.sql(
                "select distinct scope from catch_up where what = :what and recorded_at <= :moment"
                    + " and (finished_at is null or finished_at > :moment)")
            .param("what", what)
            .param("moment", SqlTime.of(moment))
            .query(Long.class)
            .list());
  }

  private static CatchUp.Progress progress(ResultSet row) throws SQLException {
    Instant finished = SqlTime.find(row, "finished_at");
    return new CatchUp.Progress(
        finished != null
            ? CatchUp.State.FINISHED
            : SqlTime.find(row, "started_at") == null
                ? CatchUp.State.WAITING
                : CatchUp.State.RUNNING,
        row.getLong("done"),
        row.getObject("total", Long.class),
        row.getLong("changed"),
        SqlTime.get(row, "recorded_at"),
        finished);
  }

  /** The piece in hand is done; the next start goes on with the following one. */
  @EventListener(ContextClosedEvent.class)
  void stop() {
    stopping = true;
  }

  /** Works until nothing is left to do, a piece of each scope in turn. */
  @Scheduled(fixedDelayString = "${tarebook.catching-up}")
  void run() {
    Map<String, CatchUp> known = new TreeMap<>();
    kinds.forEach(kind -> known.put(kind.what(), kind));
    Set<Scope> waiting = new HashSet<>(scopes());
    while (!waiting.isEmpty()) {
      for (Scope scope : Set.copyOf(waiting)) {
        CatchUp kind = known.get(scope.what());
        if (stopping || kind == null || !step(kind, scope)) {
          waiting.remove(scope);
        }
      }
    }
  }

  private Set<Scope> scopes() {
    try {
      Set<Scope> found =
          jdbc.sql("select distinct what, scope from catch_up where finished_at is null")
              .query((row, number) -> new Scope(row.getString("what"), row.getLong("scope")))
              .set();
      failures.remove(ANY);
      return found;
    } catch (RuntimeException failure) {
      failed(ANY, failure);
      return Set.of();
    }
  }

  /** One that fails holds up no other, is tried again, and is logged once for each reason. */
  private boolean step(CatchUp kind, Scope scope) {
    try {
      long begun = System.nanoTime();
      boolean more = transactions.write(() -> next(kind, scope));
      failures.remove(scope);
      if (more && kind.givesWay()) {
        LockSupport.parkNanos(Math.min(System.nanoTime() - begun, LONGEST_PAUSE.toNanos()));
      }
      return more;
    } catch (RuntimeException failure) {
      failed(scope, failure);
      return false;
    }
  }

  private void failed(Scope scope, RuntimeException failure) {
    if (outages.note(failure).isPresent()) {
      return;
    }
    String reason = Objects.toString(failure.getMessage());
    if (!reason.equals(failures.put(scope, reason))) {
      log.error("{} of {} failed and will be tried again", scope.what(), scope.id(), failure);
    }
  }

  /** Does the next thing on a scope; false where nothing is left, or another copy is at it. */
  private boolean next(CatchUp kind, Scope scope) {
    Optional<Long> oldest = oldest(scope);
    if (oldest.isEmpty() || !take(oldest.get())) {
      return false;
    }
    Optional<Row> open = rows(scope).stream().filter(row -> !row.pieces()).findFirst();
    if (open.isEmpty()) {
      return finish(kind, scope);
    }
    CatchUp.Task task = open.get().task();
    if (!open.get().started()) {
      jdbc.sql("update catch_up set started_at = ?, total = ? where id = ?")
          .params(SqlTime.of(clock.instant()), kind.total(task), task.id())
          .update();
      return true;
    }
    CatchUp.Piece piece = kind.next(task);
    jdbc.sql(
            "update catch_up set place = :place, done = done + :done, changed = changed + :changed,"
                + " last_piece_at = :last where id = :id")
        .param("place", piece.next(), java.sql.Types.VARCHAR)
        .param("done", piece.done())
        .param("changed", piece.changed())
        .param(
            "last",
            piece.next() == null ? SqlTime.of(clock.instant()) : null,
            java.sql.Types.TIMESTAMP_WITH_TIMEZONE)
        .param("id", task.id())
        .update();
    return true;
  }

  private Optional<Long> oldest(Scope scope) {
    return jdbc.sql(
            "select id from catch_up where what = ? and scope = ?"
                + UNFINISHED
                + " order by id fetch first 1 row only")
        .params(scope.what(), scope.id())
        .query(Long.class)
        .optional();
  }

  /** Its row lock keeps others off the scope; that of a dead copy is free again. */
  private boolean take(long id) {
    return jdbc.sql("select id from catch_up where id = ?" + UNFINISHED + " for update skip locked")
        .param(id)
        .query(Long.class)
        .optional()
        .isPresent();
  }

  private List<Row> rows(Scope scope) {
    return jdbc.sql(
            "select * from catch_up where what = ? and scope = ?" + UNFINISHED + " order by id")
        .params(scope.what(), scope.id())
        .query(
            (row, number) ->
                new Row(
                    new CatchUp.Task(
                        row.getLong("id"),
                        row.getLong("scope"),
                        row.getString("task"),
                        row.getString("place")),
                    row.getObject("started_at") != null,
                    row.getObject("last_piece_at") != null))
        .list();
  }

  /** What was asked for since, under the same locks, is done first. */
  private boolean finish(CatchUp kind, Scope scope) {
    WriteLocks.Together together = locks.takeTogether(kind.locks(scope.id()));
    List<Row> all = rows(scope);
    if (!all.stream().allMatch(Row::pieces)) {
      return true;
    }
    kind.finish(scope.id(), together);
    jdbc.sql("update catch_up set version = :version, finished_at = :now where id in (:ids)")
        .param("version", together.version())
        .param("now", SqlTime.of(together.at()))
        .param("ids", all.stream().map(row -> row.task().id()).toList())
        .update();
    log.info("{} of {} has finished", kind.what(), scope.id());
    return false;
  }
}
