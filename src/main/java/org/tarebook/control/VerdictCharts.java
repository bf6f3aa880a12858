package org.tarebook.control;

import java.math.BigDecimal;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.cure.CavityLoad;
import org.tarebook.cure.Cure;
import org.tarebook.cure.CureVerdict;
import org.tarebook.cure.Verdict;
import org.tarebook.cure.Verdict.CavityVerdict;
import org.tarebook.cure.VerdictFollower;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Press;
import org.tarebook.plant.Presses;
import org.tarebook.plant.Stations;
import org.tarebook.reading.Amendments;
import org.tarebook.reading.Outcome;
import org.tarebook.reading.Posting;
import org.tarebook.reading.Reading;
import org.tarebook.reading.Readings;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Characteristics;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Transactions;

/**
 * Makes figures of cure verdicts readings of characteristics, so that charts and studies see them:
 * the press's station as their station, the cavity as their die, the green tyre as their item. A
 * later verdict voids the reading of the one before and puts its own beside it.
 */
@Service
class VerdictCharts implements VerdictFollower {

  private static final Logger log = LoggerFactory.getLogger(VerdictCharts.class);

  private final JdbcClient jdbc;
  private final Readings readings;
  private final Amendments amendments;
  private final Presses presses;
  private final Stations stations;
  private final Characteristics characteristics;
  private final Audit audit;
  private final Transactions transactions;
  private final Clock clock;

  VerdictCharts(
      JdbcClient jdbc,
      Readings readings,
      Amendments amendments,
      Presses presses,
      Stations stations,
      Characteristics characteristics,
      Audit audit,
      Transactions transactions,
      Clock clock) {
    this.jdbc = jdbc;
    this.readings = readings;
    this.amendments = amendments;
    this.presses = presses;
    this.stations = stations;
    this.characteristics = characteristics;
    this.audit = audit;
    this.transactions = transactions;
    this.clock = clock;
  }

  /** That a figure of a press's verdicts is charted as a characteristic. */
  record Charted(
      long pressId,
      VerdictFigure figure,
      long characteristicId,
      String person,
      Instant recordedAt) {}

  /** What was recorded, and whether it was on record before. */
  record Recorded(Charted charted, boolean replayed) {}

  List<Charted> all() {
    return found("press_id > ?", 0L);
  }

  Recorded record(Press press, VerdictFigure figure, Characteristic characteristic, Actor actor) {
    if (!characteristic.unit().sameKindAs(figure.unit())) {
      throw Problem.at(
          ProblemType.UNIT_MISMATCH,
          "/characteristic",
          "is in "
              + characteristic.unit()
              + ", and "
              + figure
              + " is of "
              + figure.unit().kind().label()
              + ", such as "
              + figure.unit().code());
    }
    return transactions.write(
        () -> {
          Optional<Charted> known =
              found("press_id = ?", press.id()).stream()
                  .filter(one -> one.figure() == figure)
                  .findFirst();
          if (known.isPresent()) {
            if (known.get().characteristicId() != characteristic.id()) {
              throw new Problem(
                  ProblemType.CONFLICT,
                  figure
                      + " of press "
                      + press.code()
                      + " is charted as "
                      + characteristics.byId(known.get().characteristicId()).code()
                      + " already.");
            }
            return new Recorded(known.get(), true);
          }
          Charted charted =
              new Charted(press.id(), figure, characteristic.id(), actor.name(), clock.instant());
          jdbc.sql(
                  "insert into verdict_chart (press_id, figure, characteristic_id, person,"
                      + " recorded_at) values (?, ?, ?, ?, ?)")
              .param(press.id())
              .param(figure.name())
              .param(characteristic.id())
              .param(actor.name())
              .param(SqlTime.of(charted.recordedAt()))
              .update();
          audit.record(
              actor,
              "created",
              "verdict chart",
              press.code() + "/" + figure,
              Map.of("characteristic", characteristic.code()));
          return new Recorded(charted, false);
        });
  }

  @Override
  public void reached(Cure cure, Verdict verdict, @Nullable Verdict before, Actor actor) {
    List<Charted> charted = found("press_id = ?", cure.pressId());
    if (charted.isEmpty()) {
      return;
    }
    long stationId = presses.byId(cure.pressId()).stationId();
    List<Posting> fresh = new ArrayList<>();
    for (Charted one : charted) {
      for (CavityVerdict cavity : verdict.cavities()) {
        BigDecimal figure = figure(one, cavity);
        Optional<Reading> posted = posted(stationId, verdict, one, cavity.cavity());
        if (posted.isPresent()) {
          Optional<String> amendedBy = amendments.amendedBy(posted.get().id());
          boolean ownVoid = amendedBy.filter(Actor.TAREBOOK.name()::equals).isPresent();
          if (!ownVoid && same(posted.get(), figure)) {
            continue;
          }
          if (amendedBy.isEmpty()) {
            amendments.voidReading(
                posted.get().id(),
                key(verdict, verdict.number(), one, cavity.cavity()) + ":void",
                "verdict " + verdict.number() + " on the cure has taken its place",
                Actor.TAREBOOK);
          }
        }
        if (figure != null) {
          fresh.add(posting(cure, verdict, one, cavity.cavity(), figure, stationId));
        }
      }
    }
    if (!fresh.isEmpty()) {
      for (Outcome outcome : readings.record(fresh, Actor.TAREBOOK).outcomes()) {
        if (outcome.refusal() != null) {
          log.warn(
              "A figure of cure {} was not charted: {}", cure.id(), outcome.refusal().detail());
        }
      }
    }
  }

  /** Of a cavity that was not judged nothing is charted: as a reading it would pass or fail. */
  private static @Nullable BigDecimal figure(Charted charted, CavityVerdict cavity) {
    return cavity.verdict() == CureVerdict.NOT_JUDGED
        ? null
        : charted.figure().of(cavity.figures());
  }

  /** The reading an earlier verdict put on record last, amended since or not. */
  private Optional<Reading> posted(long stationId, Verdict verdict, Charted charted, int cavity) {
    for (int number = verdict.number() - 1; number > 0; number--) {
      List<Reading> found =
          readings.find(stationId, List.of(key(verdict, number, charted, cavity)));
      if (!found.isEmpty()) {
        return Optional.of(found.get(0));
      }
    }
    return Optional.empty();
  }

  private static boolean same(Reading posted, @Nullable BigDecimal figure) {
    BigDecimal shown = posted.shown().value();
    return figure == null ? shown == null : shown != null && shown.compareTo(figure) == 0;
  }

  private static String key(Verdict verdict, int number, Charted charted, int cavity) {
    return "cure:" + verdict.cureId() + ":" + number + ":" + charted.figure() + ":" + cavity;
  }

  private Posting posting(
      Cure cure, Verdict verdict, Charted charted, int cavity, BigDecimal figure, long stationId) {
    String greenTyre =
        cure.cavities().stream()
            .filter(load -> load.cavity() == cavity)
            .map(CavityLoad::greenTyre)
            .filter(Objects::nonNull)
            .findFirst()
            .orElse(null);
    Instant ended = cure.closing() == null ? cure.startedAt() : cure.closing().at();
    return new Posting(
        key(verdict, verdict.number(), charted, cavity),
        stations.byId(stationId).code(),
        characteristics.byId(charted.characteristicId()).code(),
        figure,
        null,
        charted.figure().unit().code(),
        ended.plus(Duration.ofNanos(1000L * cavity)),
        null,
        null,
        null,
        null,
        null,
        String.valueOf(cavity),
        null,
        "cure:" + cure.id(),
        null,
        null,
        greenTyre,
        null,
        null,
        null,
        null);
  }

  private List<Charted> found(String where, long first) {
    return jdbc.sql("select * from verdict_chart where " + where + " order by press_id, figure")
        .param(first)
        .query(
            (row, number) ->
                new Charted(
                    row.getLong("press_id"),
                    VerdictFigure.valueOf(row.getString("figure")),
                    row.getLong("characteristic_id"),
                    row.getString("person"),
                    SqlTime.get(row, "recorded_at")))
        .list();
  }
}
