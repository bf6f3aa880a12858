package org.tarebook.journey;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.TestDatabase;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/**
 * The sessions of README and of the page that goes on with it, run against the demo plant in the
 * smallest heap: each answer holds what the page shows of it.
 */
@OnBothDatabases
class ReadmeTests {

  private static final List<Path> PAGES =
      List.of(Path.of("README.md"), Path.of("src/docs/session.md"));

  private static final int CALLS = 9;

  private static final JsonMapper JSON = new JsonMapper();
  private static final Pattern BLOCK = Pattern.compile("```(sh|json)\\n(.*?)```", Pattern.DOTALL);
  private static final Pattern TOKEN = Pattern.compile("export ([A-Z]+)=(\\S+)");

  private final TestDatabase database;

  ReadmeTests(TestDatabase database) {
    this.database = database;
  }

  /** A command of a session, and what its page shows of its answer. */
  private record Step(String command, JsonNode shown) {}

  @Test
  void theSessionsAnswerAsShown() throws Exception {
    List<Step> steps = steps();
    assertThat(steps).hasSizeGreaterThanOrEqualTo(CALLS);
    try (Demo demo = new Demo(database)) {
      Map<String, String> tokens = demo.tokens();
      for (Step step : steps) {
        String command = step.command().replace("localhost:8080", "localhost:" + demo.port);
        assertHolds(step.command(), "", JSON.readTree(run(command, tokens)), step.shown());
      }
    }
  }

  /**
   * The demo plant in a process of its own, with the heap that the page on operating calls enough.
   */
  private static final class Demo implements AutoCloseable {
    private static final Pattern HEAP = Pattern.compile("java (-Xmx\\w+) -jar");
    private static final Duration LONGEST_START = Duration.ofMinutes(40);

    private final int port;
    private final Path printed;
    private final Process process;

    Demo(TestDatabase database) throws IOException {
      try (ServerSocket free = new ServerSocket(0)) {
        port = free.getLocalPort();
      }
      Matcher heap = HEAP.matcher(Files.readString(Path.of("src/docs/operating.md")));
      assertThat(heap.find()).isTrue();
      printed = Files.createTempFile(Path.of("target"), "demo", ".log");
      process =
          new ProcessBuilder(
                  Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                  heap.group(1),
                  "-cp",
                  System.getProperty("java.class.path"),
                  "org.tarebook.TarebookApplication",
                  "--spring.profiles.active=demo",
                  "--server.port=" + port,
                  "--spring.datasource.url=" + database.url(),
                  "--spring.datasource.username=" + database.user(),
                  "--spring.datasource.password=" + database.password())
              .redirectErrorStream(true)
              .redirectOutput(printed.toFile())
              .start();
    }

    /** Waits for the tokens it prints, by the names of their variables. */
    Map<String, String> tokens() throws IOException, InterruptedException {
      Instant end = Instant.now().plus(LONGEST_START);
      Map<String, String> tokens = new HashMap<>();
      while (!tokens.keySet().containsAll(List.of("STATION", "READER", "QUALITY", "ADMIN"))) {
        assertThat(process.isAlive() && Instant.now().isBefore(end)).as("see " + printed).isTrue();
        Thread.sleep(500);
        Matcher token = TOKEN.matcher(Files.readString(printed));
        while (token.find()) {
          tokens.put(token.group(1), token.group(2));
        }
      }
      return tokens;
    }

    @Override
    public void close() {
      process.destroyForcibly().onExit().join();
    }
  }

  private static List<Step> steps() throws IOException {
    List<Step> steps = new ArrayList<>();
    for (Path page : PAGES) {
      Matcher block = BLOCK.matcher(Files.readString(page));
      String command = null;
      while (block.find()) {
        if (block.group(1).equals("sh")) {
          assertThat(command).as(page + " shows no answer of it").isNull();
          command = block.group(2);
        } else {
          assertThat(command).as(page + " shows this answer of no command").isNotNull();
          steps.add(new Step(command, JSON.readTree(block.group(2))));
          command = null;
        }
      }
      assertThat(command).as(page + " shows no answer of it").isNull();
    }
    return steps;
  }

  private static String run(String command, Map<String, String> tokens) throws Exception {
    ProcessBuilder bash = new ProcessBuilder("bash", "-c", command);
    bash.environment().putAll(tokens);
    bash.redirectError(ProcessBuilder.Redirect.INHERIT);
    Process process = bash.start();
    String answer = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(process.waitFor()).as(command).isZero();
    return answer;
  }

  private static void assertHolds(String command, String at, JsonNode answer, JsonNode shown) {
    if (shown.isObject()) {
      shown
          .properties()
          .forEach(
              member -> {
                String place = at + "/" + member.getKey();
                assertThat(answer.has(member.getKey()))
                    .as(command + " answers " + place + ": " + answer)
                    .isTrue();
                assertHolds(command, place, answer.get(member.getKey()), member.getValue());
              });
    } else if (shown.isArray()) {
      assertThat(answer).as(command + " at " + at).hasSize(shown.size());
      for (int i = 0; i < shown.size(); i++) {
        assertHolds(command, at + "/" + i, answer.get(i), shown.get(i));
      }
    } else if (shown.isNumber()) {
      assertThat(answer.decimalValue())
          .as(command + " at " + at)
          .isEqualByComparingTo(shown.decimalValue());
    } else {
      assertThat(answer).as(command + " at " + at).isEqualTo(shown);
    }
  }
}
