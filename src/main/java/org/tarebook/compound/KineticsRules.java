package org.tarebook.compound;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.compound.KineticsRequest.StatedTime;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Quantity;
import org.tarebook.plant.Units;
import org.tarebook.quantity.Unit;

/** What must hold of kinetics to be recorded; every fault is told. */
final class KineticsRules {

  private final KineticsRequest stated;
  private final Faults faults = new Faults();

  private KineticsRules(KineticsRequest stated) {
    this.stated = stated;
  }

  /** Refuses what cannot be. */
  static void check(KineticsRequest stated) {
    KineticsRules rules = new KineticsRules(stated);
    if (stated.law() == KineticsRequest.Law.ARRHENIUS) {
      rules.checkMembersOfArrhenius();
    } else {
      rules.checkMembersOfCoefficient();
    }
    rules.checkTogether();
    rules.faults.throwIfAny(ProblemType.INVALID_REQUEST);
    rules.checkLaw();
    rules.checkFirstOrder();
    rules.checkHeat();
    rules.checkRange();
    rules.faults.throwIfAny(ProblemType.RULE_BROKEN);
  }

  private void checkMembersOfArrhenius() {
    int ways =
        (stated.activationEnergy() == null ? 0 : 1)
            + (stated.cureTimes() == null ? 0 : 1)
            + (stated.fromCurves() == null ? 0 : 1);
    faults.require(
        ways > 0,
        "/activationEnergy",
        "or cureTimes or fromCurves is needed: there is no default energy");
    faults.require(
        ways < 2,
        stated.cureTimes() == null ? "/fromCurves" : "/cureTimes",
        "give one of activationEnergy, cureTimes and fromCurves; which of them counts is not for"
            + " the service to choose");
    int times = stated.statedTimes().size() + stated.namedCurves().size();
    faults.require(
        stated.uncertainty() == null || times < 3,
        "/uncertainty",
        "is computed from " + times + " cure times; leave it out");
    absent(stated.factor(), "/factor");
    absent(stated.per(), "/per");
  }

  private void checkMembersOfCoefficient() {
    faults.require(stated.factor() != null, "/factor", "is needed under TEMPERATURE_COEFFICIENT");
    faults.require(stated.per() != null, "/per", "is needed under TEMPERATURE_COEFFICIENT");
    absent(stated.activationEnergy(), "/activationEnergy");
    absent(stated.uncertainty(), "/uncertainty");
    absent(stated.cureTimes(), "/cureTimes");
    absent(stated.fromCurves(), "/fromCurves");
  }

  private void absent(@Nullable Object member, String pointer) {
    faults.require(
        member == null, pointer, "is no part of the law " + stated.law() + "; leave it out");
  }

  private void checkTogether() {
    faults.require(
        stated.t90() != null || stated.induction() == null,
        "/t90",
        "is needed where induction is given");
    faults.require(
        stated.induction() != null || stated.t90() == null,
        "/induction",
        "is needed where t90 is given; 0 where the cure begins at once");
  }

  private void checkLaw() {
    Bounds.TEMPERATURE.check(stated.referenceTemperature(), "/referenceTemperature", faults);
    Bounds.ENERGY.check(stated.activationEnergy(), "/activationEnergy", faults);
    positive(stated.uncertainty(), Unit.JOULE_PER_MOLE, "/uncertainty");
    if (stated.uncertainty() != null && stated.activationEnergy() != null) {
      faults.require(
          stated.uncertainty().in(Unit.JOULE_PER_MOLE)
              < stated.activationEnergy().in(Unit.JOULE_PER_MOLE),
          "/uncertainty/value",
          "is not below the energy itself; state the standard uncertainty in its own unit, not in %");
    }
    List<StatedTime> times = stated.statedTimes();
    for (int i = 0; i < times.size(); i++) {
      String pointer = "/cureTimes/" + i;
      Bounds.TEMPERATURE.check(times.get(i).temperature(), pointer + "/temperature", faults);
      positive(times.get(i).t90(), Unit.MINUTE, pointer + "/t90");
    }
    if (stated.factor() != null) {
      double factor = stated.factor().doubleValue();
      faults.require(
          factor > 1 && factor <= 10,
          "/factor",
          "is " + stated.factor() + "; the cure is faster when hotter, above 1 and up to 10 times");
    }
    Bounds.STEP.check(stated.per(), "/per", faults);
  }

  private void checkFirstOrder() {
    if (stated.induction() == null || stated.t90() == null) {
      return;
    }
    double induction = stated.induction().in(Unit.MINUTE, "/induction");
    double t90 = stated.t90().in(Unit.MINUTE, "/t90");
    faults.require(
        induction >= 0, "/induction/value", "is " + stated.induction().value() + ", below 0");
    faults.require(t90 > induction, "/t90/value", "must be above the induction, which it includes");
  }

  private void checkHeat() {
    Bounds.DIFFUSIVITY.check(stated.diffusivity(), "/diffusivity", faults);
    positive(stated.diffusivityUncertainty(), Unit.ONE, "/diffusivityUncertainty");
    faults.require(
        stated.diffusivityUncertainty().in(Unit.ONE) < 1,
        "/diffusivityUncertainty/value",
        "must be below 100 %");
    Bounds.CONDUCTIVITY.check(stated.conductivity(), "/conductivity", faults);
  }

  private void checkRange() {
    KineticsRequest.Range range = stated.range();
    if (range != null) {
      Unit unit = Units.requireOfKind(range.unit(), Unit.CELSIUS, "/range/unit");
      Bounds.TEMPERATURE.check(range.lowest(), unit, "/range/lowest", faults);
      Bounds.TEMPERATURE.check(range.highest(), unit, "/range/highest", faults);
      faults.require(
          range.lowest().compareTo(range.highest()) < 0,
          "/range/lowest",
          "must be below the highest");
    }
  }

  private void positive(@Nullable Quantity of, Unit unit, String pointer) {
    if (of != null) {
      faults.require(
          of.in(unit, pointer) > 0, pointer + "/value", "is " + of.value() + ", must be above 0");
    }
  }
}
