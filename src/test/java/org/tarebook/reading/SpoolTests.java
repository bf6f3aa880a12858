package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** Outcomes that wait leave no file after a kill, and are bounded over all bodies together. */
class SpoolTests {

  @Test
  void theFileHasNoNameWhileItIsOpenAndItsBytesAreCounted(@TempDir Path folder) throws IOException {
    AtomicLong waiting = new AtomicLong();
    try (Spool spool = new Spool(folder, waiting)) {
      spool.writeLine("one".getBytes(StandardCharsets.UTF_8));
      spool.writeLine("two".getBytes(StandardCharsets.UTF_8));
      assertThat(folder).isEmptyDirectory();
      assertThat(waiting.get()).isEqualTo(8);
      ByteArrayOutputStream sent = new ByteArrayOutputStream();
      spool.sendTo(sent);
      assertThat(sent.toString(StandardCharsets.UTF_8)).isEqualTo("one\ntwo\n");
    }
    assertThat(waiting.get()).isZero();
  }

  @Test
  void aBodyStopsBetweenChunksWhereTooManyOutcomesWait() {
    try (RunningTarebook tarebook =
        RunningTarebook.start(TestDatabase.create(Vendor.H2), "--tarebook.outcomes-waiting=1B")) {
      ShopFloor floor = new ShopFloor(tarebook, "kg");
      StringBuilder body = new StringBuilder();
      for (int i = 0; i < 600; i++) {
        body.append(floor.posting(5.6, "kg", "2026-03-02T06:00:00.%03dZ".formatted(i)))
            .append('\n');
      }
      List<JsonNode> lines =
          tarebook
              .station(floor.station())
              .send("POST", "/api/v1/readings/bulk", "application/x-ndjson", body.toString())
              .expect(200)
              .text()
              .lines()
              .map(new JsonMapper()::readTree)
              .toList();
      JsonNode end = lines.get(lines.size() - 1);
      assertThat(lines).hasSize(501);
      assertThat(end.get("recorded").asInt()).isEqualTo(500);
      assertThat(end.get("resumeAt").asInt()).isEqualTo(501);
      assertThat(end.at("/problem/status").asInt()).isEqualTo(503);
    }
  }
}
