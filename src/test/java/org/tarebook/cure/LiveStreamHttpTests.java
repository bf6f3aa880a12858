package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/** How a load stands while it runs, pushed to who listens. */
@OnBothDatabases
class LiveStreamHttpTests {

  private static final JsonMapper JSON = new JsonMapper();

  private final RunningTarebook tarebook;
  private CureFloor floor;
  private String id;

  LiveStreamHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    floor = new CureFloor(tarebook);
    floor
        .planned()
        .revision("r1", "2026-01-01T00:00:00Z", floor.planned().definition())
        .expect(201);
    id = floor.start(floor.cure());
  }

  @Test
  @Timeout(300)
  void pushesWhatIsNewAndEndsWithTheVerdict() throws Exception {
    post("1", 0, 300);
    HttpResponse<Stream<String>> response = listen(floor.quality());
    assertThat(response.statusCode()).isEqualTo(200);
    assertThat(response.headers().firstValue("Content-Type").orElse(""))
        .startsWith("text/event-stream");
    try (Stream<String> lines = response.body()) {
      Iterator<String> stream = lines.iterator();
      Event first = next(stream);
      assertThat(first.name()).isEqualTo("live");
      assertThat(first.data()).isEqualTo(live());
      post("2", 300, SyntheticLoad.END + 1);
      Event second = next(stream);
      assertThat(second.name()).isEqualTo("live");
      assertThat(second.data().get("elapsed").asInt()).isEqualTo(1800);
      String closed = floor.close(id, "2026-03-02T06:30:00Z").expect(201).text();
      Event third = next(stream);
      assertThat(third.name()).isEqualTo("live");
      Event verdict = next(stream);
      assertThat(verdict.name()).isEqualTo("verdict");
      assertThat(verdict.data()).isEqualTo(JSON.readTree(closed));
      while (stream.hasNext()) {
        assertThat(stream.next()).isEmpty();
      }
    }
    try (Stream<String> lines = listen(tarebook.reader()).body()) {
      List<String> names = lines.filter(line -> line.startsWith("event:")).toList();
      assertThat(names).containsExactly("event:live", "event:verdict");
    }
    assertThat(listen(tarebook.anonymous()).statusCode()).isEqualTo(401);
  }

  @Test
  @Timeout(120)
  void aStreamEndsWithItsToken() throws Exception {
    String name = Codes.fresh("listener");
    HttpResponse<Stream<String>> response = listen(tarebook.person(name, "READER"));
    assertThat(response.statusCode()).isEqualTo(200);
    try (Stream<String> lines = response.body()) {
      tarebook
          .sql()
          .sql("update access_token set revoked_at = created_at, revoked_by = ? where name = ?")
          .param("tests")
          .param(name)
          .update();
      assertThat(lines.filter(line -> line.startsWith("event:verdict"))).isEmpty();
    }
  }

  @Test
  @Timeout(120)
  void oneNameCannotTakeAllListeners() throws Exception {
    Client one = tarebook.reader();
    List<Stream<String>> open = new ArrayList<>();
    try {
      for (int i = 0; i < 20; i++) {
        HttpResponse<Stream<String>> response = listen(one);
        assertThat(response.statusCode()).isEqualTo(200);
        open.add(response.body());
      }
      assertThat(listen(one).statusCode()).isEqualTo(503);
      HttpResponse<Stream<String>> other = listen(tarebook.reader());
      assertThat(other.statusCode()).isEqualTo(200);
      open.add(other.body());
    } finally {
      open.forEach(Stream::close);
    }
  }

  private record Event(String name, JsonNode data) {}

  private static Event next(Iterator<String> stream) {
    String name = "";
    StringBuilder data = new StringBuilder();
    while (stream.hasNext()) {
      String line = stream.next();
      if (line.startsWith("event:")) {
        name = line.substring(6).strip();
      } else if (line.startsWith("data:")) {
        data.append(line.substring(5));
      } else if (line.isEmpty() && !name.isEmpty()) {
        return new Event(name, JSON.readTree(data.toString()));
      }
    }
    throw new AssertionError("The stream ended without another event");
  }

  private HttpResponse<Stream<String>> listen(Client client) throws Exception {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(URI.create(client.base() + "/api/v1/cures/" + id + "/live"))
            .header("Accept", "text/event-stream");
    if (client.token() != null) {
      request.header("Authorization", "Bearer " + client.token());
    }
    return HttpClient.newHttpClient().send(request.build(), HttpResponse.BodyHandlers.ofLines());
  }

  private JsonNode live() {
    return JSON.readTree(floor.quality().get("/api/v1/cures/" + id + "/live").expect(200).text());
  }

  private void post(String key, double from, double until) {
    floor.samples(id, "key=" + key, "text/csv", new HealthyLog(from, until).csv()).expect(201);
  }
}
