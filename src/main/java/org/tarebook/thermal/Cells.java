package org.tarebook.thermal;

import java.util.List;

/**
 * A section cut into cells: every layer into cells of equal width, rubber fine, metal and thin
 * layers with a few. Conductances lie between the middles of neighbouring cells, in series over
 * both halves, which is exact for steady heat flow over an interface.
 */
final class Cells {

  private static final int FEWEST = 6;

  final int count;
  final int[] firstOf;
  final double[] width;
  final double[] middle;
  final double[] capacity;
  final double[] conductivity;
  final double[] between;

  /**
   * Cuts a section.
   *
   * @param fine into how many cells all its rubber is cut
   */
  Cells(Section section, int fine) {
    List<Layer> layers = section.layers();
    double rubber = 0;
    for (Layer layer : layers) {
      rubber += layer.law() == null ? 0 : layer.thickness();
    }
    firstOf = new int[layers.size() + 1];
    for (int i = 0; i < layers.size(); i++) {
      Layer layer = layers.get(i);
      int cells =
          layer.law() == null || rubber == 0
              ? FEWEST
              : Math.max(FEWEST, (int) Math.ceil(fine * layer.thickness() / rubber));
      firstOf[i + 1] = firstOf[i] + cells;
    }
    count = firstOf[layers.size()];
    width = new double[count];
    middle = new double[count];
    capacity = new double[count];
    conductivity = new double[count];
    between = new double[count - 1];
    double start = 0;
    for (int i = 0; i < layers.size(); i++) {
      Layer layer = layers.get(i);
      double each = layer.thickness() / (firstOf[i + 1] - firstOf[i]);
      for (int cell = firstOf[i]; cell < firstOf[i + 1]; cell++) {
        width[cell] = each;
        middle[cell] = start + (cell - firstOf[i] + 0.5) * each;
        conductivity[cell] = layer.conductivity();
        capacity[cell] = layer.conductivity() / layer.diffusivity() * each;
      }
      start += layer.thickness();
    }
    for (int cell = 0; cell + 1 < count; cell++) {
      between[cell] = 1 / (1 / half(cell) + 1 / half(cell + 1));
    }
  }

  /** Conductance from the middle of a cell to its face, W/(m2 K). */
  double half(int cell) {
    return 2 * conductivity[cell] / width[cell];
  }

  /** Conductance from a medium to the middle of a cell, W/(m2 K). */
  double toMedium(Film film, int cell) {
    return 1 / (1 / film.coefficient() + 1 / half(cell));
  }

  /** Temperature of the face between a medium and a cell. */
  double face(Film film, double medium, int cell, double celsius) {
    if (Double.isInfinite(film.coefficient())) {
      return medium;
    }
    double half = half(cell);
    return (film.coefficient() * medium + half * celsius) / (film.coefficient() + half);
  }

  /** Temperature of the face between a cell and the next. */
  double face(int cell, double celsius, double next) {
    return (half(cell) * celsius + half(cell + 1) * next) / (half(cell) + half(cell + 1));
  }
}
