package org.tarebook.access;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CyclicBarrier;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.springframework.boot.test.system.CapturedOutput;
import org.springframework.boot.test.system.OutputCaptureExtension;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

@OnBothDatabases
@ExtendWith(OutputCaptureExtension.class)
class FirstAdministratorTests {

  private static final Pattern BOXED = Pattern.compile("(?m)^  (tb_[A-Za-z0-9_-]{43})$");

  private final Vendor vendor;

  FirstAdministratorTests(Vendor vendor) {
    this.vendor = vendor;
  }

  @Test
  void theFirstStartPrintsATokenOnceThatMakesTheRealOnesForADay(CapturedOutput output) {
    TestDatabase database = TestDatabase.create(vendor);
    String text;
    try (RunningTarebook tarebook = RunningTarebook.start(database)) {
      assertThat(printed(output)).hasSize(1);
      text = printed(output).get(0);
      assertThat(output.getOut())
          .contains("curl -X POST " + tarebook.base().replace("127.0.0.1", "localhost"))
          .contains("Authorization: Bearer " + text);
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
    try (RunningTarebook again = RunningTarebook.start(database)) {
      assertThat(printed(output)).containsExactly(text);
      assertThat(new Client(again.base(), text).get("/api/v1/tokens").status()).isEqualTo(200);
    }
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
      assertThat(tokens.makeFirstAdministrator()).isEmpty();

      tarebook.clock().forward(Duration.ofHours(24));
      assertThat(tokens.makeFirstAdministrator()).isPresent();
      assertThat(tokens.makeFirstAdministrator()).isEmpty();
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
                  return tokens.makeFirstAdministrator();
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

  private static List<String> printed(CapturedOutput output) {
    return BOXED
        .matcher(output.getOut())
        .results()
        .map((MatchResult found) -> found.group(1))
        .toList();
  }
}
