package org.tarebook.check;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.SortedSet;
import java.util.StringJoiner;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;

/**
 * The doubts of one instrument.
 *
 * @param all of them, the earliest first, not overlapping
 */
record Doubts(List<Doubt> all) {

  Doubts {
    all = List.copyOf(all);
  }

  /**
   * A window of time.
   *
   * @param from the first moment of it
   * @param before the first moment after it; open where absent
   */
  record Window(Instant from, @Nullable Instant before) {}

  private enum Trust {
    WHOLE,
    SUSPECT,
    FAILED
  }

  /** The narrowest window that holds every moment at which these doubts say other than those. */
  Optional<Window> changedSince(Doubts earlier) {
    SortedSet<Instant> edges = new TreeSet<>(edges());
    edges.addAll(earlier.edges());
    Instant from = null;
    Instant before = null;
    boolean differs = false;
    for (Instant edge : edges) {
      boolean differed = differs;
      differs = trust(edge) != earlier.trust(edge);
      if (differs && from == null) {
        from = edge;
      }
      if (differed && !differs) {
        before = edge;
      }
    }
    return from == null ? Optional.empty() : Optional.of(new Window(from, differs ? null : before));
  }

  /** What a check means for doubts as they stand now, in words. */
  String effectOf(CheckOutcome check) {
    StringJoiner words = new StringJoiner(" ");
    for (Doubt doubt : all) {
      if (doubt.failedCheckId() == check.id()) {
        words.add("It opened a doubt: " + suspects(doubt) + "; " + unjudged(doubt) + ".");
      } else if (doubt.rightCheckId() != null && doubt.rightCheckId() == check.id()) {
        words.add(
            "It closed the doubt of "
                + doubt.failedAt()
                + ": readings measured from "
                + doubt.rightAt()
                + " on count, and those that were not judged because of it are judged.");
      }
      if (check.leavesRight()
          && doubt.suspectFrom().equals(check.at())
          && doubt.failedAt().isAfter(check.at())) {
        words.add("It is the last good check before the doubt of " + doubt.failedAt() + ".");
      }
    }
    return words.length() == 0 ? "It opened and closed no doubt." : words.toString();
  }

  /**
   * What a check that was voided would mean, in words: these are the doubts without it.
   *
   * @param with the doubts as they would be if it stood
   */
  String withoutCheck(Doubts with) {
    StringJoiner words =
        new StringJoiner("", "It was voided and says nothing of the instrument.", "");
    for (Doubt doubt : with.all()) {
      if (all.stream().noneMatch(each -> each.failedCheckId() == doubt.failedCheckId())) {
        words.add(" The doubt of " + doubt.failedAt() + " that rested on it is lifted.");
      }
    }
    for (Doubt doubt : all) {
      if (!with.all().contains(doubt)) {
        words.add(
            " The doubt of "
                + doubt.failedAt()
                + " stands without it: "
                + suspects(doubt)
                + "; "
                + unjudged(doubt)
                + ".");
      }
    }
    return words.toString();
  }

  private static String suspects(Doubt doubt) {
    if (doubt.suspectFrom().equals(doubt.failedAt())) {
      return "no reading measured before it is suspect";
    }
    return doubt.suspectFrom().equals(Instant.EPOCH)
        ? "every reading measured before "
            + doubt.failedAt()
            + " is suspect, as no good check is on record before it"
        : "readings measured from "
            + doubt.suspectFrom()
            + " until just before "
            + doubt.failedAt()
            + " are suspect";
  }

  private static String unjudged(Doubt doubt) {
    if (doubt.open()) {
      return "readings measured from then on do not count, and those posted after the check are not"
          + " judged, until a check leaves the instrument right";
    }
    return doubt.failedAt().equals(doubt.rightAt())
        ? "the instrument was put right at once"
        : "readings measured from then until just before " + doubt.rightAt() + " do not count";
  }

  private SortedSet<Instant> edges() {
    SortedSet<Instant> edges = new TreeSet<>();
    for (Doubt doubt : all) {
      edges.add(doubt.suspectFrom());
      edges.add(doubt.failedAt());
      if (doubt.rightAt() != null) {
        edges.add(doubt.rightAt());
      }
    }
    return edges;
  }

  private Trust trust(Instant moment) {
    for (Doubt doubt : all) {
      if (doubt.failedAt(moment)) {
        return Trust.FAILED;
      }
      if (doubt.suspectAt(moment)) {
        return Trust.SUSPECT;
      }
    }
    return Trust.WHOLE;
  }
}
