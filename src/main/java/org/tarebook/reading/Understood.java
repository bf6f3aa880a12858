package org.tarebook.reading;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.audit.Actor;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Instrument;
import org.tarebook.plant.Station;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Kind;
import org.tarebook.quantity.Unit;
import org.tarebook.spec.Characteristic;

/**
 * A posting whose codes and units are known: all that is refused, is refused here. Whatever is
 * merely doubtful passes and is marked later.
 */
record Understood(Posting posting, Station station, List<Value> values) {

  /** A value with the things it names. */
  record Value(Characteristic characteristic, @Nullable Chart chart, Reading.Shown shown) {
    long lockId() {
      return chart != null ? chart.id() : characteristic.id();
    }
  }

  /** Reads a posting by the plan, for whoever posts it. */
  static Understood of(Plan plan, Posting posting, Actor actor) {
    Station station =
        plan.stations()
            .find(posting.station())
            .orElseThrow(() -> Problem.unknownCode("/station", "station", posting.station()));
    if (actor.station() != null && !actor.station().equals(station.code())) {
      throw Problem.at(
          ProblemType.NOT_ALLOWED,
          "/station",
          "is not the station of this token, which posts for " + actor.station() + " only");
    }
    List<Value> values = new ArrayList<>();
    Set<String> seen = new HashSet<>();
    List<Posting.Value> posted = posting.values();
    for (int i = 0; i < posted.size(); i++) {
      String at = i == 0 ? "" : "/together/" + (i - 1);
      if (!seen.add(posted.get(i).characteristic())) {
        throw Problem.at(
            ProblemType.RULE_BROKEN,
            at + "/characteristic",
            "stands twice in one posting; a second reading of it is a posting of its own");
      }
      values.add(value(plan, station, posted.get(i), at));
    }
    return new Understood(posting, station, values);
  }

  private static Value value(Plan plan, Station station, Posting.Value posted, String at) {
    Characteristic characteristic =
        plan.characteristics()
            .find(posted.characteristic())
            .orElseThrow(
                () ->
                    Problem.unknownCode(
                        at + "/characteristic", "characteristic", posted.characteristic()));
    Unit unit = Units.requireOfKind(posted.unit(), characteristic.unit(), at + "/unit");
    Set<Flag> flags = EnumSet.noneOf(Flag.class);
    flags.addAll(posted.flags() == null ? Set.of() : posted.flags());
    Instrument instrument = instrument(plan, station, posted, unit, at);
    BigDecimal net = net(posted, flags, at);
    if (net != null) {
      requirePossible(characteristic, net, unit, posted.tare() != null, at);
    }
    return new Value(
        characteristic,
        plan.chart(characteristic, station).orElse(null),
        new Reading.Shown(
            instrument == null ? null : (Long) instrument.id(),
            net,
            censored(posted, net, at),
            unit,
            posted.gross(),
            posted.tare(),
            flags));
  }

  private static @Nullable Censored censored(
      Posting.Value posted, @Nullable BigDecimal net, String at) {
    if (posted.censored() != null && net == null) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          at + "/censored",
          "needs the value that is the bound; leave it out where the instrument showed none");
    }
    return posted.censored();
  }

  private static @Nullable Instrument instrument(
      Plan plan, Station station, Posting.Value posted, Unit unit, String at) {
    String named = posted.instrument();
    if (named != null) {
      Instrument instrument =
          plan.instruments()
              .find(named)
              .orElseThrow(() -> Problem.unknownCode(at + "/instrument", "instrument", named));
      if (instrument.stationId() != station.id()) {
        throw Problem.at(
            ProblemType.RULE_BROKEN,
            at + "/instrument",
            named
                + " hangs at station "
                + plan.stations().get(instrument.stationId()).code()
                + ", not at "
                + station.code()
                + "; name an instrument of "
                + station.code());
      }
      return instrument;
    }
    List<Instrument> fitting =
        plan.instrumentsAt(station).stream()
            .filter(instrument -> instrument.unit().sameKindAs(unit))
            .toList();
    return fitting.size() == 1 ? fitting.get(0) : null;
  }

  private static @Nullable BigDecimal net(Posting.Value posted, Set<Flag> flags, String at) {
    boolean noValue = flags.contains(Flag.OVERLOAD) || flags.contains(Flag.UNDER);
    if (posted.value() != null || noValue) {
      return posted.value();
    }
    if (posted.gross() != null && posted.tare() != null) {
      return Decimals.check(posted.gross().subtract(posted.tare()));
    }
    throw Problem.at(
        ProblemType.RULE_BROKEN,
        at + "/value",
        "is needed, unless gross and tare give it or flags say OVERLOAD or UNDER");
  }

  /** Refuses values that cannot be. */
  static void requirePossible(
      Characteristic characteristic, BigDecimal net, Unit unit, boolean tareKnown, String at) {
    if (characteristic.unit().kind() == Kind.MASS && net.signum() < 0 && !tareKnown) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          at + "/value",
          "a mass below zero needs its tare: was "
              + net
              + " "
              + unit.label()
              + "; set the scale to zero or send gross and tare");
    }
    if (characteristic.kind() == Characteristic.Kind.COUNTED
        && (net.signum() < 0 || net.stripTrailingZeros().scale() > 0)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          at + "/value",
          "a count is a whole number, 0 or more; was " + net);
    }
  }

  /** The members in which this posting differs from what is stored under its key; empty if none. */
  List<String> differencesFrom(List<Reading> stored) {
    List<String> differences = new ArrayList<>();
    Reading.Event event = stored.get(0).event();
    Reading.Circumstances circumstances = event.circumstances();
    note(differences, "measuredAt", posting.measuredAt(), event.measuredAt());
    note(differences, "phase", phase(), circumstances.phase());
    note(differences, "die", posting.die(), circumstances.die());
    note(differences, "lot", posting.lot(), circumstances.lot());
    note(differences, "sample", posting.sample(), circumstances.sample());
    note(differences, "operator", posting.operator(), circumstances.operator());
    note(differences, "counter", posting.counter(), circumstances.counter());
    note(differences, "item", posting.item(), circumstances.item());
    note(differences, "truck", posting.truck(), circumstances.truck());
    note(differences, "leaf", posting.leaf(), circumstances.leaf());
    note(differences, "remeasures", posting.remeasures(), event.remeasuresKey());
    if (values.size() != stored.size()) {
      differences.add("together");
      return differences;
    }
    for (int i = 0; i < values.size(); i++) {
      String at = i == 0 ? "" : "together[" + (i - 1) + "].";
      Reading.Shown mine = values.get(i).shown();
      Reading.Shown other = stored.get(i).shown();
      note(
          differences,
          at + "characteristic",
          values.get(i).characteristic().id(),
          stored.get(i).characteristicId());
      noteDecimal(differences, at + "value", mine.value(), other.value());
      note(differences, at + "censored", mine.censored(), other.censored());
      note(differences, at + "unit", mine.unit(), other.unit());
      noteDecimal(differences, at + "gross", mine.gross(), other.gross());
      noteDecimal(differences, at + "tare", mine.tare(), other.tare());
      note(differences, at + "flags", mine.flags(), other.flags());
      if (posting.values().get(i).instrument() != null) {
        note(differences, at + "instrument", mine.instrumentId(), other.instrumentId());
      }
    }
    return differences;
  }

  Phase phase() {
    return posting.phase() == null ? Phase.RUNNING : posting.phase();
  }

  private static void note(
      List<String> differences, String member, @Nullable Object mine, @Nullable Object other) {
    if (mine == null ? other != null : !mine.equals(other)) {
      differences.add(member);
    }
  }

  private static void noteDecimal(
      List<String> differences,
      String member,
      @Nullable BigDecimal mine,
      @Nullable BigDecimal other) {
    if (mine == null ? other != null : other == null || mine.compareTo(other) != 0) {
      differences.add(member);
    }
  }
}
