package org.tarebook.thermal;

/**
 * A stretch of time in which the same layers lie between the same media.
 *
 * @param from seconds
 * @param to seconds, after {@code from}
 * @param firstLayer index of the innermost layer that takes part
 * @param lastLayer index of the outermost layer that takes part
 * @param inside temperature of the medium inside, degrees Celsius
 * @param insideFilm between it and the innermost layer
 * @param outside temperature of the medium outside, degrees Celsius
 * @param outsideFilm between it and the outermost layer
 */
public record Span(
    double from,
    double to,
    int firstLayer,
    int lastLayer,
    Trace inside,
    Film insideFilm,
    Trace outside,
    Film outsideFilm) {

  /**
   * Checks the span.
   *
   * @throws IllegalArgumentException if it has no length or no layer
   */
  public Span {
    Arguments.requireBefore(from, to);
    if (firstLayer < 0 || firstLayer > lastLayer) {
      throw new IllegalArgumentException(
          "layers %d to %d are none: the first must not lie outside the last"
              .formatted(firstLayer, lastLayer));
    }
  }
}
