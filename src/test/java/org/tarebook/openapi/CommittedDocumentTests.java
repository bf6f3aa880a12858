package org.tarebook.openapi;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

/**
 * The committed API document is what the service tells. That real requests and answers are as it
 * says is held by every test that talks over HTTP, through {@link org.tarebook.fixtures.Contract}.
 */
@OnBothDatabases
class CommittedDocumentTests {

  private static final Path COMMITTED = Path.of("openapi", "openapi.yaml");

  private final RunningTarebook tarebook;

  CommittedDocumentTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void isNotStale() throws IOException {
    String told = tarebook.anonymous().get("/openapi.yaml").expect(200).text();
    Path fresh = Path.of("target", "openapi.yaml");
    Files.writeString(fresh, told);
    assertThat(Files.readString(COMMITTED))
        .as("%s is stale: look at the change, then copy %s over it", COMMITTED, fresh)
        .isEqualTo(told);
  }
}
