package org.tarebook.compound;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.compound.KineticsRequest.StatedTime;
import org.tarebook.compound.RecordedKinetics.Energy;
import org.tarebook.compound.RecordedKinetics.UsedTime;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Component;
import org.tarebook.plant.Register;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.Ids;
import org.tarebook.thermal.ActivationEnergy;
import org.tarebook.thermal.CureTime;

/** Takes in kinetics: finds the activation energy where cure times are given, and stores both. */
@Service
class KineticsIntake {

  private final Compounds compounds;
  private final KineticsStore store;
  private final CureMeterCurves curves;
  private final Register.Tools tools;
  private final Ids ids;

  KineticsIntake(
      Compounds compounds,
      KineticsStore store,
      CureMeterCurves curves,
      Register.Tools tools,
      Ids ids) {
    this.compounds = compounds;
    this.store = store;
    this.curves = curves;
    this.tools = tools;
    this.ids = ids;
  }

  /** A revision, and whether it was on record before. */
  record Recorded(RecordedKinetics kinetics, boolean replayed) {}

  /** Records a revision. A repeat under the same key changes nothing. */
  Recorded record(Component compound, KineticsRequest stated, Actor actor) {
    return tools
        .transactions()
        .write(
            () -> {
              Optional<RecordedKinetics> known = store.find(actor.name(), stated.key());
              if (known.isPresent()) {
                requireSame(compound, stated, known.get());
                return new Recorded(known.get(), true);
              }
              return new Recorded(add(compound, stated, actor), false);
            });
  }

  private RecordedKinetics add(Component compound, KineticsRequest stated, Actor actor) {
    KineticsRules.check(stated);
    List<UsedTime> used = used(compound, stated);
    long id = ids.next();
    store.add(
        new RecordedKinetics(
            id,
            compound.id(),
            store.latest(compound.id()) + 1,
            stated,
            used,
            energy(stated, used),
            actor.name(),
            tools.clock().instant()));
    RecordedKinetics stored = store.find(id).orElseThrow();
    tools
        .audit()
        .record(actor, "created", "kinetics", compound.code() + "/" + stored.revision(), stated);
    return stored;
  }

  private List<UsedTime> used(Component compound, KineticsRequest stated) {
    List<UsedTime> used = new ArrayList<>();
    for (StatedTime time : stated.statedTimes()) {
      used.add(new UsedTime(time.temperature(), time.t90(), null));
    }
    List<String> named = stated.namedCurves();
    for (int i = 0; i < named.size(); i++) {
      String pointer = "/fromCurves/" + i;
      if (named.indexOf(named.get(i)) < i) {
        throw Problem.at(
            ProblemType.RULE_BROKEN, pointer, "names curve " + named.get(i) + " a second time");
      }
      used.add(curves.cureTime(compound, named.get(i), pointer));
    }
    return used;
  }

  private static @Nullable Energy energy(KineticsRequest stated, List<UsedTime> used) {
    Double error =
        stated.uncertainty() == null ? null : stated.uncertainty().in(Unit.JOULE_PER_MOLE);
    if (stated.activationEnergy() != null) {
      return new Energy(stated.activationEnergy().in(Unit.JOULE_PER_MOLE), error);
    }
    return used.isEmpty() ? null : found(stated, used, error);
  }

  private static Energy found(
      KineticsRequest stated, List<UsedTime> used, @Nullable Double statedError) {
    String pointer = stated.cureTimes() == null ? "/fromCurves" : "/cureTimes";
    ActivationEnergy found;
    try {
      found =
          ActivationEnergy.from(
              used.stream()
                  .map(
                      time ->
                          new CureTime(
                              time.temperature().in(Unit.CELSIUS), time.t90().in(Unit.MINUTE)))
                  .toList());
    } catch (IllegalArgumentException refused) {
      throw Problem.at(ProblemType.RULE_BROKEN, pointer, String.valueOf(refused.getMessage()));
    }
    double energy = found.joulesPerMole();
    if (!Bounds.ENERGY.contain(energy / 1000)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          pointer,
          "give an activation energy of "
              + Math.round(energy)
              + " J/mol; "
              + Bounds.ENERGY.words()
              + ", so check which time belongs to which temperature, and the units");
    }
    return new Energy(energy, found.standardError() == null ? statedError : found.standardError());
  }

  private void requireSame(Component compound, KineticsRequest stated, RecordedKinetics stored) {
    String code = compounds.byId(stored.compoundId()).code();
    stated
        .content(compound.code())
        .requireSameAs(
            stored.stated().content(code),
            stated.key(),
            "revision " + stored.revision() + " of the kinetics of " + code);
  }
}
