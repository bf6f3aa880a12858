package org.tarebook.access;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CyclicBarrier;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.junit.jupiter.api.io.TempDir;
import org.springframework.boot.test.system.CapturedOutput;
import org.springframework.boot.test.system.OutputCaptureExtension;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.StartRefused;
import org.tarebook.storage.Vendor;

@OnBothDatabases
@ExtendWith(OutputCaptureExtension.class)
class FirstAdministratorTests {

  private final Vendor vendor;

  FirstAdministratorTests(Vendor vendor) {
    this.vendor = vendor;
  }

  @Test
  void theFirstStartWritesATokenIntoAFileOfItsOwnersThatMakesTheRealOnesForADay(
      CapturedOutput output, @TempDir Path folder) throws IOException {
    TestDatabase database = TestDatabase.create(vendor);
    Path file = folder.resolve("new/first.token");
    String setting = "--tarebook.first-token-file=" + file;
    String text;
    try (RunningTarebook tarebook = RunningTarebook.start(database, setting)) {
      text = Files.readString(file).strip();
      assertThat(text).matches("tb_[A-Za-z0-9_-]{43}");
      assertThat(Files.getPosixFilePermissions(file)).isEqualTo(rights("rw-------"));
      assertThat(Files.getPosixFilePermissions(folder.resolve("new")))
          .isEqualTo(rights("rwx------"));
      assertThat(output.getAll())
          .contains("curl -X POST " + tarebook.base().replace("127.0.0.1", "localhost"))
          .contains("Authorization: Bearer $(cat '" + file + "')")
          .doesNotContain(text);
      Client first = new Client(tarebook.base(), text);
      Answer listed = first.get("/api/v1/tokens").expect(200);
      assertThat(listed.at("/items").size()).isEqualTo(1);
      assertThat(listed.at("/items/0/name").asString()).isEqualTo("first-administrator");
      assertThat(listed.at("/items/0/kind").asString()).isEqualTo("PERSON");
      assertThat(listed.at("/items/0/role").asString()).isEqualTo("ADMIN");
      assertThat(listed.at("/items/0/createdBy").asString()).isEqualTo("tarebook");
      assertThat(first.get("/api/v1/audit?subject=token").at("/items").size()).isEqualTo(1);
      first
          .post(
              "/api/v1/tokens",
              "{\"name\": \"Ada Example\", \"kind\": \"PERSON\", \"role\": \"ADMIN\"}")
          .expect(201);

      tarebook.clock().forward(Duration.ofHours(23).plusMinutes(59));
      assertThat(first.get("/api/v1/tokens").status()).isEqualTo(200);
      tarebook.clock().forward(Duration.ofMinutes(1));
      assertThat(first.get("/api/v1/tokens").status()).isEqualTo(401);
      tarebook.clock().run();
    }
    Files.delete(file);
    try (RunningTarebook again = RunningTarebook.start(database, setting)) {
      assertThat(file).doesNotExist();
      assertThat(new Client(again.base(), text).get("/api/v1/tokens").status()).isEqualTo(200);
    }
  }

  @Test
  void aStaleFileIsReplacedWithTheRightsOfItsOwner(@TempDir Path folder) throws IOException {
    Path file = Files.writeString(folder.resolve("first.token"), "tb_stale");
    Files.setPosixFilePermissions(file, rights("rw-r--r--"));
    try (RunningTarebook tarebook =
        RunningTarebook.start(TestDatabase.create(vendor), "--tarebook.first-token-file=" + file)) {
      Client first = new Client(tarebook.base(), Files.readString(file).strip());
      first.get("/api/v1/tokens").expect(200);
      assertThat(Files.getPosixFilePermissions(file)).isEqualTo(rights("rw-------"));
    }
  }

  @Test
  void withoutAFileThatCanBeWrittenThereIsNoTokenAndNoStart(@TempDir Path folder)
      throws IOException {
    TestDatabase database = TestDatabase.create(vendor);
    Path inTheWay = Files.writeString(folder.resolve("taken"), "a file, not a folder");

    assertThatThrownBy(
            () ->
                RunningTarebook.start(
                    database, "--tarebook.first-token-file=" + inTheWay.resolve("first.token")))
        .isInstanceOf(StartRefused.class)
        .hasMessageContaining("tarebook.first-token-file");
    assertThat(database.sql().sql("select count(*) from access_token").query(Long.class).single())
        .isZero();
  }

  @Test
  void ofManyThatStartAtOnceOneMakesIt() throws Exception {
    try (RunningTarebook tarebook = RunningTarebook.start(vendor)) {
      Tokens tokens = tarebook.bean(Tokens.class);
      for (int round = 0; round < 5; round++) {
        tarebook.sql().sql("delete from access_token").update();
        assertThat(makeAtOnce(tokens, 8)).hasSize(1);
        assertThat(
                tarebook.sql().sql("select count(*) from access_token").query(Long.class).single())
            .isEqualTo(1);
      }
    }
  }

  @Test
  void aPlantWhoseAdministratorsAllExpiredIsOpenedAgainAndOneWithOneLeftIsNot() {
    try (RunningTarebook tarebook = RunningTarebook.start(vendor)) {
      Tokens tokens = tarebook.bean(Tokens.class);
      tarebook.reader().get("/api/v1/lines").expect(200);
      assertThat(tokens.makeFirstAdministrator(made -> {})).isEmpty();

      tarebook.clock().forward(Duration.ofHours(24));
      assertThat(tokens.makeFirstAdministrator(made -> {})).isPresent();
      assertThat(tokens.makeFirstAdministrator(made -> {})).isEmpty();
    }
  }

  private static List<Tokens.Made> makeAtOnce(Tokens tokens, int copies) throws Exception {
    CyclicBarrier start = new CyclicBarrier(copies);
    ExecutorService threads = Executors.newFixedThreadPool(copies);
    try {
      List<Future<Optional<Tokens.Made>>> running = new ArrayList<>();
      for (int i = 0; i < copies; i++) {
        running.add(
            threads.submit(
                () -> {
                  start.await();
                  return tokens.makeFirstAdministrator(made -> {});
                }));
      }
      List<Tokens.Made> made = new ArrayList<>();
      for (Future<Optional<Tokens.Made>> one : running) {
        one.get().ifPresent(made::add);
      }
      return made;
    } finally {
      threads.shutdownNow();
    }
  }

  private static Set<PosixFilePermission> rights(String text) {
    return PosixFilePermissions.fromString(text);
  }
}
