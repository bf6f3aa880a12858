package org.tarebook.spec;

import java.time.Instant;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/** The uncertainties of one station for one characteristic: tells which is in force at a moment. */
public final class UncertaintyRevisions {

  private final List<MeasuringUncertainty> standing;

  /** From all revisions of one station and characteristic; withdrawn ones do not count. */
  public UncertaintyRevisions(Collection<MeasuringUncertainty> revisions) {
    this.standing =
        revisions.stream()
            .filter(MeasuringUncertainty::stands)
            .sorted(Comparator.comparing(MeasuringUncertainty::validFrom))
            .toList();
  }

  /** The revision in force at a moment: the last that has begun. */
  public Optional<MeasuringUncertainty> inForce(Instant moment) {
    return standing.stream()
        .filter(revision -> !revision.validFrom().isAfter(moment))
        .reduce((earlier, later) -> later);
  }

  /** The first moment after a revision: the start of the next; absent where there is none. */
  public @Nullable Instant endOf(MeasuringUncertainty revision) {
    return standing.stream()
        .map(MeasuringUncertainty::validFrom)
        .filter(start -> start.isAfter(revision.validFrom()))
        .findFirst()
        .orElse(null);
  }

  /** The last revision, if there is any. */
  Optional<MeasuringUncertainty> last() {
    return standing.isEmpty() ? Optional.empty() : Optional.of(standing.get(standing.size() - 1));
  }

  /** The ids of all that stand. */
  Set<Long> ids() {
    return standing.stream().map(MeasuringUncertainty::id).collect(Collectors.toSet());
  }

  /** Those in force at some moment of a window, its end open where absent. */
  List<MeasuringUncertainty> during(Instant from, @Nullable Instant before) {
    return standing.stream()
        .filter(
            revision -> {
              Instant end = endOf(revision);
              return (before == null || revision.validFrom().isBefore(before))
                  && (end == null || end.isAfter(from));
            })
        .toList();
  }
}
