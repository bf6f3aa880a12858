package org.tarebook.storage;

import java.io.PrintStream;
import java.util.List;

/**
 * Something that is done from the command line instead of starting the service: {@code java -jar
 * tarebook.jar backup FILE}. Each is a bean of the feature it belongs to.
 */
public interface Command {

  /** The word it is called by: lower case, words joined by hyphens. */
  String name();

  /** What follows the name, and in a few words what it does: {@code FILE: writes ...}. */
  String usage();

  /**
   * Does it, wholly or not at all.
   *
   * @param arguments what stood behind the name, settings ({@code --name=value}) left out
   * @param progress for lines that tell how far long work is, and what came of it
   * @throws Refused where it cannot be done, with the reason and how to mend it
   * @throws Exception where something failed that nobody could foresee
   */
  void run(List<String> arguments, PrintStream progress) throws Exception;

  /**
   * Whether it wants the schema of this version of Tarebook. Where it does and the database has
   * another one, it is refused; no command finds the database migrated on its behalf.
   */
  default boolean needsCurrentSchema() {
    return true;
  }

  /** Why a command does nothing, in a sentence for whoever called it. */
  final class Refused extends RuntimeException {

    /** A refusal. */
    public Refused(String why) {
      super(why);
    }

    /** A refusal because something else failed. */
    public Refused(String why, Throwable cause) {
      super(why, cause);
    }
  }
}
