package org.tarebook.storage;

/** A command that cannot be done. Its message is for the person who typed it. */
public final class CommandRefused extends RuntimeException {

  private static final long serialVersionUID = 1L;

  /** Refuses, and says why and how to mend it. */
  public CommandRefused(String message) {
    super(message);
  }
}
