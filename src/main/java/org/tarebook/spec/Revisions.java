package org.tarebook.spec;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Predicate;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/** The revisions of one characteristic laid end to end: tells which is in force at a moment. */
public final class Revisions {

  /** Those of a characteristic without any. */
  public static final Revisions NONE = new Revisions(List.of());

  private final List<Specification> all;
  private final List<Specification> standing;

  /** From all revisions of one characteristic; withdrawn ones do not count. */
  public Revisions(List<Specification> revisions) {
    this(revisions, Specification::stands);
  }

  private Revisions(List<Specification> revisions, Predicate<Specification> stands) {
    this.all = List.copyOf(revisions);
    this.standing =
        revisions.stream()
            .filter(stands)
            .sorted(Comparator.comparing(Specification::validFrom))
            .toList();
  }

  /** Those that were recorded and stood at a moment; {@link Instant#MAX} for now. */
  public Revisions asOf(Instant moment) {
    return new Revisions(all, revision -> revision.stoodAt(moment));
  }

  /** Those that were withdrawn. */
  public Stream<Specification> withdrawn() {
    return all.stream().filter(revision -> !revision.stands());
  }

  /** Those that stand, in the order in which they begin. */
  public List<Specification> standing() {
    return standing;
  }

  /** The revision in force at a moment: the last that began, unless it has ended. */
  public Optional<Specification> inForce(Instant moment) {
    for (int i = standing.size() - 1; i >= 0; i--) {
      Specification revision = standing.get(i);
      if (!revision.validFrom().isAfter(moment)) {
        Instant end = revision.validBefore();
        return end == null || moment.isBefore(end) ? Optional.of(revision) : Optional.empty();
      }
    }
    return Optional.empty();
  }

  /** The first moment after a revision: its stated end or the start of the next. */
  public @Nullable Instant endOf(Specification revision) {
    Instant end = revision.validBefore();
    Instant next = nextAfter(revision.validFrom());
    return next != null && (end == null || next.isBefore(end)) ? next : end;
  }

  /** Whether one revision, or none, is in force from a moment until before another. */
  public boolean sameFrom(Instant from, Instant before) {
    return standing.stream()
        .flatMap(revision -> Stream.of(revision.validFrom(), endOf(revision)))
        .noneMatch(moment -> moment != null && moment.isAfter(from) && moment.isBefore(before));
  }

  /** Whether none is in force for some time between a moment and the start of one of them. */
  public boolean leavesOpen(Instant from, Specification until) {
    Instant covered = from;
    for (Specification each : standing) {
      if (covered == null || !each.validFrom().isBefore(until.validFrom())) {
        break;
      }
      Instant end = endOf(each);
      if (!each.validFrom().isAfter(covered) && (end == null || end.isAfter(covered))) {
        covered = end;
      }
    }
    return covered != null && covered.isBefore(until.validFrom());
  }

  /** When the first of those that begin after a moment does; absent without any. */
  @Nullable Instant nextAfter(Instant moment) {
    return standing.stream()
        .map(Specification::validFrom)
        .filter(start -> start.isAfter(moment))
        .findFirst()
        .orElse(null);
  }

  /** A stretch of time; its end is open where absent. */
  record Stretch(Instant from, @Nullable Instant before) {}

  /**
   * The parts of a window in which a revision that stands is in force, or in which none ever held:
   * all but those that only withdrawn revisions covered.
   */
  List<Stretch> besidesWithdrawn(Instant from, @Nullable Instant before) {
    TreeSet<Instant> edges = new TreeSet<>(Set.of(from));
    for (Specification revision : all) {
      edges.add(revision.validFrom());
      if (revision.validBefore() != null) {
        edges.add(revision.validBefore());
      }
    }
    List<Stretch> parts = new ArrayList<>();
    for (Instant edge : edges.tailSet(from)) {
      if (before == null || edge.isBefore(before)) {
        Instant next = edges.higher(edge);
        if (inForce(edge).isPresent() || all.stream().noneMatch(each -> holds(each, edge))) {
          parts.add(
              new Stretch(
                  edge, next == null || (before != null && next.isAfter(before)) ? before : next));
        }
      }
    }
    return parts;
  }

  private static boolean holds(Specification revision, Instant moment) {
    Instant end = revision.validBefore();
    return !revision.validFrom().isAfter(moment) && (end == null || moment.isBefore(end));
  }

  /** The last revision that began, if there is any. */
  public Optional<Specification> last() {
    return standing.isEmpty() ? Optional.empty() : Optional.of(standing.get(standing.size() - 1));
  }
}
