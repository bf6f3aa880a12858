package org.tarebook.reading;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.check.Doubt;
import org.tarebook.check.InstrumentChecks;
import org.tarebook.check.InstrumentState;
import org.tarebook.item.Items;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.Shifts;
import org.tarebook.plant.Station;

/** Finds what is worth knowing about readings, from what is on record. */
@Component
class Notices {

  private static final Duration MOMENTS = Duration.ofMinutes(2);

  /** So near to the end of a shift readings of one name are taken for one sample. */
  private static final Duration NEAR = Duration.ofHours(1);

  private final Items items;
  private final InstrumentChecks instrumentChecks;
  private final ReadingStore store;
  private final Facts facts;
  private final WindowStore windows;
  private final List<ReadingFollower> followers;

  Notices(
      Items items,
      InstrumentChecks instrumentChecks,
      ReadingStore store,
      Facts facts,
      WindowStore windows,
      List<ReadingFollower> followers) {
    this.items = items;
    this.instrumentChecks = instrumentChecks;
    this.store = store;
    this.facts = facts;
    this.windows = windows;
    this.followers = followers;
  }

  /** The notices of readings, by their ids. */
  Map<Long, List<Notice>> of(Plan plan, List<Facts.Fact> facts) {
    Set<Long> instruments = new TreeSet<>();
    for (Facts.Fact fact : facts) {
      if (fact.reading().shown().instrumentId() != null) {
        instruments.add(fact.reading().shown().instrumentId());
      }
    }
    return of(plan, facts, instrumentChecks.states(plan, instruments));
  }

  /**
   * The same where it is known how the instruments stand.
   *
   * @param states by the ids of instruments
   */
  Map<Long, List<Notice>> of(Plan plan, List<Facts.Fact> facts, Map<Long, InstrumentState> states) {
    Map<Long, List<Notice>> notices = new HashMap<>();
    Set<String> named = new TreeSet<>();
    Set<Long> roots = new TreeSet<>();
    for (Facts.Fact fact : facts) {
      Reading reading = fact.reading();
      notices.put(reading.id(), own(plan, fact));
      if (reading.event().circumstances().item() != null) {
        named.add(reading.event().circumstances().item());
      }
      if (reading.remeasuresId() != null) {
        roots.add(reading.remeasuresId());
      }
    }
    Set<String> registered = items.registered(named);
    Map<Long, List<Facts.Fact>> chains = roots.isEmpty() ? Map.of() : chains(roots);
    for (Facts.Fact fact : facts) {
      if (amended(fact.causes())) {
        notices.remove(fact.reading().id());
        continue;
      }
      List<Notice> own = notices.getOrDefault(fact.reading().id(), new ArrayList<>());
      addOfItem(fact.reading(), registered, own);
      addOfCheck(plan, fact, states, own);
      addOfChain(fact, chains, own);
    }
    addOfSamples(plan, facts, notices);
    Set<Long> ids = notices.keySet();
    for (ReadingFollower follower : followers) {
      follower
          .notices(ids)
          .forEach(
              (id, more) -> notices.computeIfAbsent(id, none -> new ArrayList<>()).addAll(more));
    }
    return notices;
  }

  private static List<Notice> own(Plan plan, Facts.Fact fact) {
    Reading reading = fact.reading();
    List<Notice> notices = new ArrayList<>();
    Reading.Event event = reading.event();
    Reading.Shown shown = reading.shown();
    Station station = plan.stations().get(event.stationId());
    if (event.clockDoubt() == ClockDoubt.AHEAD) {
      notices.add(
          new Notice(
              Notice.Code.CLOCK_AHEAD,
              "The device's clock is ahead: measured "
                  + event.measuredAt()
                  + ", recorded "
                  + event.recordedAt()
                  + ". Set the device's clock."));
    } else if (event.clockDoubt() == ClockDoubt.BEHIND) {
      notices.add(
          new Notice(
              Notice.Code.CLOCK_BEHIND,
              "It arrived long after it was measured: measured "
                  + event.measuredAt()
                  + ", recorded "
                  + event.recordedAt()
                  + "."));
    }
    if (event.remeasuresKey() != null && reading.remeasuresId() == null) {
      notices.add(
          new Notice(
              Notice.Code.REMEASURES_NOTHING,
              "No earlier posting of this station has the key "
                  + event.remeasuresKey()
                  + " and this characteristic; it counts as a first reading."));
    }
    if (reading.chartId() == null) {
      notices.add(
          new Notice(
              Notice.Code.NO_CHART,
              "The control plan has no row for this characteristic on this line."));
    } else {
      addOfStrata(plan.charts().get(reading.chartId()), reading, notices);
    }
    BigDecimal value = shown.value();
    if (value != null
        && shown.gross() != null
        && shown.tare() != null
        && shown.gross().subtract(shown.tare()).compareTo(value) != 0) {
      notices.add(
          new Notice(
              Notice.Code.NET_DIFFERS,
              "The value "
                  + value
                  + " is not gross less tare, "
                  + shown.gross().subtract(shown.tare())
                  + " "
                  + shown.unit().label()
                  + "."));
    }
    if (shown.instrumentId() == null) {
      if (!plan.instrumentsAt(station).isEmpty()) {
        notices.add(
            new Notice(
                Notice.Code.INSTRUMENT_NOT_NAMED,
                "The station has no single instrument for this kind of unit; name the instrument."));
      }
    } else {
      addOfInstrument(plan.instruments().get(shown.instrumentId()), station, notices);
    }
    if (fact.judged().notJudged() == NotJudged.ABOVE_CAPACITY) {
      notices.add(
          new Notice(
              Notice.Code.ABOVE_CAPACITY,
              "The value lies above the instrument's capacity: it is neither judged nor counted. Weigh"
                  + " again on an instrument that can weigh it."));
    }
    if (station.retired() || plan.characteristics().get(reading.characteristicId()).retired()) {
      notices.add(new Notice(Notice.Code.RETIRED, "The station or the characteristic is retired."));
    }
    return notices;
  }

  private static void addOfStrata(Chart chart, Reading reading, List<Notice> notices) {
    Reading.Circumstances of = reading.event().circumstances();
    List<String> missing =
        chart.cut().strata().stream()
            .filter(
                stratum ->
                    switch (stratum) {
                      case STATION -> false;
                      case INSTRUMENT -> reading.shown().instrumentId() == null;
                      case DIE -> of.die() == null;
                      case LOT -> of.lot() == null;
                      case OPERATOR -> of.operator() == null;
                    })
            .map(stratum -> stratum.name().toLowerCase(Locale.ROOT))
            .sorted()
            .toList();
    if (!missing.isEmpty()) {
      notices.add(
          new Notice(
              Notice.Code.STRATUM_MISSING,
              "Chart "
                  + chart.code()
                  + " keeps its points apart by "
                  + String.join(" and ", missing)
                  + ", which this reading does not name; name it."));
    }
  }

  private static void addOfInstrument(
      Instrument instrument, Station station, List<Notice> notices) {
    if (instrument.stationId() != station.id()) {
      notices.add(
          new Notice(
              Notice.Code.INSTRUMENT_ELSEWHERE,
              "The instrument " + instrument.code() + " hangs at another station."));
    }
  }

  private static void addOfItem(Reading reading, Set<String> registered, List<Notice> notices) {
    String item = reading.event().circumstances().item();
    if (item != null && !registered.contains(item)) {
      notices.add(new Notice(Notice.Code.UNKNOWN_ITEM, "The item " + item + " is not registered."));
    }
  }

  private static void addOfCheck(
      Plan plan, Facts.Fact fact, Map<Long, InstrumentState> states, List<Notice> notices) {
    Reading reading = fact.reading();
    Instant at = reading.event().measuredAt();
    Long id = reading.shown().instrumentId();
    InstrumentState state = id == null ? null : states.get(id);
    if (id == null || state == null) {
      return;
    }
    String instrument = plan.instruments().get(id).code();
    state
        .suspectedBy(at)
        .ifPresent(
            doubt -> notices.add(ofDoubt(fact, instrument, doubt, Cause.INSTRUMENT_SUSPECT)));
    state
        .failedAt(at)
        .ifPresent(doubt -> notices.add(ofDoubt(fact, instrument, doubt, Cause.INSTRUMENT_FAILED)));
    state
        .unverifiedFrom()
        .filter(from -> !at.isBefore(from))
        .ifPresent(
            from ->
                notices.add(
                    new Notice(
                        Notice.Code.CHECK_OVERDUE,
                        "The instrument's check is overdue; the result is unverified until it is"
                            + " checked.")));
  }

  private static Notice ofDoubt(Facts.Fact fact, String instrument, Doubt doubt, Cause cause) {
    boolean failed = cause == Cause.INSTRUMENT_FAILED;
    String when =
        failed
            ? " and was not put right yet when this was measured"
            : ", and no good check lies between this reading and that one";
    String result =
        fact.judged().notJudged() == NotJudged.INSTRUMENT_FAILED
            ? "It is not judged"
            : "Its result stays as it was judged";
    String counts =
        fact.causes().contains(cause)
            ? " and it does not count in statistics."
            : ", and the service is taking it out of statistics.";
    return new Notice(
        failed ? Notice.Code.INSTRUMENT_FAILED : Notice.Code.INSTRUMENT_SUSPECT,
        "Instrument "
            + instrument
            + " failed its check of "
            + doubt.failedAt()
            + when
            + ". "
            + result
            + counts
            + " Measure again on an instrument that is in order.");
  }

  private static void addOfChain(
      Facts.Fact fact, Map<Long, List<Facts.Fact>> chains, List<Notice> notices) {
    Reading reading = fact.reading();
    Long root = reading.remeasuresId();
    if (root == null) {
      return;
    }
    List<Facts.Fact> before =
        chains.getOrDefault(root, List.of()).stream()
            .takeWhile(other -> other.reading().id() != reading.id())
            .toList();
    if (before.isEmpty()) {
      return;
    }
    if (reading.event().remeasuresKey() == null) {
      notices.add(
          new Notice(
              Notice.Code.REPEATED_ITEM,
              "This item was measured before, first as reading "
                  + before.get(0).reading().id()
                  + "; only its first valid reading counts in statistics."));
    }
    Reading last = before.get(before.size() - 1).reading();
    Result earlier = before.get(before.size() - 1).judged().result();
    if ((earlier == Result.FAIL || earlier == Result.CONDITIONAL)
        && fact.judged().result() == Result.PASS) {
      Duration after = Duration.between(last.event().measuredAt(), reading.event().measuredAt());
      if (after.compareTo(MOMENTS) <= 0) {
        notices.add(
            new Notice(
                Notice.Code.PASS_AFTER_FAIL,
                (earlier == Result.FAIL ? "It failed" : "It was conditional")
                    + " as reading "
                    + last.id()
                    + " and passes "
                    + after.toSeconds()
                    + " s later."));
      }
    }
  }

  /**
   * Adds where a sample lies across the end of a shift. Readings within an hour of it are looked
   * at: whoever counts samples anew in each shift uses a name again without meaning one sample.
   */
  private void addOfSamples(Plan plan, List<Facts.Fact> facts, Map<Long, List<Notice>> notices) {
    Map<ReadingWindow.Asked, Set<String>> samples = new HashMap<>();
    for (Facts.Fact fact : facts) {
      Reading reading = fact.reading();
      String sample = reading.event().circumstances().sample();
      List<Notice> own = notices.get(reading.id());
      if (sample == null || reading.chartId() == null || own == null) {
        continue;
      }
      Chart chart = plan.charts().get(reading.chartId());
      if (chart.cut().subgroupSize() == 1) {
        continue;
      }
      Instant at = reading.event().measuredAt();
      Shifts.Occurrence shift = plan.shifts().at(at);
      Instant end = null;
      ReadingWindow.Asked beyond = null;
      if (at.isBefore(shift.from().plus(NEAR))) {
        end = shift.from();
        beyond = new ReadingWindow.Asked(chart, end.minus(NEAR), end);
      } else if (!at.isBefore(shift.before().minus(NEAR))) {
        end = shift.before();
        beyond = new ReadingWindow.Asked(chart, end, end.plus(NEAR));
      }
      if (beyond != null && samples.computeIfAbsent(beyond, windows::samples).contains(sample)) {
        own.add(
            new Notice(
                Notice.Code.SAMPLE_ACROSS_SHIFTS,
                "The sample "
                    + sample
                    + " has readings before and after the end of a shift, "
                    + end
                    + ": each part is a point of its own. Take a sample within one shift."));
      }
    }
  }

  private static boolean amended(Set<Cause> causes) {
    return causes.contains(Cause.VOIDED) || causes.contains(Cause.REPLACED);
  }

  /** The readings of some items that stand, in the order they were measured. */
  private Map<Long, List<Facts.Fact>> chains(Collection<Long> roots) {
    return facts.of(store.findChains(roots)).stream()
        .filter(fact -> !amended(fact.causes()))
        .collect(
            Collectors.groupingBy(
                fact ->
                    fact.reading().remeasuresId() == null
                        ? (Long) fact.reading().id()
                        : fact.reading().remeasuresId()));
  }
}
