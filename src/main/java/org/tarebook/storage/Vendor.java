package org.tarebook.storage;

/** The databases Tarebook runs on. */
public enum Vendor {
  H2("select next value for "),
  POSTGRESQL("select nextval('%s')");

  private final String nextValue;

  Vendor(String nextValue) {
    this.nextValue = nextValue;
  }

  /**
   * The database behind a JDBC address.
   *
   * @throws StartRefused if it is neither of the two
   */
  static Vendor ofUrl(String url) {
    if (url.startsWith("jdbc:h2:")) {
      return H2;
    }
    if (url.startsWith("jdbc:postgresql:")) {
      return POSTGRESQL;
    }
    throw new StartRefused(
        "DB_URL must begin with jdbc:h2: or jdbc:postgresql:, the databases Tarebook runs on.");
  }

  /** The query that takes the next value of a sequence. */
  String nextValue(String sequence) {
    return nextValue.contains("%s") ? nextValue.formatted(sequence) : nextValue + sequence;
  }
}
