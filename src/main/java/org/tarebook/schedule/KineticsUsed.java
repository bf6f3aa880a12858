package org.tarebook.schedule;

import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.tarebook.compound.Kinetics;

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

  /** The compounds of whose activation energy no uncertainty is known, by code. */
  public Set<String> unknownEnergies() {
    return all.stream()
        .filter(its -> its.energyError() == null)
        .map(Kinetics::compound)
        .collect(Collectors.toCollection(TreeSet::new));
  }

  /** The least degrees of freedom of the uncertainty of an activation energy. */
  public double energyFreedom() {
    return all.stream().mapToDouble(Kinetics::energyFreedom).min().orElse(Double.POSITIVE_INFINITY);
  }
}
