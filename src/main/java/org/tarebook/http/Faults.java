package org.tarebook.http;

import java.util.ArrayList;
import java.util.List;

/** Collects every fault of a request, so that all are told at once. */
public final class Faults {

  private final List<Problem.Fault> faults = new ArrayList<>();

  /** Notes a fault. */
  public void add(String pointer, String detail) {
    faults.add(Problem.Fault.at(pointer, detail));
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
          faults.size() == 1
              ? faults.get(0).pointer() + ": " + faults.get(0).detail()
              : faults.size() + " members are wrong; see errors.";
      throw new Problem(type, detail, faults);
    }
  }
}
