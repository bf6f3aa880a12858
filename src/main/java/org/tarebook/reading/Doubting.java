package org.tarebook.reading;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
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
 */
@Component
class Doubting implements DoubtedReadings, CatchUp {

  static final int ROWS = 1000;

  private static final String WHAT = "applying doubts to readings";
  private static final String CHECK = "check ";

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
      CatchUps catchUps) {
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
  }

  /** A part of the time line in which readings do not count. */
  private record Part(Cause cause, Instant from, Instant before) {}

  /** A window of an instrument in which doubts changed, as a catch-up keeps it. */
  private record Window(Instrument instrument, Instant from, Instant before) {

    static Window of(Instrument instrument, String text) {
      String[] parts = text.split(" ", 2);
      return new Window(instrument, Instant.parse(parts[0]), Instant.parse(parts[1]));
    }

    Window from(Instant moment) {
      return new Window(instrument, moment.isBefore(from) ? from : moment, before);
    }

    Window before(Instant moment) {
      return new Window(instrument, from, moment);
    }

    String text() {
      return from + " " + before;
    }
  }

  @Override
  public OptionalLong doubtsChanged(
      long checkId, Instrument instrument, Instant from, @Nullable Instant before) {
    Window window = new Window(instrument, from, before == null ? OPEN_END : before);
    Window last = lastPiece(window);
    apply(last);
    if (from.isBefore(last.from())) {
      catchUps.ask(WHAT, instrument.id(), CHECK + checkId, window.before(last.from()).text());
      return OptionalLong.empty();
    }
    return OptionalLong.of(
        parts(window).stream()
            .filter(part -> part.cause() == Cause.INSTRUMENT_SUSPECT)
            .mapToLong(part -> count(new Window(instrument, part.from(), part.before())))
            .sum());
  }

  @Override
  public Optional<CatchUp.Progress> progress(long checkId, Instrument instrument) {
    return Optional.ofNullable(catchUps.of(WHAT, instrument.id()).get(CHECK + checkId));
  }

  @Override
  public String what() {
    return WHAT;
  }

  @Override
  public long total(Task task) {
    return count(Window.of(instruments.byId(task.scope()), task.text()));
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
  public Piece next(Task task) {
    Instrument instrument = instruments.byId(task.scope());
    stations.lock(List.of(instrument.stationId()));
    Window window = Window.of(instrument, task.text());
    String place = task.place();
    Window piece = lastPiece(place == null ? window : window.before(Instant.parse(place)));
    int changed = apply(piece);
    return new Piece(
        window.from().isBefore(piece.from()) ? piece.from().toString() : null,
        count(piece),
        changed);
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

  private int apply(Window window) {
    Map<Long, Long> versions = locks.take(lockIds(window));
    Plan plan = plans.current();
    List<Part> parts = parts(window);
    int changed = endMarks(window, parts);
    for (Part part : parts) {
      changed += beginMarks(window.instrument(), part);
    }
    List<Reading> settled = chains.settle(roots(window), versions);
    Instrument instrument = window.instrument();
    judgeAgain.judgeInstrumentAgain(
        instrument.id(),
        window.from(),
        window.before(),
        "checks of " + instrument.code() + " changed");
    List<ReadingFollower.Change> changes = new ArrayList<>(changes(plan, window));
    changes.addAll(Intake.changes(plan, settled)); // perhaps shown by others, at other times
    intake.tellFollowers(plan, changes);
    return changed;
  }

  private List<Part> parts(Window window) {
    Instrument instrument = window.instrument();
    InstrumentState state =
        instrumentChecks.states(plans.current(), List.of(instrument.id())).get(instrument.id());
    return state == null ? List.of() : parts(state, window.from(), window.before());
  }

  private static List<Part> parts(InstrumentState state, Instant from, Instant end) {
    List<Part> parts = new ArrayList<>();
    for (Doubt doubt : state.doubts()) {
      addCut(parts, Cause.INSTRUMENT_SUSPECT, doubt.suspectFrom(), doubt.failedAt(), from, end);
      Instant right = doubt.rightAt() == null ? OPEN_END : doubt.rightAt();
      addCut(parts, Cause.INSTRUMENT_FAILED, doubt.failedAt(), right, from, end);
    }
    return parts;
  }

  private static void addCut(
      List<Part> parts, Cause cause, Instant start, Instant stop, Instant from, Instant end) {
    Instant cutFrom = start.isBefore(from) ? from : start;
    Instant cutBefore = stop.isAfter(end) ? end : stop;
    if (cutFrom.isBefore(cutBefore)) {
      parts.add(new Part(cause, cutFrom, cutBefore));
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
