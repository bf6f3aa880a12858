package org.tarebook.journey;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.springframework.boot.builder.SpringApplicationBuilder;
import org.springframework.context.ConfigurableApplicationContext;
import org.tarebook.TarebookApplication;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.TestDatabase;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** The session of README, run against the demo plant: each answer holds what README shows of it. */
@OnBothDatabases
class ReadmeTests {

  private static final JsonMapper JSON = new JsonMapper();
  private static final Pattern BLOCK = Pattern.compile("```(sh|json)\\n(.*?)```", Pattern.DOTALL);
  private static final Pattern TOKEN = Pattern.compile("export ([A-Z]+)=(\\S+)");

  private final TestDatabase database;

  ReadmeTests(TestDatabase database) {
    this.database = database;
  }

  /** A command of the session, and what README shows of its answer. */
  private record Step(String command, JsonNode shown) {}

  @Test
  void theSessionAnswersAsShown() throws Exception {
    List<Step> steps = steps();
    assertThat(steps).hasSizeGreaterThanOrEqualTo(6);
    PrintStream out = System.out;
    ByteArrayOutputStream printed = new ByteArrayOutputStream();
    System.setOut(new PrintStream(printed, true, StandardCharsets.UTF_8));
    try (ConfigurableApplicationContext demo =
        new SpringApplicationBuilder(TarebookApplication.class)
            .profiles("demo")
            .run(
                "--server.port=0",
                "--spring.datasource.url=" + database.url(),
                "--spring.datasource.username=" + database.user(),
                "--spring.datasource.password=" + database.password())) {
      System.setOut(out);
      String port = demo.getEnvironment().getRequiredProperty("local.server.port");
      Map<String, String> tokens = new HashMap<>();
      Matcher token = TOKEN.matcher(printed.toString(StandardCharsets.UTF_8));
      while (token.find()) {
        tokens.put(token.group(1), token.group(2));
      }
      assertThat(tokens).containsKeys("STATION", "READER", "QUALITY", "ADMIN");
      for (Step step : steps) {
        String answer = run(step.command().replace("localhost:8080", "localhost:" + port), tokens);
        assertHolds(step.command(), "", JSON.readTree(answer), step.shown());
      }
    } finally {
      System.setOut(out);
    }
  }

  private static List<Step> steps() throws IOException {
    List<Step> steps = new ArrayList<>();
    Matcher block = BLOCK.matcher(Files.readString(Path.of("README.md")));
    String command = null;
    while (block.find()) {
      if (block.group(1).equals("sh")) {
        command = block.group(2);
      } else if (command != null) {
        steps.add(new Step(command, JSON.readTree(block.group(2))));
        command = null;
      }
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
