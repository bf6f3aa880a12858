package org.tarebook;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.TestDatabase;

@OnBothDatabases
class CommandLineTests {

  private final TestDatabase database;

  CommandLineTests(TestDatabase database) {
    this.database = database;
  }

  private record Ended(int code, String out, String err) {}

  private Ended run(String... words) {
    List<String> args = new ArrayList<>(List.of(words));
    args.add("--spring.datasource.url=" + database.url());
    args.add("--spring.datasource.username=" + database.user());
    args.add("--spring.datasource.password=" + database.password());
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    int code =
        CommandLine.run(args.toArray(String[]::new), new PrintStream(out), new PrintStream(err));
    return new Ended(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  @Test
  void aCommandIsDoneInPlaceOfTheService() {
    Ended checked = run("check-segments");
    assertThat(checked.err()).isEmpty();
    assertThat(checked.code()).isZero();
    assertThat(checked.out()).isEqualTo("All 0 segments agree with their readings.\n");
    assertThat(run("rebuild-segments").code()).isZero();
  }

  @Test
  void whatCannotBeDoneIsRefusedPlainly() {
    Ended unknown = run("rebuild");
    assertThat(unknown.code()).isEqualTo(1);
    assertThat(unknown.err())
        .startsWith("There is no command rebuild. There are:")
        .contains("rebuild-segments [chart ...]: builds the summaries")
        .doesNotContain("Exception");
    Ended chart = run("check-segments", "NO-SUCH");
    assertThat(chart.code()).isEqualTo(1);
    assertThat(chart.err())
        .isEqualTo("There is no chart NO-SUCH; name charts by their codes, or none for all.\n");
  }

  @Test
  void onlyAFirstWordThatIsNoSettingIsACommand() {
    assertThat(CommandLine.asks(new String[] {"check-segments"})).isTrue();
    assertThat(CommandLine.asks(new String[] {"--server.port=0"})).isFalse();
    assertThat(CommandLine.asks(new String[0])).isFalse();
  }
}
