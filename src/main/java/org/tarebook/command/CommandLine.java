package org.tarebook.command;

import java.io.PrintStream;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.flywaydb.core.Flyway;
import org.springframework.boot.Banner;
import org.springframework.boot.WebApplicationType;
import org.springframework.boot.builder.SpringApplicationBuilder;
import org.springframework.boot.flyway.autoconfigure.FlywayMigrationStrategy;
import org.springframework.context.ApplicationContext;
import org.springframework.context.ConfigurableApplicationContext;
import org.springframework.context.support.GenericApplicationContext;
import org.tarebook.storage.Command;

/**
 * A command as it was typed. It runs in the application without its web server, its schedules and
 * its migrations, in which only what the command needs is made.
 */
public final class CommandLine {

  private static final Map<String, Object> QUIET =
      Map.of(
          "management.endpoint.health.validate-group-membership", "false",
          "logging.level.root", "error",
          "logging.level.com.zaxxer.hikari", "off",
          "logging.level.org.hibernate", "off",
          "logging.level.org.springframework.boot.SpringApplication", "off");

  private final String name;
  private final List<String> arguments;
  private final String[] all;

  private CommandLine(List<String> words, String... all) {
    this.name = words.get(0);
    this.arguments = words.subList(1, words.size());
    this.all = all;
  }

  /**
   * The command that arguments name: the first one that is no setting. Absent where there is none
   * and the service is to be started.
   */
  public static Optional<CommandLine> of(String... arguments) {
    List<String> words =
        Arrays.stream(arguments).filter(argument -> !argument.startsWith("--")).toList();
    return words.isEmpty() ? Optional.empty() : Optional.of(new CommandLine(words, arguments));
  }

  /**
   * Runs it.
   *
   * @param application the application class
   * @param out for progress
   * @param err for why it was not done
   * @return the exit code: 0 where it was done, else 1
   */
  public int run(Class<?> application, PrintStream out, PrintStream err) {
    try (ConfigurableApplicationContext context = start(application)) {
      find(context).run(arguments, out);
      return 0;
    } catch (Exception failure) {
      Optional<String> reason = StartFailure.reason(failure);
      if (reason.isPresent()) {
        err.println(name + ": " + reason.get());
      } else {
        err.print(name + " failed: ");
        failure.printStackTrace(err);
      }
    }
    return 1;
  }

  private ConfigurableApplicationContext start(Class<?> application) {
    return new SpringApplicationBuilder(application)
        .web(WebApplicationType.NONE)
        .bannerMode(Banner.Mode.OFF)
        .logStartupInfo(false)
        .lazyInitialization(true)
        .properties(QUIET)
        .initializers(
            context ->
                ((GenericApplicationContext) context)
                    .registerBean(FlywayMigrationStrategy.class, () -> flyway -> {}))
        .run(all);
  }

  private Command find(ApplicationContext context) {
    List<Command> known =
        context.getBeansOfType(Command.class).values().stream()
            .sorted(Comparator.comparing(Command::name))
            .toList();
    Command command =
        known.stream()
            .filter(candidate -> candidate.name().equals(name))
            .findFirst()
            .orElseThrow(() -> unknown(known));
    if (command.needsCurrentSchema() && context.getBean(Flyway.class).info().pending().length > 0) {
      throw new Command.Refused(
          "the database does not have the schema of this Tarebook yet; start the service once,"
              + " which migrates it.");
    }
    return command;
  }

  private static Command.Refused unknown(List<Command> known) {
    return new Command.Refused(
        "there is no such command; known are"
            + known.stream()
                .map(command -> "\n  " + command.name() + " " + command.usage())
                .collect(Collectors.joining()));
  }
}
