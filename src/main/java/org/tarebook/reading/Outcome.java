package org.tarebook.reading;

import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Problem;

/**
 * What became of a posting.
 *
 * @param readings what is stored under its key; empty where it was refused
 * @param replayed whether it was stored before
 * @param refusal why it was refused; absent where it was not
 */
public record Outcome(List<Reading> readings, boolean replayed, @Nullable Problem refusal) {

  static Outcome recorded(List<Reading> readings) {
    return new Outcome(readings, false, null);
  }

  static Outcome replayed(List<Reading> readings) {
    return new Outcome(readings, true, null);
  }

  static Outcome refused(Problem refusal) {
    return new Outcome(List.of(), false, refusal);
  }
}
