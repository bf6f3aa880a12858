package org.tarebook.backup;

import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.file.Path;
import java.util.Random;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.storage.Vendor;

/** On H2 alone, since PostgreSQL stores no text that cannot be written as UTF-8. */
@Tag("service")
class CutOffHttpTests {

  @TempDir Path folder;

  @Test
  void aBackupThatFailsWhenItHasBegunIsCutOffAndNotEnded() {
    try (RunningTarebook tarebook = RunningTarebook.start(Vendor.H2)) {
      Random random = new Random(36);
      JdbcClient sql = tarebook.sql();
      for (int i = 0; i < 500; i++) {
        StringBuilder noise = new StringBuilder();
        random.ints(200, '0', '~').forEach(noise::appendCodePoint);
        sql.sql(
                "insert into audit_entry (id, at, actor, actor_kind, action, subject, code, detail)"
                    + " values (?, current_timestamp, 'tests', 'SYSTEM', 'made', 'noise', 'N', ?)")
            .params(8_000_000_000L + i, noise.toString())
            .update();
      }
      sql.sql(
              "insert into column_plan (id, code, name, definition, row_version)"
                  + " values (8000000000, 'HALF', ?, '{}', 0)")
          .param("half of a pair: \ud83d")
          .update();
      HttpRequest request =
          HttpRequest.newBuilder(URI.create(tarebook.base() + "/api/v1/backup"))
              .header("Authorization", "Bearer " + tarebook.admin().token())
              .build();

      assertThatThrownBy(
              () ->
                  HttpClient.newHttpClient()
                      .send(request, HttpResponse.BodyHandlers.ofFile(folder.resolve("a.zip"))))
          .isInstanceOf(IOException.class);
    }
  }
}
