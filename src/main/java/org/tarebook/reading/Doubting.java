package org.tarebook.reading;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.check.Doubt;
import org.tarebook.check.DoubtedReadings;
import org.tarebook.check.InstrumentChecks;
import org.tarebook.check.InstrumentState;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.Instruments;
import org.tarebook.plant.Shifts;
import org.tarebook.plant.Stations;
import org.tarebook.storage.CatchUp;
import org.tarebook.storage.CatchUps;
import org.tarebook.storage.MasterVersion;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;
import org.tarebook.storage.WriteLocks;

/**
 * Takes readings out of the figures, and back in, when the checks of their instrument say so. A
 * doubt may reach back far, so this is done in pieces, the newest readings first: one within the
 * transaction of the check, the others by a catch-up of the instrument.
 *
 * <p>A piece is whole shifts, as many as hold {@value #ROWS} readings, or one with more, so that no
 * point ever rests on some readings of a shift with a doubt and on others without. It holds the
 * lock of the instrument's station, so that none of its readings is written meanwhile, and it goes
 * by the doubts that stand when it is done. What it does counts at once, under versions of its own.
 *
 * <p>A check that fails leaves the results of readings as they are. Where the voiding of a check
 * opens a doubt again, the readings that it covers are no longer judged, as if the check had never
 * been made.
 */
@Component
class Doubting implements DoubtedReadings, CatchUp {

  static final int ROWS = 1000;

  private static final String WHAT = Plans.APPLYING_DOUBTS;

  private static final String CHECK = "check";
  private static final String VOIDING = "voiding";
  private static final Instant OPEN_END = Instant.parse("2200-01-01T00:00:00Z");
  private static final String OF_INSTRUMENT =
      " from reading r where r.instrument_id = :instrument and r.measured_at >= :from"
          + " and r.measured_at < :before";

  private final JdbcClient jdbc;
  private final Vendor vendor;
  private final Plans plans;
  private final Instruments instruments;
  private final Stations stations;
  private final InstrumentChecks instrumentChecks;
  private final WriteLocks locks;
  private final Chains chains;
  private final JudgeAgain judgeAgain;
  private final Intake intake;
  private final CatchUps catchUps;
  private final MasterVersion masterVersion;

  Doubting(
      JdbcClient jdbc,
      Vendor vendor,
      Plans plans,
      Instruments instruments,
      Stations stations,
      InstrumentChecks instrumentChecks,
      WriteLocks locks,
      Chains chains,
      JudgeAgain judgeAgain,
      Intake intake,
      CatchUps catchUps,
      MasterVersion masterVersion) {
    this.jdbc = jdbc;
    this.vendor = vendor;
    this.plans = plans;
    this.instruments = instruments;
    this.stations = stations;
    this.instrumentChecks = instrumentChecks;
    this.locks = locks;
    this.chains = chains;
    this.judgeAgain = judgeAgain;
    this.intake = intake;
    this.catchUps = catchUps;
    this.masterVersion = masterVersion;
  }

  /** A part of the time line in which readings do not count. */
  private record Part(Cause cause, Instant from, Instant before, long failedCheck) {}

  /** A window of an instrument in which doubts changed. */
  private record Window(Instrument instrument, Instant from, Instant before) {

    Window from(Instant moment) {
      return new Window(instrument, moment.isBefore(from) ? from : moment, before);
    }

    Window before(Instant moment) {
      return new Window(instrument, from, moment);
    }
  }

  /** What a catch-up keeps: a window, and what changed the doubts in it. */
  private record Wish(Window window, @Nullable By by) {

    /** An earlier version of the service kept the window only. */
    static Wish read(Instrument instrument, String text) {
      String[] parts = text.split(" ", 4);
      return new Wish(
          new Window(instrument, Instant.parse(parts[0]), Instant.parse(parts[1])),
          parts.length < 4 ? null : new By(Long.parseLong(parts[3]), parts[2].equals(VOIDING)));
    }

    String text() {
      return window.from() + " " + window.before() + (by == null ? "" : " " + name(by));
    }
  }

  private static String name(By by) {
    return (by.voiding() ? VOIDING : CHECK) + " " + by.checkId();
  }

  @Override
  public Effect doubtsChanged(
      By by, Instrument instrument, Instant from, @Nullable Instant before) {
    Window window = new Window(instrument, from, before == null ? OPEN_END : before);
    Window last = lastPiece(window);
    Effect effect = apply(last, by.voiding());
    if (from.isBefore(last.from())) {
      catchUps.ask(
          WHAT, instrument.id(), name(by), new Wish(window.before(last.from()), by).text());
      masterVersion.bump();
    }
    return effect;
  }

  @Override
  public Optional<CatchUp.Progress> progress(By by, Instrument instrument) {
    return Optional.ofNullable(catchUps.of(WHAT, instrument.id()).get(name(by)));
  }

  @Override
  public String what() {
    return WHAT;
  }

  @Override
  public long total(Task task) {
    return count(Wish.read(instruments.byId(task.scope()), task.text()).window());
  }

  @Override
  public boolean givesWay() {
    return true;
  }

  /** Each piece takes the locks it needs and gives them versions of its own. */
  @Override
  public Collection<Long> locks(long instrumentId) {
    return List.of();
  }

  @Override
  public void finish(long instrumentId, WriteLocks.Together together) {
    masterVersion.bump();
  }

  @Override
  public Piece next(Task task) {
    Instrument instrument = instruments.byId(task.scope());
    stations.lock(List.of(instrument.stationId()));
    Wish wish = Wish.read(instrument, task.text());
    Window window = wish.window();
    String place = task.place();
    Window piece = lastPiece(place == null ? window : window.before(Instant.parse(place)));
    Effect effect = apply(piece, wish.by() != null && wish.by().voiding());
    if (wish.by() != null) {
      instrumentChecks.addEffect(wish.by(), effect);
    }
    return new Piece(
        window.from().isBefore(piece.from()) ? piece.from().toString() : null,
        effect.done(),
        effect.changed());
  }

  /** The last shifts of a window, with {@link #ROWS} readings at most, or one with more. */
  private Window lastPiece(Window window) {
    Optional<Instant> tooEarly = fromTheEnd(window, ROWS);
    if (tooEarly.isEmpty()) {
      return window;
    }
    Shifts shifts = plans.current().shifts();
    Instant newest = fromTheEnd(window, 0).orElseThrow();
    Instant from = shifts.at(tooEarly.get()).before();
    return window.from(from.isAfter(newest) ? shifts.at(newest).from() : from);
  }

  private Optional<Instant> fromTheEnd(Window window, int readings) {
    String hint = vendor == Vendor.H2 ? " use index (ix_reading_instrument)" : "";
    return in(
            window,
            "select r.measured_at"
                + OF_INSTRUMENT.replace(" r where", " r" + hint + " where")
                + " order by r.instrument_id desc, r.measured_at desc"
                + " offset "
                + readings
                + " rows fetch first 1 rows only")
        .query((row, number) -> SqlTime.get(row, "measured_at"))
        .optional();
  }

  private Effect apply(Window window, boolean voiding) {
    Map<Long, Long> versions = locks.take(lockIds(window));
    Plan plan = plans.current();
    Instrument instrument = window.instrument();
    InstrumentState state =
        instrumentChecks.states(plan, List.of(instrument.id())).get(instrument.id());
    List<Part> parts = state == null ? List.of() : parts(state, window.from(), window.before());
    List<Long> failed = voiding ? failedAnew(instrument, parts) : List.of();
    int changed = endMarks(window, parts);
    long suspect = 0;
    for (Part part : parts) {
      changed += beginMarks(instrument, part);
      suspect +=
          part.cause() == Cause.INSTRUMENT_SUSPECT
              ? count(new Window(instrument, part.from(), part.before()))
              : 0;
    }
    List<Reading> settled = chains.settle(roots(window), versions);
    String cause = "checks of " + instrument.code() + " changed";
    judgeAgain.judgeInstrumentAgain(instrument.id(), window.from(), window.before(), cause);
    judgeAgain.judgeFailed(failed, state, cause);
    List<ReadingFollower.Change> changes = new ArrayList<>(changes(plan, window));
    changes.addAll(Intake.changes(plan, settled)); // perhaps shown by others, at other times
    intake.tellFollowers(plan, changes);
    return new Effect(count(window), changed, suspect);
  }

  /**
   * The readings of parts in which the instrument had failed that are not marked so yet and were
   * recorded after that check: it leaves the results of those before it as they are.
   */
  private List<Long> failedAnew(Instrument instrument, List<Part> parts) {
    return parts.stream()
        .filter(part -> part.cause() == Cause.INSTRUMENT_FAILED)
        .flatMap(
            part ->
                in(
                    new Window(instrument, part.from(), part.before()),
                    "select r.id"
                        + OF_INSTRUMENT
                        + " and r.recorded_at >= (select k.recorded_at from instrument_check k where"
                        + " k.id = :failed) and not exists (select 1 from uncounted u where u.reading_id"
                        + " = r.id and u.cause = 'INSTRUMENT_FAILED' and u.until_version is null)")
                    .param("failed", part.failedCheck())
                    .query(Long.class)
                    .list()
                    .stream())
        .toList();
  }

  private static List<Part> parts(InstrumentState state, Instant from, Instant end) {
    List<Part> parts = new ArrayList<>();
    for (Doubt doubt : state.doubts()) {
      addCut(
          parts, doubt, Cause.INSTRUMENT_SUSPECT, doubt.suspectFrom(), doubt.failedAt(), from, end);
      Instant right = doubt.rightAt() == null ? OPEN_END : doubt.rightAt();
      addCut(parts, doubt, Cause.INSTRUMENT_FAILED, doubt.failedAt(), right, from, end);
    }
    return parts;
  }

  private static void addCut(
      List<Part> parts,
      Doubt doubt,
      Cause cause,
      Instant start,
      Instant stop,
      Instant from,
      Instant end) {
    Instant cutFrom = start.isBefore(from) ? from : start;
    Instant cutBefore = stop.isAfter(end) ? end : stop;
    if (cutFrom.isBefore(cutBefore)) {
      parts.add(new Part(cause, cutFrom, cutBefore, doubt.failedCheckId()));
    }
  }

  private Collection<Long> lockIds(Window window) {
    return new TreeSet<>(
        in(window, "select distinct coalesce(r.chart_id, r.characteristic_id)" + OF_INSTRUMENT)
            .query(Long.class)
            .list());
  }

  private Collection<Long> roots(Window window) {
    return new TreeSet<>(
        in(
                window,
                "select distinct coalesce(r.remeasures_id, r.id)"
                    + OF_INSTRUMENT
                    + " and (r.remeasures_id is not null or exists"
                    + " (select 1 from reading c where c.remeasures_id = r.id))")
            .query(Long.class)
            .list());
  }

  private int endMarks(Window window, List<Part> parts) {
    List<Long> characteristics =
        in(window, "select distinct r.characteristic_id" + OF_INSTRUMENT).query(Long.class).list();
    if (characteristics.isEmpty()) {
      return 0;
    }
    int ended = 0;
    for (Cause cause : List.of(Cause.INSTRUMENT_SUSPECT, Cause.INSTRUMENT_FAILED)) {
      List<Part> kept = parts.stream().filter(part -> part.cause() == cause).toList();
      StringBuilder sql =
          new StringBuilder(
              "update uncounted set until_version = (select w.version from write_lock w"
                  + " join reading r on w.id = coalesce(r.chart_id, r.characteristic_id)"
                  + " where r.id = uncounted.reading_id)"
                  + " where characteristic_id in (:characteristics)"
                  + " and measured_at >= :from and measured_at < :before"
                  + " and cause = :cause and until_version is null"
                  + " and exists (select 1"
                  + OF_INSTRUMENT
                  + " and r.id = uncounted.reading_id)");
      for (int i = 0; i < kept.size(); i++) {
        sql.append(" and not (measured_at >= :from")
            .append(i)
            .append(" and measured_at < :before")
            .append(i)
            .append(")");
      }
      JdbcClient.StatementSpec statement =
          in(window, sql.toString())
              .param("characteristics", characteristics)
              .param("cause", cause.name());
      for (int i = 0; i < kept.size(); i++) {
        statement =
            statement
                .param("from" + i, SqlTime.of(kept.get(i).from()))
                .param("before" + i, SqlTime.of(kept.get(i).before()));
      }
      ended += statement.update();
    }
    return ended;
  }

  private int beginMarks(Instrument instrument, Part part) {
    return in(
            new Window(instrument, part.from(), part.before()),
            "insert into uncounted (reading_id, cause, since_version, until_version,"
                + " characteristic_id, measured_at)"
                + " select r.id, cast(:cause as varchar(20)),"
                + " (select w.version from write_lock w"
                + " where w.id = coalesce(r.chart_id, r.characteristic_id)),"
                + " null, r.characteristic_id, r.measured_at"
                + OF_INSTRUMENT
                + " and not exists (select 1 from uncounted u where u.reading_id = r.id"
                + " and u.cause = :cause and u.until_version is null)")
        .param("cause", part.cause().name())
        .update();
  }

  private long count(Window window) {
    return in(window, "select count(*)" + OF_INSTRUMENT).query(Long.class).single();
  }

  private List<ReadingFollower.Change> changes(Plan plan, Window window) {
    return in(
            window,
            "select r.chart_id, min(r.measured_at) as first_at, max(r.measured_at) as last_at"
                + OF_INSTRUMENT
                + " and r.chart_id is not null group by r.chart_id")
        .query(
            (row, number) ->
                new ReadingFollower.Change(
                    plan.charts().get(row.getLong("chart_id")),
                    SqlTime.get(row, "first_at"),
                    SqlTime.get(row, "last_at")))
        .list();
  }

  private JdbcClient.StatementSpec in(Window window, String sql) {
    return jdbc.sql(sql)
        .param("instrument", window.instrument().id())
        .param("from", SqlTime.of(window.from()))
        .param("before", SqlTime.of(window.before()));
  }
}
