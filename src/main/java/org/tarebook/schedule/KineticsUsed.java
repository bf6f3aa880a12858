package org.tarebook.schedule;

import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.tarebook.compound.Kinetics;
import org.tarebook.quantity.Decimals;

/**
 * The kinetics that a figure rests on.
 *
 * @param all one for each layer or medium, in their order
 */
public record KineticsUsed(List<Kinetics> all) {

  /** Copies the list. */
  public KineticsUsed {
    all = List.copyOf(all);
  }

  /** Whether any are stated for some temperatures only. */
  public boolean ranged() {
    return all.stream().anyMatch(its -> its.range() != null);
  }

  /**
   * What should widen an interval and has no known uncertainty, such as "the activation energy of
   * C-1"; empty where the limit holds that doubt already.
   */
  public Set<String> unknown(Set<Guard> holds) {
    return holds.contains(Guard.ACTIVATION_ENERGY)
        ? Set.of()
        : all.stream()
            .filter(its -> its.energyError() == null)
            .map(its -> "the " + its.rateParameter() + " of " + its.compound())
            .collect(Collectors.toCollection(TreeSet::new));
  }

  /** The temperatures that kinetics are stated for, such as "C-1 (140 to 160 °C)", in words. */
  public Set<String> ranges() {
    Set<String> ranges = new TreeSet<>();
    for (Kinetics its : all) {
      Kinetics.Range range = its.range();
      if (range != null) {
        ranges.add(
            "%s (%s to %s °C)"
                .formatted(its.compound(), plain(range.lowest()), plain(range.highest())));
      }
    }
    return ranges;
  }

  private static String plain(double celsius) {
    return Decimals.plain(Decimals.rounded(celsius, 6)).toPlainString();
  }

  /** The least degrees of freedom of the uncertainty of an activation energy. */
  public double energyFreedom() {
    return all.stream().mapToDouble(Kinetics::energyFreedom).min().orElse(Double.POSITIVE_INFINITY);
  }
}
