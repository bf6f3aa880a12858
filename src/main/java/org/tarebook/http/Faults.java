package org.tarebook.http;

import java.util.ArrayList;
import java.util.List;

/** Collects the faults of a request, so that it lists them at once: the first 200, and how many. */
public final class Faults {

  private static final int MOST_LISTED = 200;

  private final List<Problem.Fault> faults = new ArrayList<>();
  private int count;

  /** Notes a fault. */
  public void add(String pointer, String detail) {
    count++;
    if (count <= MOST_LISTED) {
      faults.add(Problem.Fault.at(pointer, detail));
    }
  }

  /** Notes a fault unless the condition holds. */
  public void require(boolean condition, String pointer, String detail) {
    if (!condition) {
      add(pointer, detail);
    }
  }

  /** Whether none was found so far. */
  public boolean none() {
    return faults.isEmpty();
  }

  /** Refuses the request if any fault was found. */
  public void throwIfAny(ProblemType type) {
    if (!faults.isEmpty()) {
      String detail =
          count == 1
              ? faults.get(0).pointer() + ": " + faults.get(0).detail()
              : count + " members are wrong; see errors.";
      throw new Problem(type, detail, faults);
    }
  }
}
