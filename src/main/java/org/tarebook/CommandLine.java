package org.tarebook;

import java.io.PrintStream;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;
import org.springframework.boot.Banner;
import org.springframework.boot.builder.SpringApplicationBuilder;
import org.springframework.context.ConfigurableApplicationContext;
import org.tarebook.storage.Command;
import org.tarebook.storage.CommandRefused;

/** Runs a command in place of the service. */
final class CommandLine {

  /** The profile in which nothing goes on in the background. */
  static final String PROFILE = "command";

  /** Nobody can ask over HTTP meanwhile. */
  private static final String NO_PORT = "--server.port=-1";

  private CommandLine() {}

  /** Whether arguments name a command: the first is no setting. */
  static boolean asks(String[] args) {
    return args.length > 0 && !args[0].startsWith("-");
  }

  /**
   * Runs the command that arguments name.
   *
   * @return what the process ends with: 0 if it was done, 1 if it was refused
   */
  static int run(String[] args, PrintStream out, PrintStream err) {
    String[] settings =
        Stream.concat(Arrays.stream(args).filter(arg -> arg.startsWith("--")), Stream.of(NO_PORT))
            .toArray(String[]::new);
    List<String> words = Arrays.stream(args).filter(arg -> !arg.startsWith("--")).toList();
    try (ConfigurableApplicationContext context =
        new SpringApplicationBuilder(TarebookApplication.class)
            .profiles(PROFILE)
            .bannerMode(Banner.Mode.OFF)
            .logStartupInfo(false)
            .properties("logging.level.root=warn")
            .run(settings)) {
      List<Command> commands =
          context.getBeansOfType(Command.class).values().stream()
              .sorted(Comparator.comparing(Command::name))
              .toList();
      run(commands, words, out);
      return 0;
    } catch (CommandRefused refused) {
      err.println(refused.getMessage());
      return 1;
    } catch (Exception failure) {
      err.println(words.get(0) + " failed.");
      failure.printStackTrace(err);
      return 1;
    }
  }

  static void run(List<Command> commands, List<String> words, PrintStream out) throws Exception {
    for (Command command : commands) {
      if (command.name().equals(words.get(0))) {
        command.run(words.subList(1, words.size()), out);
        return;
      }
    }
    StringBuilder known = new StringBuilder("There is no command " + words.get(0) + ". There are:");
    commands.forEach(
        command -> known.append("\n  ").append(command.name()).append(' ').append(command.usage()));
    throw new CommandRefused(known.toString());
  }
}
