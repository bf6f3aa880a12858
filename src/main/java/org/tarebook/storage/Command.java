package org.tarebook.storage;

import java.io.PrintStream;
import java.util.List;

/**
 * Work on what is stored that is not asked for over HTTP: the jar does it when it is started with
 * the command's name as its first argument, without serving anything meanwhile.
 */
public interface Command {

  /** One word or several with hyphens, as it is typed. */
  String name();

  /** Its arguments and what it does, in a line. */
  String usage();

  /**
   * Does the work.
   *
   * @param arguments what was typed behind the name
   * @param progress where people see how far it is
   * @throws CommandRefused if it cannot be done; the message says why and how to mend it
   */
  void run(List<String> arguments, PrintStream progress) throws Exception;
}
