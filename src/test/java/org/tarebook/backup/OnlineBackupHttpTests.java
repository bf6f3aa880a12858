package org.tarebook.backup;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.FilterOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.CompletableFuture;
import java.util.zip.ZipFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.springframework.mock.web.MockHttpServletResponse;
import org.tarebook.audit.Actor;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import tools.jackson.databind.json.JsonMapper;

@OnBothDatabases
class OnlineBackupHttpTests {

  private final RunningTarebook tarebook;

  @TempDir Path folder;

  OnlineBackupHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void anAdministratorTakesAWholeBackupThatIsOnTheAuditList() throws Exception {
    Client admin = tarebook.person("Ada Backup " + tarebook.vendor(), "ADMIN");
    HttpResponse<Path> answer =
        HttpClient.newHttpClient()
            .send(
                HttpRequest.newBuilder(URI.create(tarebook.base() + "/api/v1/backup"))
                    .header("Authorization", "Bearer " + admin.token())
                    .build(),
                HttpResponse.BodyHandlers.ofFile(folder.resolve("online.zip")));

    assertThat(answer.statusCode()).isEqualTo(200);
    assertThat(answer.headers().firstValue("Content-Type")).hasValue("application/zip");
    String name = answer.headers().firstValue("Content-Disposition").orElse("");
    assertThat(name).matches("attachment; filename=\"tarebook-\\d{4}-\\d\\d-\\d\\dT\\d{6}Z.zip\"");
    assertThat(checked(answer.body()).rows()).isPositive();
    assertThat(text(answer.body(), "audit_entry"))
        .as("the backup knows who took it")
        .contains("\"Ada Backup " + tarebook.vendor() + "\",\"PERSON\",\"taken\",\"backup\"");
    assertThat(text(answer.body(), "access_token"))
        .as("tokens are in it as digests only")
        .doesNotContain(admin.token());
  }

  @Test
  void nobodyElseTakesOne() {
    assertThat(tarebook.quality().get("/api/v1/backup").expect(403).problem())
        .isEqualTo("not-allowed");
    assertThat(tarebook.reader().get("/api/v1/backup").expect(403).problem())
        .isEqualTo("not-allowed");
    assertThat(tarebook.anonymous().get("/api/v1/backup").expect(401).problem())
        .isEqualTo("no-token");
  }

  @Test
  void oneIsWrittenAtATimeAndTheNextOneAfterIt() throws Exception {
    Client admin = tarebook.admin();
    boolean[] refused = new boolean[1];
    MockHttpServletResponse slow =
        new MockHttpServletResponse() {
          @Override
          public void setContentType(String type) {
            refused[0] = admin.get("/api/v1/backup").expect(503).problem().equals("unavailable");
          }
        };
    tarebook.bean(BackupController.class).take(Actor.TAREBOOK, slow);
    assertThat(refused[0]).isTrue();
    admin.get("/api/v1/backup").expect(200);
  }

  /** While the backup is written, postings are made before every fourth table. */
  @Test
  void aPostingMadeMeanwhileIsWhollyOutAndOneMadeBeforeWhollyIn() throws IOException {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    floor.specification(floor.mass(), "8.3", "8.5", "kg");
    floor.chart(floor.mass(), "INDIVIDUALS", 1);
    post(floor, 0);
    Path before = folder.resolve("before.zip");
    Path meanwhile = folder.resolve("meanwhile.zip");
    Path after = folder.resolve("after.zip");
    write(before, () -> {});
    int[] posted = new int[1];
    write(meanwhile, () -> post(floor, ++posted[0]));
    write(after, () -> {});

    assertThat(posted[0]).isGreaterThan(10);
    assertThat(text(before, "reading")).contains("\"" + floor.station() + ":1\"");
    assertThat(checked(meanwhile).tables()).isEqualTo(checked(before).tables());
    assertThat(rows(after, "reading")).isEqualTo(rows(before, "reading") + posted[0]);
  }

  private static void post(ShopFloor floor, int minute) {
    floor.post(floor.posting(8.4, "kg", "2026-10-01T06:%02d:00Z".formatted(minute))).expect(201);
  }

  /** Writes a backup, and meanwhile does something else at every fourth beginning of a table. */
  private void write(Path file, Runnable meanwhile) throws IOException {
    try (OutputStream out =
        new FilterOutputStream(Files.newOutputStream(file)) {
          private int entries;

          @Override
          public void write(byte[] bytes, int from, int length) throws IOException {
            out.write(bytes, from, length);
          }

          @Override
          public void write(int octet) throws IOException {
            // the first byte of an entry's header is written alone
            if (octet == 'P' && ++entries % 4 == 1) {
              CompletableFuture.runAsync(meanwhile).join();
            }
            out.write(octet);
          }
        }) {
      tarebook.bean(Backups.class).write(out, Progress.silent());
    }
  }

  private static long rows(Path file, String table) throws IOException {
    return checked(file).tables().stream()
        .filter(content -> content.name().equals(table))
        .mapToLong(Manifest.Content::rows)
        .sum();
  }

  private static Manifest checked(Path file) throws IOException {
    try (BackupFile backup = BackupFile.open(file, JsonMapper.builder().build())) {
      backup.check();
      return backup.manifest();
    }
  }

  private static String text(Path file, String table) throws IOException {
    try (ZipFile zip = new ZipFile(file.toFile())) {
      return new String(
          zip.getInputStream(zip.getEntry(table + ".csv")).readAllBytes(), StandardCharsets.UTF_8);
    }
  }
}
