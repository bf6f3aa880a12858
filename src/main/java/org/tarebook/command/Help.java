package org.tarebook.command;

import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import java.util.Set;

/** What {@code --help} and {@code --version} answer, without a database. */
public final class Help {

  private static final Set<String> HELP = Set.of("--help", "-h", "help");
  private static final Set<String> VERSION = Set.of("--version", "-V", "version");

  private Help() {}

  /** Whether arguments ask for help or for the version; where they do, it is written. */
  public static boolean told(List<String> arguments, PrintStream out) {
    if (arguments.stream().anyMatch(HELP::contains)) {
      out.print(text());
      return true;
    }
    if (arguments.stream().anyMatch(VERSION::contains)) {
      String version = Help.class.getPackage().getImplementationVersion();
      out.println("Tarebook " + Objects.requireNonNullElse(version, "not packaged"));
      return true;
    }
    return false;
  }

  private static String text() {
    try (InputStream text = Help.class.getResourceAsStream("/help.txt")) {
      return new String(Objects.requireNonNull(text).readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException failure) {
      throw new IllegalStateException("The package has no help.txt", failure);
    }
  }
}
