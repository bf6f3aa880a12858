package org.tarebook.storage;

/** Why the service cannot start, in a sentence for the person who starts it. */
public final class StartRefused extends RuntimeException {

  /** A reason. */
  public StartRefused(String why) {
    super(why);
  }

  /** A reason, and what caused it. */
  public StartRefused(String why, Throwable cause) {
    super(why, cause);
  }
}
