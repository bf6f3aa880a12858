package org.tarebook.compound;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.compound.RecordedKinetics.UsedTime;
import org.tarebook.http.Faults;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Component;
import org.tarebook.plant.Quantity;
import org.tarebook.plant.Register;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.Ids;
import org.tarebook.thermal.CureMeter;

/** Takes in cure-meter curves, with the figures found from them. */
@Service
class CureMeterCurves {

  private final Compounds compounds;
  private final CurveStore store;
  private final Register.Tools tools;
  private final Ids ids;
  private final Duration clockAhead;

  CureMeterCurves(
      Compounds compounds,
      CurveStore store,
      Register.Tools tools,
      Ids ids,
      @Value("${tarebook.clock-ahead}") Duration clockAhead) {
    this.compounds = compounds;
    this.store = store;
    this.tools = tools;
    this.ids = ids;
    this.clockAhead = clockAhead;
  }

  /** A curve, and whether it was on record before. */
  record Recorded(Curve curve, boolean replayed) {}

  /** Records a curve. A repeat under the same key changes nothing. */
  Recorded record(Component compound, CurveRequest sent, Actor actor) {
    return tools
        .transactions()
        .write(
            () -> {
              Optional<Curve> known = store.find(actor.name(), sent.key());
              if (known.isPresent()) {
                requireSame(compound, sent, known.get());
                return new Recorded(known.get(), true);
              }
              Instant now = tools.clock().instant();
              check(sent, now);
              long id = ids.next();
              store.add(new Curve(id, compound.id(), sent, figures(sent), actor.name(), now));
              tools
                  .audit()
                  .record(
                      actor,
                      "recorded",
                      "cure-meter curve",
                      String.valueOf(id),
                      Map.of("compound", compound.code(), "key", sent.key()));
              return new Recorded(store.find(id).orElseThrow(), false);
            });
  }

  /** The tc90 of a curve that kinetics are to be found from. */
  UsedTime cureTime(Component compound, String id, String pointer) {
    Curve curve =
        store
            .find(Long.parseLong(id))
            .filter(found -> found.compoundId() == compound.id())
            .orElseThrow(
                () ->
                    Problem.at(
                        ProblemType.UNKNOWN_CODE,
                        pointer,
                        "There is no cure-meter curve "
                            + id
                            + " of compound "
                            + compound.code()
                            + "."));
    Double tc90 = curve.figures().tc90();
    if (tc90 == null) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          pointer,
          "curve " + id + " has no tc90: its torque never rises behind its lowest value");
    }
    return new UsedTime(
        curve.sent().temperature(),
        new Quantity(BigDecimal.valueOf(tc90), Unit.MINUTE.code()),
        curve.id());
  }

  private void check(CurveRequest sent, Instant now) {
    Faults faults = new Faults();
    Bounds.TEMPERATURE.check(sent.temperature(), "/temperature", faults);
    sent.time().in(Unit.MINUTE, "/time");
    sent.torque().in(Unit.DECINEWTON_METRE, "/torque");
    List<BigDecimal> times = sent.time().values();
    faults.require(
        times.get(0).signum() >= 0, "/time/values/0", "is " + times.get(0) + ", below 0");
    for (int i = 1; i < times.size(); i++) {
      if (times.get(i).compareTo(times.get(i - 1)) <= 0) {
        faults.add(
            "/time/values/" + i,
            "is "
                + times.get(i)
                + ", which is not behind "
                + times.get(i - 1)
                + "; send the points in the order of time, each time once");
        break;
      }
    }
    int torques = sent.torque().values().size();
    faults.require(
        torques == times.size(),
        "/torque/values",
        "has " + torques + " values for " + times.size() + " times; send one for each");
    faults.require(
        !sent.measuredAt().isAfter(now.plus(clockAhead)),
        "/measuredAt",
        "is more than "
            + clockAhead
            + " ahead of the server's clock, which shows "
            + now
            + "; set the clock that gave it, and send it again");
    faults.throwIfAny(ProblemType.RULE_BROKEN);
  }

  private static CureMeter figures(CurveRequest sent) {
    try {
      return CureMeter.of(
          sent.time().in(Unit.MINUTE, "/time"), sent.torque().in(Unit.DECINEWTON_METRE, "/torque"));
    } catch (IllegalArgumentException refused) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, "/time/values", String.valueOf(refused.getMessage()));
    }
  }

  private void requireSame(Component compound, CurveRequest sent, Curve stored) {
    sent.content(compound.code())
        .requireSameAs(
            stored.sent().content(compounds.byId(stored.compoundId()).code()),
            sent.key(),
            "cure-meter curve " + stored.id());
  }
}
