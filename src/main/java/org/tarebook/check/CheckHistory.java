package org.tarebook.check;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * All checks of one instrument in the order they were made, and what follows from them. A pure
 * function of the checks: what is stored of it can be thrown away and made again.
 *
 * <ul>
 *   <li>Checks are ordered by time, and by id where made at the same instant. A reading measured at
 *       the instant of a check counts as measured after it.
 *   <li>A check <i>finds</i> the instrument right or wrong by its as-found phase; one without that
 *       phase says nothing of the time before it.
 *   <li>A check <i>leaves</i> the instrument right or wrong by its as-left phase, or by its
 *       as-found phase where nothing was adjusted.
 *   <li>A doubt opens with a check that finds or leaves the instrument wrong while no doubt is
 *       open. It closes with the first check, possibly the same, that leaves it right.
 *   <li>Found wrong: readings since the last check that left it right are suspect, or all earlier
 *       ones where there is none. Found right or not looked at, but left wrong: none is suspect.
 *   <li>From the failed check until the doubt closes readings cannot be judged.
 * </ul>
 */
final class CheckHistory {

  private final List<CheckOutcome> checks;

  CheckHistory(Collection<CheckOutcome> checks) {
    this.checks =
        checks.stream()
            .sorted(Comparator.comparing(CheckOutcome::at).thenComparing(CheckOutcome::id))
            .toList();
  }

  /** The doubts, the earliest first; they do not overlap. */
  Doubts doubts() {
    List<Doubt> doubts = new ArrayList<>();
    Instant knownRight = Instant.EPOCH;
    Doubt open = null;
    for (CheckOutcome check : checks) {
      if (open == null && (check.foundWrong() || !check.leavesRight())) {
        Instant suspectFrom = check.foundWrong() ? knownRight : check.at();
        open = new Doubt(check.id(), suspectFrom, check.at(), null, null);
      }
      if (check.leavesRight()) {
        knownRight = check.at();
        if (open != null) {
          doubts.add(open.closedBy(check));
          open = null;
        }
      }
    }
    if (open != null) {
      doubts.add(open);
    }
    return new Doubts(doubts);
  }

  /** When the instrument was last known to be right; absent where it never was. */
  Optional<Instant> lastRight() {
    return checks.stream()
        .filter(CheckOutcome::leavesRight)
        .map(CheckOutcome::at)
        .reduce((earlier, later) -> later);
  }

  /**
   * What the last check at or before a moment and the first one after it say of a reading measured
   * then. Suspect exactly where a doubt lies; cleared only where both checks are good.
   */
  Verification at(Instant moment) {
    CheckOutcome before = null;
    CheckOutcome after = null;
    for (CheckOutcome check : checks) {
      if (check.at().isAfter(moment)) {
        after = check;
        break;
      }
      before = check;
    }
    if ((before != null && !before.leavesRight()) || (after != null && after.foundWrong())) {
      return Verification.SUSPECT;
    }
    boolean bothKnown = before != null && looksBack(after);
    return bothKnown ? Verification.CLEARED : Verification.UNVERIFIED;
  }

  private static boolean looksBack(@Nullable CheckOutcome check) {
    return check != null && check.asFound() != null;
  }
}
