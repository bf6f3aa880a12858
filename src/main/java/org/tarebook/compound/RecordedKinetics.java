package org.tarebook.compound;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Unit;
import org.tarebook.thermal.Arrhenius;
import org.tarebook.thermal.CureLaw;
import org.tarebook.thermal.FirstOrderCure;
import org.tarebook.thermal.TemperatureCoefficient;

/**
 * One revision on record. Never edited; a better one is a later revision.
 *
 * @param revision counted from 1 within the compound
 * @param stated as it was sent
 * @param used the times the energy was found from, in the order of the request; empty where none
 * @param energy the energy used; absent under a temperature coefficient
 * @param person who answers for it; the key is unique among theirs
 */
record RecordedKinetics(
    long id,
    long compoundId,
    int revision,
    KineticsRequest stated,
    List<UsedTime> used,
    @Nullable Energy energy,
    String person,
    Instant recordedAt) {

  /**
   * The activation energy used.
   *
   * @param error standard uncertainty in J/mol; absent where none is known
   */
  record Energy(double joulesPerMole, @Nullable Double error) {}

  /**
   * A time to 90 % of the cure.
   *
   * @param curve the id of the curve whose tc90 it is; absent where it was stated
   */
  record UsedTime(Quantity temperature, Quantity t90, @Nullable Long curve) {}

  /** In the units that are computed with. */
  Kinetics forComputing(String compound) {
    return new Kinetics(
        id,
        compound,
        revision,
        law(),
        energy == null ? null : energy.error(),
        used.size() > 2 ? used.size() - 2 : Double.POSITIVE_INFINITY,
        stated.diffusivity().in(Unit.SQUARE_METRE_PER_SECOND),
        stated.diffusivityUncertainty().in(Unit.ONE),
        stated.conductivity().in(Unit.WATT_PER_METRE_KELVIN),
        firstOrder(),
        range(),
        stated.onTrial(),
        stated.source());
  }

  private Kinetics.@Nullable Range range() {
    KineticsRequest.Range range = stated.range();
    return range == null
        ? null
        : new Kinetics.Range(
            new Quantity(range.lowest(), range.unit()).in(Unit.CELSIUS),
            new Quantity(range.highest(), range.unit()).in(Unit.CELSIUS));
  }

  private CureLaw law() {
    double reference = stated.referenceTemperature().in(Unit.CELSIUS);
    if (energy != null) {
      return new Arrhenius(energy.joulesPerMole(), reference);
    }
    BigDecimal factor = Objects.requireNonNull(stated.factor());
    Quantity per = Objects.requireNonNull(stated.per());
    return new TemperatureCoefficient(
        factor.doubleValue(), per.in(Unit.KELVIN_DIFFERENCE), reference);
  }

  private @Nullable FirstOrderCure firstOrder() {
    return stated.induction() == null || stated.t90() == null
        ? null
        : new FirstOrderCure(stated.induction().in(Unit.MINUTE), stated.t90().in(Unit.MINUTE));
  }
}
