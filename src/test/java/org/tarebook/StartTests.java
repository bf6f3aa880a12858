package org.tarebook;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.springframework.boot.convert.ApplicationConversionService;
import org.springframework.mock.env.MockEnvironment;

class StartTests {

  @TempDir private Path folder;

  @Test
  void aPortInUseIsToldInOneLineAndTheServiceExitsWithOne() throws Exception {
    try (ServerSocket taken = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      assertThat(start("--server.port=" + taken.getLocalPort()))
          .isEqualTo(
              "Tarebook does not start: port "
                  + taken.getLocalPort()
                  + " is in use. Stop what listens there, or set server.port to another port.\n");
    }
  }

  @Test
  void anUnknownOptionIsRefusedByName() throws Exception {
    assertThat(start("--hlep"))
        .isEqualTo(
            "Tarebook does not start: --hlep is not an option. --help lists what there is.\n");
  }

  @Test
  void aMisspeltSettingIsToldInOneLineAndTheTraceWhereItIsAskedFor() throws Exception {
    assertThat(start("--tarebook.zonne=UTC"))
        .startsWith("Tarebook does not start: tarebook.zonne is not a setting. Known are ")
        .contains(", tarebook.zone.")
        .containsOnlyOnce("\n");
    assertThat(start("--tarebook.zone=Nowhere", "--debug"))
        .startsWith(
            "Tarebook does not start: tarebook.zone=Nowhere is not a time zone. Set a name such as"
                + " Europe/Paris, or UTC.\n")
        .contains("\tat org.tarebook.Settings.check");
  }

  @ParameterizedTest
  @CsvSource({
    "tarebook.zone, Europe/Atlantis, is not a time zone",
    "tarebook.clock-ahead, -PT1S, must be 0 or longer",
    "tarebook.segments-every, PT0S, must be longer than 0",
    "tarebook.token-life, a year, is not a duration",
    "tarebook.readings-at-once, 0, must be a whole number from 1",
    "tarebook.readings-at-once, 1e6, must be a whole number from 1",
    "tarebook.demo-seed, green, must be a whole number",
    "tarebook.probe-port, 70000, must be a port"
  })
  void aSettingOfAnotherKindThanItsDefaultStopsTheStart(String name, String value, String why) {
    MockEnvironment environment = environment().withProperty(name, value);

    assertThatThrownBy(() -> new Settings(environment).check())
        .hasMessageStartingWith(name + "=" + value + " " + why);
  }

  @Test
  void aSettingOfTheKindOfItsDefaultIsTaken() {
    new Settings(
            environment()
                .withProperty("tarebook.zone", "Atlantic/Reykjavik")
                .withProperty("tarebook.specification-lead", "PT0S")
                .withProperty("tarebook.segments-every", "500ms")
                .withProperty("tarebook.demo-seed", "-7"))
        .check();
  }

  private static MockEnvironment environment() {
    MockEnvironment environment = new MockEnvironment();
    environment.setConversionService(new ApplicationConversionService());
    return environment;
  }

  /** Starts the service, which must not start, and gives what it writes to standard error. */
  private String start(String... settings) throws IOException, InterruptedException {
    Path out = Files.createTempFile(folder, "out", "");
    Path err = Files.createTempFile(folder, "err", "");
    List<String> command =
        new ArrayList<>(
            List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx256m",
                "-XX:+UseSerialGC",
                "-XX:TieredStopAtLevel=1",
                "-cp",
                System.getProperty("java.class.path"),
                "org.tarebook.TarebookApplication",
                "--server.address=127.0.0.1",
                "--spring.datasource.url=jdbc:h2:mem:start"));
    command.addAll(List.of(settings));
    Process process =
        new ProcessBuilder(command)
            .directory(folder.toFile())
            .redirectOutput(out.toFile())
            .redirectError(err.toFile())
            .start();
    try {
      assertThat(process.waitFor(300, TimeUnit.SECONDS)).isTrue();
      assertThat(process.exitValue()).isEqualTo(1);
    } finally {
      process.destroyForcibly();
    }
    assertThat(Files.readString(out)).doesNotContain("\tat ").doesNotContain("ERROR");
    return Files.readString(err);
  }
}
