package org.tarebook.thermal;

import org.jspecify.annotations.Nullable;

/**
 * One layer of a section.
 *
 * @param name what it is called
 * @param thickness metres, above 0
 * @param diffusivity m2/s, above 0; about 1.0e-7 to 1.4e-7 for filled rubber
 * @param conductivity W/(m K), above 0
 * @param law how it cures; absent for metal and for a bladder, which is cured already
 */
public record Layer(
    String name, double thickness, double diffusivity, double conductivity, @Nullable CureLaw law) {

  /**
   * Checks the layer.
   *
   * @throws IllegalArgumentException if a number is not above 0
   */
  public Layer {
    Arguments.requirePositive("thickness of " + name + " in m", thickness);
    Arguments.requirePositive("diffusivity of " + name + " in m2/s", diffusivity);
    Arguments.requirePositive("conductivity of " + name + " in W/(m K)", conductivity);
  }

  /** The same layer, cured by another law. */
  public Layer curedBy(@Nullable CureLaw other) {
    return new Layer(name, thickness, diffusivity, conductivity, other);
  }
}
