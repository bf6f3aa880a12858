package org.tarebook.item;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Items on the wire: registered, corrected, listed. */
@OnBothDatabases
class ItemHttpTests {

  private static final String ITEMS = "/api/v1/items";

  private final RunningTarebook tarebook;
  private final Client quality;
  private final String green = Codes.fresh("GT");
  private final String other = Codes.fresh("GT");

  ItemHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.quality = tarebook.quality();
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-03T06:00:00Z");
    for (String code : List.of(green, other)) {
      quality
          .post("/api/v1/components", json("code", code, "name", "G", "kind", "GREEN_TYRE"))
          .expect(201);
    }
  }

  private String registered(String component, String lot) {
    String number = Codes.fresh("N");
    quality.post(ITEMS, json("number", number, "component", component, "lot", lot)).expect(201);
    tarebook.clock().forward(Duration.ofSeconds(10));
    return number;
  }

  private Answer correct(String number, String key, Object... content) {
    List<Object> pairs = new ArrayList<>(List.of("key", key, "reason", "wrong label"));
    pairs.addAll(List.of(content));
    Answer answer = quality.post(ITEMS + "/" + number + "/corrections", json(pairs.toArray()));
    tarebook.clock().forward(Duration.ofSeconds(10));
    return answer;
  }

  private List<String> numbers(String query) {
    List<String> found = new ArrayList<>();
    String next = ITEMS + "?limit=2&" + query;
    while (!next.isEmpty()) {
      Answer page = tarebook.reader().get(next).expect(200);
      page.at("/items").forEach(item -> found.add(item.at("/number").asString()));
      next = page.at("/next").asString("");
    }
    return found;
  }

  @Test
  void aBlankLotIsRefused() {
    for (String blank : List.of(" ", "   ", "LOT-1 ", "\u00a0")) {
      Answer refused =
          quality.post(ITEMS, json("number", Codes.fresh("N"), "component", green, "lot", blank));
      assertThat(refused.expect(400).at("/errors/0/pointer").asString()).isEqualTo("/lot");
      assertThat(refused.at("/errors/0/detail").asString()).contains("blank", "leave it out");
    }
    Answer unnamed = quality.post(ITEMS, json("number", " ", "component", green)).expect(400);
    assertThat(unnamed.at("/errors/0/pointer").asString()).isEqualTo("/number");
    String number = registered(green, "LOT-1");
    Answer corrected = correct(number, "k1", "lot", "  ").expect(400);
    assertThat(corrected.at("/errors/0/detail").asString()).contains("name it in unknown");
  }

  @Test
  void theLastCorrectionHoldsAndTheRegistrationStaysOnRecord() {
    String number = registered(green, "LOT-1");
    Answer first =
        correct(number, "k1", "component", other, "lot", "LOT-2", "madeAt", "2026-03-01T10:00:00Z")
            .expect(201);
    assertThat(first.header("Location")).isEqualTo(ITEMS + "/" + number + "/corrections/1");
    assertThat(first.at("/before/component").asString()).isEqualTo(green);
    assertThat(first.at("/before/lot").asString()).isEqualTo("LOT-1");
    Answer second = correct(number, "k2", "unknown", List.of("lot")).expect(201);
    assertThat(second.at("/madeAt").asString()).isEqualTo("2026-03-01T10:00:00Z");

    JsonNode now = tarebook.reader().get(ITEMS + "/" + number).expect(200).json();
    assertThat(now.at("/component").asString()).isEqualTo(other);
    assertThat(now.has("lot")).isFalse();
    assertThat(now.at("/madeAt").asString()).isEqualTo("2026-03-01T10:00:00Z");
    assertThat(now.at("/corrections").asInt()).isEqualTo(2);
    assertThat(now.at("/recordedAt").asString()).isEqualTo("2026-03-03T06:00:20Z");
    JsonNode all =
        tarebook.reader().get(ITEMS + "/" + number + "/corrections").expect(200).at("/items");
    assertThat(all).hasSize(2);
    assertThat(all.get(0)).isEqualTo(first.json());
    assertThat(all.at("/1/before/lot").asString()).isEqualTo("LOT-2");
    assertThat(tarebook.reader().get(first.header("Location")).expect(200).json())
        .isEqualTo(first.json());
    tarebook.reader().get(ITEMS + "/" + number + "/corrections/0").expect(404);
    tarebook.reader().get(ITEMS + "/" + number + "/corrections/3").expect(404);
    JsonNode audit = quality.get("/api/v1/audit?code=" + number).at("/items");
    assertThat(audit).hasSize(3);
    assertThat(audit.at("/0/action").asString()).isEqualTo("corrected");
    assertThat(audit.at("/0/subject").asString()).isEqualTo("item");
    assertThat(audit.at("/1/detail").toString()).contains("wrong label", "LOT-2");
    assertThat(audit.at("/2/action").asString()).isEqualTo("registered");
    assertThat(audit.at("/2/detail").asString()).contains(green, "LOT-1");
  }

  @Test
  void repeatsAreAnsweredAsStoredAndOtherContentIsRefused() {
    String number = registered(green, "LOT-1");
    correct(number, "k1", "component", other, "lot", "LOT-1").expect(201);
    Answer again = correct(number, "k1", "component", other, "lot", "LOT-1").expect(200);
    assertThat(again.header("Idempotent-Replayed")).isEqualTo("true");
    Answer differs = correct(number, "k1", "component", other, "lot", "LOT-3");
    assertThat(differs.status()).isEqualTo(422);
    assertThat(differs.problem()).isEqualTo("key-reused");
    assertThat(differs.at("/detail").asString()).contains("k1", "correction 1", "lot");
    for (String component : List.of(green, other)) {
      Answer registration =
          quality
              .post(ITEMS, json("number", number, "component", component, "lot", "LOT-1"))
              .expect(200);
      assertThat(registration.header("Idempotent-Replayed")).isEqualTo("true");
      assertThat(registration.at("/component").asString()).isEqualTo(other);
    }
    Answer another = quality.post(ITEMS, json("number", number, "component", green));
    assertThat(another.status()).isEqualTo(409);
    assertThat(another.at("/detail").asString()).contains("/corrections");
    Answer nothing = correct(number, "k3", "component", other).expect(422);
    assertThat(nothing.at("/detail").asString())
        .isEqualTo(
            "The correction changes nothing: item "
                + number
                + " stands with component "
                + other
                + ", lot LOT-1, no madeAt. Send what differs.");
    correct(number, "k3").expect(422);
    correct(number, "k3", "lot", "LOT-4", "unknown", List.of("lot")).expect(422);
    correct(number, "k3", "unknown", List.of("component")).expect(400);
    assertThat(correct("none-" + number, "k3", "component", green).status()).isEqualTo(404);
  }

  @Test
  void aListGivesItemsAsTheyStandInTheOrderOfWhatWasRecordedLast() {
    List<String> all = new ArrayList<>();
    for (int i = 0; i < 5; i++) {
      all.add(registered(green, "LOT-" + green + i % 2));
    }
    assertThat(numbers("component=" + green)).containsExactlyElementsOf(all);
    assertThat(numbers("lot=LOT-" + green + 1)).containsExactly(all.get(1), all.get(3));
    correct(all.get(1), "k1", "component", green, "lot", "LOT-" + green + 0).expect(201);
    correct(all.get(4), "k2", "component", other, "lot", "LOT-" + green + 0).expect(201);
    correct(all.get(1), "k3", "madeAt", "2026-03-01T10:00:00Z").expect(201);
    assertThat(numbers("component=" + green))
        .containsExactly(all.get(0), all.get(2), all.get(3), all.get(1));
    assertThat(numbers("component=" + other)).containsExactly(all.get(4));
    assertThat(numbers("lot=LOT-" + green + 1)).containsExactly(all.get(3));
    assertThat(numbers("recordedFrom=2026-03-03T06:00:40Z&component=" + green))
        .containsExactly(all.get(1));
    assertThat(numbers("recordedFrom=2026-03-03T06:00:10Z&lot=LOT-" + green + 0))
        .containsExactly(all.get(2), all.get(4), all.get(1));
    assertThat(numbers("recordedBefore=2026-03-03T06:00:20Z&component=" + green))
        .containsExactly(all.get(0));
    assertThat(numbers("recordedFrom=2026-03-03T06:00:40Z&recordedBefore=2026-03-03T06:01:20Z"))
        .contains(all.get(4), all.get(1))
        .doesNotContain(all.get(0), all.get(3));
    tarebook.reader().get(ITEMS + "?component=none").expect(422);
  }

  @Test
  void thirtyCorrectionsAtOnceAreAllKept() throws Exception {
    String number = registered(green, "L");
    ExecutorService threads = Executors.newFixedThreadPool(30);
    try {
      List<Future<Answer>> asked = new ArrayList<>();
      for (int i = 0; i < 30; i++) {
        String lot = "L" + i;
        asked.add(threads.submit(() -> correct(number, "k" + lot, "lot", lot)));
      }
      Set<Integer> numbers = new TreeSet<>();
      for (Future<Answer> each : asked) {
        numbers.add(each.get().expect(201).at("/correction").asInt());
      }
      assertThat(numbers).hasSize(30).contains(1, 30);
    } finally {
      threads.shutdownNow();
    }
  }
}
