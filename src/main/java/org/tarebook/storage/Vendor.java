package org.tarebook.storage;

/** The databases Tarebook runs on. */
public enum Vendor {
  H2("select next value for "),
  POSTGRESQL("select nextval('%s')");

  private final String nextValue;

  Vendor(String nextValue) {
    this.nextValue = nextValue;
  }

  /** The query that takes the next value of a sequence. */
  String nextValue(String sequence) {
    return nextValue.contains("%s") ? nextValue.formatted(sequence) : nextValue + sequence;
  }
}
