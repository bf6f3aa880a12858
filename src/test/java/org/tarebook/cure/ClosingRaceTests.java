package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

/** A cure is closed while its last pieces come in: each is in the verdict or refused. */
@OnBothDatabases
class ClosingRaceTests {

  private static final int POSTERS = 6;
  private static final int RUNS = 10;

  private final CureFloor floor;
  private final ExecutorService threads = Executors.newFixedThreadPool(POSTERS);

  ClosingRaceTests(RunningTarebook tarebook) {
    floor = new CureFloor(tarebook);
  }

  @Test
  void everyPieceIsInTheVerdictOrRefused() throws Exception {
    floor
        .planned()
        .revision("r1", "2026-01-01T00:00:00Z", floor.planned().definition())
        .expect(201);
    int refused = 0;
    for (int run = 0; run < RUNS; run++) {
      refused += race(run);
    }
    threads.shutdown();
    assertThat(refused).as("pieces that came too late over all runs").isPositive();
  }

  /** Closes once some pieces are in, while the posters go on until they are refused. */
  private int race(int run) throws Exception {
    Client controller = floor.controller();
    String id = floor.start(floor.cure());
    CountDownLatch begun = new CountDownLatch(1 + 2 * run);
    AtomicInteger moments = new AtomicInteger();
    List<Future<List<Answer>>> posters = new ArrayList<>();
    for (int poster = 0; poster < POSTERS; poster++) {
      String own = "p" + poster + "-";
      posters.add(threads.submit(() -> post(controller, id, own, moments, begun)));
    }
    assertThat(begun.await(300, TimeUnit.SECONDS)).isTrue();
    Answer verdict = floor.close(id, "2026-03-02T06:30:00Z").expect(201);
    int accepted = 0;
    int refused = 0;
    for (Future<List<Answer>> poster : posters) {
      for (Answer answer : poster.get(300, TimeUnit.SECONDS)) {
        if (answer.status() < 300) {
          accepted += answer.at("/samples").asInt();
        } else {
          assertThat(answer.status()).as(answer.text()).isEqualTo(409);
          assertThat(answer.problem()).isEqualTo("conflict");
          refused++;
        }
      }
    }
    assertThat(verdict.at("/samples").asInt()).as("run " + run).isEqualTo(accepted).isPositive();
    Answer pieces = floor.quality().get("/api/v1/cures/" + id + "/pieces");
    int stored = 0;
    for (tools.jackson.databind.JsonNode piece : pieces.at("/items")) {
      stored += piece.get("samples").asInt();
    }
    assertThat(stored).isEqualTo(accepted);
    Answer verdicts = floor.quality().get("/api/v1/cures/" + id + "/verdicts");
    assertThat(verdicts.at("/items")).hasSize(1);
    return refused;
  }

  /** Posts pieces, each one twice, until one is refused. */
  private static List<Answer> post(
      Client controller, String id, String own, AtomicInteger moments, CountDownLatch begun) {
    List<Answer> answers = new ArrayList<>();
    for (int piece = 0; piece < 200; piece++) {
      String at = CureFloor.START.replace("00Z", "%02d.%06dZ");
      int number = moments.incrementAndGet();
      String csv = "at,IP,DT\n" + at.formatted(number % 60, number) + ",20,150\n";
      String path = "/api/v1/cures/" + id + "/samples?key=" + own + piece;
      Answer answer = controller.send("POST", path, "text/csv", csv);
      answers.add(answer);
      begun.countDown();
      if (answer.status() != 201) {
        return answers;
      }
      controller.send("POST", path, "text/csv", csv).expect(200);
    }
    throw new AssertionError("Never refused, though the cure was closed");
  }
}
