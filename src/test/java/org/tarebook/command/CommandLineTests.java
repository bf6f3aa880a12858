package org.tarebook.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Import;
import org.tarebook.TarebookApplication;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.fixtures.Typed;
import org.tarebook.storage.Command;

@OnBothDatabases
class CommandLineTests {

  private final TestDatabase database;

  CommandLineTests(TestDatabase database) {
    this.database = database;
  }

  /** The application with two commands more. */
  @Import(TarebookApplication.class)
  static class WithCommands {

    @Bean
    Command echo() {
      return new Spoken("echo", false);
    }

    @Bean
    Command count() {
      return new Spoken("count", true);
    }
  }

  private record Spoken(String name, boolean needsCurrentSchema) implements Command {

    @Override
    public String usage() {
      return "WORDS: says them again";
    }

    @Override
    public void run(List<String> arguments, PrintStream progress) {
      if (arguments.contains("wrong")) {
        throw new Refused("wrong is no word.");
      }
      if (arguments.contains("broken")) {
        throw new IllegalArgumentException("nobody foresaw this");
      }
      progress.println(arguments);
    }
  }

  @Test
  void helpNamesEveryCommandAndNeedsNoDatabase() {
    String help = told("--server.port=1", "--help");
    assertThat(help).startsWith("Tarebook holds").isEqualTo(told("-h")).isEqualTo(told("help"));
    assertThat(Typed.on(database, "eco").err().lines().skip(1).toList())
        .hasSize(5)
        .allSatisfy(command -> assertThat(help.lines().toList()).contains(command));
    assertThat(told("--version")).matches("Tarebook [0-9a-z. ]+\\R");
    assertThat(told("backup", "help.zip")).isEmpty();
  }

  private static String told(String... arguments) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    boolean told =
        Help.told(List.of(arguments), new PrintStream(out, true, StandardCharsets.UTF_8));
    assertThat(told).isEqualTo(out.size() > 0);
    return out.toString(StandardCharsets.UTF_8);
  }

  @Test
  void settingsAloneAreNoCommand() {
    assertThat(CommandLine.of()).isEmpty();
    assertThat(CommandLine.of("--server.port=0", "--spring.profiles.active=demo")).isEmpty();
  }

  @Test
  void runsTheNamedCommandWithItsArgumentsAndWithoutTheService() {
    Typed echo = run("--tarebook.zone=UTC", "echo", "a", "--x=y", "b");

    assertThat(echo.exit()).isZero();
    assertThat(echo.out()).isEqualToIgnoringNewLines("[a, b]");
    assertThat(echo.err()).isEmpty();
  }

  @Test
  void aRefusalIsToldInOneLineAndExitsWithOne() {
    Typed echo = run("echo", "wrong");

    assertThat(echo.exit()).isEqualTo(1);
    assertThat(echo.err()).isEqualToIgnoringNewLines("echo: wrong is no word.");
  }

  @Test
  void aFailureNobodyForesawIsToldWhole() {
    Typed echo = run("echo", "broken");

    assertThat(echo.exit()).isEqualTo(1);
    assertThat(echo.err())
        .startsWith("echo failed: java.lang.IllegalArgumentException: nobody foresaw this")
        .contains("at org.tarebook");
  }

  @Test
  void anUnknownCommandListsTheKnown() {
    Typed eco = run("eco");

    assertThat(eco.exit()).isEqualTo(1);
    assertThat(eco.err())
        .contains("eco: there is no such command; known are")
        .contains("  count WORDS: says them again")
        .contains("  echo WORDS: says them again")
        .contains("  backup FILE: ")
        .contains("  restore FILE: ");
  }

  @Test
  void aCommandThatNeedsTheCurrentSchemaIsRefusedWithoutItAndMigratesNothing() {
    TestDatabase fresh = TestDatabase.create(database.vendor());

    Typed refused = Typed.on(WithCommands.class, fresh, "count");

    assertThat(refused.exit()).isEqualTo(1);
    assertThat(refused.err()).contains("start the service once");
    assertThat(fresh.flyway().load().info().applied()).isEmpty();
    fresh.flyway().load().migrate();
    Typed.on(WithCommands.class, fresh, "count").done();
    assertThat(fresh.sql().sql("select count(*) from access_token").query(Long.class).single())
        .as("no first administrator is made by a command")
        .isZero();
  }

  @Test
  void aDatabaseThatDoesNotAnswerIsToldPlainly() {
    TestDatabase away =
        new TestDatabase(
            database.vendor(),
            switch (database.vendor()) {
              case H2 -> "jdbc:h2:file:./target/h2/nowhere;IFEXISTS=TRUE";
              case POSTGRESQL -> "jdbc:postgresql://127.0.0.1:1/nothing";
            },
            "nobody",
            "");

    Typed refused =
        Typed.on(
            WithCommands.class,
            away,
            "count",
            "--spring.datasource.hikari.connection-timeout=1000");

    assertThat(refused.exit()).isEqualTo(1);
    assertThat(refused.err()).startsWith("count: the database answers: ").doesNotContain("\tat ");
  }

  private Typed run(String... words) {
    return Typed.on(WithCommands.class, database, words);
  }
}
