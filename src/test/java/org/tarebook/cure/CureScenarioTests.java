package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

/** Every load under {@code scenarios/cures} gets the verdict and the reasons written there. */
@OnBothDatabases
class CureScenarioTests {

  private static final Path SCENARIOS = Path.of("src/test/resources/scenarios/cures");

  private final RunningTarebook tarebook;

  CureScenarioTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @TestFactory
  Stream<DynamicTest> loadsAreJudgedAsWritten() throws IOException {
    List<Path> files;
    try (Stream<Path> listed = Files.list(SCENARIOS)) {
      files = listed.filter(file -> file.toString().endsWith(".txt")).sorted().toList();
    }
    assertThat(files).hasSizeGreaterThanOrEqualTo(25);
    return files.stream()
        .map(
            file ->
                DynamicTest.dynamicTest(
                    file.getFileName().toString(),
                    () -> {
                      CureFloor floor = new CureFloor(tarebook);
                      CureScenario scenario = CureScenario.read(file, floor);
                      assertThat(scenario.failures(scenario.run(floor, "r1").json()))
                          .as(scenario.toString())
                          .isEmpty();
                    }));
  }
}
