package org.tarebook.compound;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.compound.KineticsRequest.StatedTime;
import org.tarebook.http.Faults;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;

/**
 * What must hold of kinetics to be recorded; every fault is told. The bounds are wide: they catch a
 * unit or a place mistaken, not an unusual compound.
 */
final class KineticsRules {

  /** Lowest and highest activation energy taken, J/mol. */
  static final double LEAST_ENERGY = 10_000;

  static final double MOST_ENERGY = 500_000;

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

  /** Refuses a temperature at which nobody cures. */
  static void checkTemperature(Quantity temperature, String pointer, Faults faults) {
    within(temperature, Unit.CELSIUS, 0, 300, pointer, faults, "a temperature of cure lies", "Cel");
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
    checkTemperature(stated.referenceTemperature(), "/referenceTemperature", faults);
    within(
        stated.activationEnergy(),
        Unit.JOULE_PER_MOLE,
        LEAST_ENERGY,
        MOST_ENERGY,
        "/activationEnergy",
        faults,
        "an activation energy of cure lies",
        "J/mol");
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
      checkTemperature(times.get(i).temperature(), pointer + "/temperature", faults);
      positive(times.get(i).t90(), Unit.MINUTE, pointer + "/t90");
    }
    if (stated.factor() != null) {
      double factor = stated.factor().doubleValue();
      faults.require(
          factor > 1 && factor <= 10,
          "/factor",
          "is " + stated.factor() + "; the cure is faster when hotter, above 1 and up to 10 times");
    }
    within(
        stated.per(),
        Unit.KELVIN_DIFFERENCE,
        1,
        100,
        "/per",
        faults,
        "the difference of one factor lies",
        Unit.KELVIN_DIFFERENCE.code());
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
    within(
        stated.diffusivity(),
        Unit.SQUARE_METRE_PER_SECOND,
        1e-8,
        1e-6,
        "/diffusivity",
        faults,
        "the diffusivity of a rubber compound lies",
        "m2/s");
    positive(stated.diffusivityUncertainty(), Unit.ONE, "/diffusivityUncertainty");
    faults.require(
        stated.diffusivityUncertainty().in(Unit.ONE) < 1,
        "/diffusivityUncertainty/value",
        "must be below 100 %");
    within(
        stated.conductivity(),
        Unit.WATT_PER_METRE_KELVIN,
        0.01,
        10,
        "/conductivity",
        faults,
        "the conductivity of a rubber compound lies",
        "W/(m.K)");
  }

  private void checkRange() {
    KineticsRequest.Range range = stated.range();
    if (range != null) {
      checkTemperature(new Quantity(range.lowest(), range.unit()), "/range", faults);
      checkTemperature(new Quantity(range.highest(), range.unit()), "/range", faults);
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

  private static void within(
      @Nullable Quantity of,
      Unit unit,
      double low,
      double high,
      String pointer,
      Faults faults,
      String what,
      String code) {
    if (of != null) {
      double is = of.in(unit, pointer);
      faults.require(
          low <= is && is <= high,
          pointer + "/value",
          "is %s %s; %s from %s to %s %s, so check value and unit"
              .formatted(of.value(), of.unit(), what, plain(low), plain(high), code));
    }
  }

  private static String plain(double bound) {
    return Decimals.of(Decimals.fraction(java.math.BigDecimal.valueOf(bound))).toPlainString();
  }
}
