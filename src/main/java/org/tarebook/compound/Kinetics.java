package org.tarebook.compound;

import org.jspecify.annotations.Nullable;
import org.tarebook.thermal.Arrhenius;
import org.tarebook.thermal.CureLaw;
import org.tarebook.thermal.FirstOrderCure;

/**
 * One revision of what a compound does under heat, ready to compute with.
 *
 * @param compound code of the component
 * @param revision counted from 1 within the compound
 * @param energyError standard uncertainty of the activation energy, J/mol; absent where none is
 *     known, and of a temperature coefficient
 * @param energyFreedom degrees of freedom of that uncertainty; infinite where it was stated
 * @param diffusivity m2/s
 * @param diffusivityError relative standard uncertainty of the diffusivity: 0.05 for 5 %
 * @param conductivity W/(m K)
 * @param firstOrder at the reference temperature of the law; absent where none is stated
 * @param range temperatures for which the figures are stated to hold; absent where none are
 * @param trial whether the figures are on trial
 * @param source where the figures come from
 */
public record Kinetics(
    long id,
    String compound,
    int revision,
    CureLaw law,
    @Nullable Double energyError,
    double energyFreedom,
    double diffusivity,
    double diffusivityError,
    double conductivity,
    @Nullable FirstOrderCure firstOrder,
    @Nullable Range range,
    boolean trial,
    String source) {

  /** What says how the rate of cure depends on temperature, in words. */
  public String rateParameter() {
    return law instanceof Arrhenius ? "activation energy" : "temperature coefficient";
  }

  /** Temperatures in degrees Celsius, both included. */
  public record Range(double lowest, double highest) {}
}
