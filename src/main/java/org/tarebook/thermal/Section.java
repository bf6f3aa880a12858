package org.tarebook.thermal;

import java.util.List;

/**
 * Layers side by side from the inside to the outside.
 *
 * @param layers at least one
 */
public record Section(List<Layer> layers) {

  /**
   * Checks the section.
   *
   * @throws IllegalArgumentException if there is no layer
   */
  public Section {
    layers = List.copyOf(layers);
    if (layers.isEmpty()) {
      throw new IllegalArgumentException("a section needs at least one layer");
    }
  }

  /**
   * Returns where a layer begins, in metres from the inner face; its count gives the outer face.
   */
  public double start(int layer) {
    double sum = 0;
    for (int i = 0; i < layer; i++) {
      sum += layers.get(i).thickness();
    }
    return sum;
  }
}
