package org.tarebook.cure;

import java.math.BigDecimal;
import java.math.MathContext;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.http.Bodies;
import org.tarebook.http.Faults;
import org.tarebook.http.Problem;
import org.tarebook.http.Problem.Fault;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Press;
import org.tarebook.plant.Presses;
import org.tarebook.plant.Quantity;
import org.tarebook.plant.Stations;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.CureSchedule;
import org.tarebook.schedule.CureSchedules;
import org.tarebook.schedule.Measured.Physical;
import org.tarebook.schedule.ScheduleRevision;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.WriteLocks;

/** Takes in cures: what is loaded, by what schedule, and by which channels it is watched. */
@Service
class CureIntake {

  /** Largest error of a temperature that anything can be judged by, in kelvin. */
  private static final double COARSEST = 30;

  private final CureStore store;
  private final CureSchedules schedules;
  private final Presses presses;
  private final Stations stations;
  private final Bodies bodies;
  private final Transactions transactions;
  private final WriteLocks locks;
  private final Ids ids;
  private final Clock clock;
  private final Duration clockAhead;

  CureIntake(
      CureStore store,
      CureSchedules schedules,
      Presses presses,
      Stations stations,
      Bodies bodies,
      Transactions transactions,
      WriteLocks locks,
      Ids ids,
      Clock clock,
      @Value("${tarebook.clock-ahead}") Duration clockAhead) {
    this.store = store;
    this.schedules = schedules;
    this.presses = presses;
    this.stations = stations;
    this.bodies = bodies;
    this.transactions = transactions;
    this.locks = locks;
    this.ids = ids;
    this.clock = clock;
    this.clockAhead = clockAhead;
  }

  /** A cure somebody posts. */
  record Posted(
      String key,
      String press,
      String schedule,
      Instant startedAt,
      @Nullable Quantity barometer,
      List<CavityLoad> cavities,
      List<Channel> channels) {}

  /** A cure, and whether it was on record before. */
  record Outcome(Cure cure, boolean replayed) {}

  Outcome record(Posted posted, Actor actor) {
    Press press = presses.require(posted.press(), "/press");
    CureSchedule schedule = schedules.require(posted.schedule(), "/schedule");
    requireOwn(press, actor);
    check(posted, press);
    BigDecimal barometer = barometer(posted);
    return transactions.write(
        () -> {
          stations.lock(List.of(press.stationId()));
          Optional<Cure> stored = store.find(actor.name(), posted.key());
          if (stored.isPresent()) {
            requireSame(posted, press, schedule, barometer, stored.get());
            return new Outcome(stored.get(), true);
          }
          Instant now = clock.instant();
          requireNotAhead(posted.startedAt(), now, "/startedAt");
          Cure cure =
              new Cure(
                  ids.next(),
                  posted.key(),
                  actor.name(),
                  press.id(),
                  schedule.id(),
                  schedules
                      .inForce(schedule.id(), posted.startedAt())
                      .map(ScheduleRevision::id)
                      .orElse(null),
                  posted.startedAt(),
                  barometer,
                  posted.cavities(),
                  posted.channels(),
                  now,
                  null,
                  0);
          store.add(cure, locks.take(press.id()));
          return new Outcome(store.require(cure.id()), false);
        });
  }

  /** Refuses a station that is not the one of the press. */
  void requireOwn(Press press, Actor actor) {
    String station = stations.byId(press.stationId()).code();
    if (actor.kind() == Actor.Kind.STATION && !station.equals(actor.station())) {
      throw Problem.at(
          ProblemType.NOT_ALLOWED,
          "/press",
          "is logged by station "
              + station
              + ", and this token is of station "
              + actor.station()
              + "; post with that station's token or a person's");
    }
  }

  /** Refuses a moment that lies ahead of the server's clock. */
  void requireNotAhead(Instant moment, Instant now, String pointer) {
    if (moment.isAfter(now.plus(clockAhead))) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          pointer,
          "is more than "
              + clockAhead
              + " ahead of the server's clock, which shows "
              + now
              + "; set the clock that gave it, and send it again");
    }
  }

  private static void check(Posted posted, Press press) {
    Faults faults = new Faults();
    Set<Integer> loaded = new HashSet<>();
    for (int i = 0; i < posted.cavities().size(); i++) {
      CavityLoad load = posted.cavities().get(i);
      String place = "/cavities/" + i;
      if (load.cavity() > press.cavities()) {
        faults.add(
            place + "/cavity", "press " + press.code() + " has cavities 1 to " + press.cavities());
      }
      if (!loaded.add(load.cavity())) {
        faults.add(
            place + "/cavity",
            load.cavity() + " is loaded twice; one cavity holds one tyre, leave one of them out");
      }
      if (load.greenTemperature() != null) {
        Units.requireOfKind(
            load.greenTemperature().unit(), Unit.CELSIUS, place + "/greenTemperature/unit");
      }
      if (load.builtAt() != null && load.builtAt().isAfter(posted.startedAt())) {
        faults.add(place + "/builtAt", "is behind startedAt; a tyre is built before it is cured");
      }
    }
    Set<String> codes = new HashSet<>();
    for (int i = 0; i < posted.channels().size(); i++) {
      Channel channel = posted.channels().get(i);
      String place = "/channels/" + i;
      if (!codes.add(channel.code())) {
        faults.add(place + "/code", channel.code() + " stands twice; each sensor has its own code");
      }
      check(channel, place, press, faults);
    }
    faults.throwIfAny(ProblemType.RULE_BROKEN);
  }

  private static void check(Channel channel, String place, Press press, Faults faults) {
    Unit unit = Units.require(channel.unit(), place + "/unit");
    Physical physical = channel.measured().physical();
    if (physical == Physical.TEMPERATURE) {
      Units.requireOfKind(channel.unit(), Unit.CELSIUS, place + "/unit");
      if (channel.pressure() != null) {
        faults.add(place + "/pressure", "belongs to pressures, and this is a temperature");
      }
      if (channel.sensorClass() == null && channel.accuracy() == null) {
        faults.add(
            place + "/sensorClass", "or accuracy is needed: how far the sensor may be wrong");
      } else if (channel.accuracy() != null
          && channel.accuracy().doubleValue() * unit.factorTo(Unit.CELSIUS).doubleValue()
              > COARSEST) {
        faults.add(place + "/accuracy", "is more than 30 K; no cure can be judged by that sensor");
      }
    } else if (physical == Physical.PRESSURE) {
      Units.requireOfKind(channel.unit(), Unit.KILOPASCAL, place + "/unit");
      if (channel.pressure() == null) {
        faults.add(
            place + "/pressure",
            "is needed: GAUGE if the sensor shows 0 in open air, ABSOLUTE if it shows the barometer");
      }
      if (channel.accuracy() == null) {
        faults.add(
            place + "/accuracy",
            "is needed of a pressure: how far the sensor may be wrong, in " + channel.unit());
      }
    } else if (!unit.sameKindAs(Unit.KILOPASCAL) && !unit.sameKindAs(Unit.KILONEWTON)) {
      faults.add(place + "/unit", "of clamping is a pressure or a force");
    }
    if (physical != Physical.TEMPERATURE && channel.sensorClass() != null) {
      faults.add(place + "/sensorClass", "belongs to temperatures; give accuracy");
    }
    BigDecimal from = channel.rangeFrom();
    BigDecimal until = channel.rangeUntil();
    if (from != null && until != null && from.compareTo(until) >= 0) {
      faults.add(place + "/rangeFrom", "must be below rangeUntil");
    }
    for (Integer cavity : channel.serves()) {
      if (cavity > press.cavities()) {
        faults.add(
            place + "/serves",
            "names cavity "
                + cavity
                + "; press "
                + press.code()
                + " has cavities 1 to "
                + press.cavities());
      }
    }
    if (new HashSet<>(channel.serves()).size() < channel.serves().size()) {
      faults.add(place + "/serves", "names a cavity twice");
    }
    if (channel.heartbeat() != null) {
      if (channel.recording() == Channel.Recording.SAMPLED) {
        faults.add(place + "/heartbeat", "belongs to ON_CHANGE recorders");
      } else if (channel.heartbeat().isNegative() || channel.heartbeat().isZero()) {
        faults.add(place + "/heartbeat", "must be positive, for example PT1M");
      }
    }
  }

  private static @Nullable BigDecimal barometer(Posted posted) {
    if (posted.barometer() == null) {
      return null;
    }
    double kiloPascal = posted.barometer().in(Unit.KILOPASCAL, "/barometer");
    if (kiloPascal < 50 || kiloPascal > 110) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/barometer/value",
          "is "
              + posted.barometer().value()
              + " "
              + posted.barometer().unit()
              + ", and air on Earth's workplaces has 50 to 110 kPa; check the unit, or leave it out"
              + " and the altitude of the press gives it");
    }
    return new BigDecimal(kiloPascal, new MathContext(8))
        .setScale(4, java.math.RoundingMode.HALF_EVEN);
  }

  private void requireSame(
      Posted posted,
      Press press,
      CureSchedule schedule,
      @Nullable BigDecimal barometer,
      Cure stored) {
    record Content(
        long press,
        long schedule,
        Instant startedAt,
        @Nullable BigDecimal barometer,
        List<CavityLoad> cavities,
        List<Channel> channels) {}
    List<CavityLoad> inOrder =
        posted.cavities().stream().sorted(Comparator.comparing(CavityLoad::cavity)).toList();
    List<String> differing =
        bodies.differences(
            new Content(
                press.id(),
                schedule.id(),
                posted.startedAt(),
                barometer,
                inOrder,
                posted.channels()),
            new Content(
                stored.pressId(),
                stored.scheduleId(),
                stored.startedAt(),
                stored.barometer(),
                stored.cavities(),
                stored.channels()));
    if (!differing.isEmpty()) {
      throw new Problem(
          ProblemType.KEY_REUSED,
          "The key "
              + posted.key()
              + " names cure "
              + stored.id()
              + ", which differs in "
              + String.join(", ", differing)
              + "; a new cure needs a new key.",
          differing.stream()
              .map(name -> Fault.at("/" + name, "differs from the stored cure"))
              .toList());
    }
  }
}
