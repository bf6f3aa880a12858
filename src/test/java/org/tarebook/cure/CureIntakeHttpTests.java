package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ScheduleFloor.quantity;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Cures on the wire: answers, retries, refusals, lists. */
@OnBothDatabases
class CureIntakeHttpTests {

  private final RunningTarebook tarebook;
  private CureFloor floor;

  CureIntakeHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    floor = new CureFloor(tarebook);
    floor
        .planned()
        .revision("r1", "2026-01-01T00:00:00Z", floor.planned().definition())
        .expect(201);
  }

  @Test
  void answersWithItsAddressAndWhatIsLoaded() {
    Answer made = post(floor.cure("key", "P:1")).expect(201);
    JsonNode cure = made.json();
    assertThat(made.header("Location")).isEqualTo("/api/v1/cures/" + cure.get("id").asString());
    assertThat(cure.get("press").asString()).isEqualTo(floor.press());
    assertThat(cure.get("revision").asInt()).isEqualTo(1);
    assertThat(cure.get("barometer").toString()).isEqualTo("{\"value\":101.325,\"unit\":\"kPa\"}");
    assertThat(cure.get("cavities")).hasSize(4);
    assertThat(cure.at("/cavities/0/load/mould").asString()).isEqualTo("M-1");
    assertThat(cure.at("/cavities/0/verdict").isMissingNode()).isTrue();
    assertThat(cure.get("recordedAt").asString()).isEqualTo("2026-03-02T12:00:00Z");
    assertThat(cure.get("caution").asString()).contains("no interlock");
    Answer shown = floor.quality().get("/api/v1/cures/" + cure.get("id").asString()).expect(200);
    assertThat(shown.json()).isEqualTo(cure);
    assertThat(floor.quality().get("/api/v1/cures/1").problem()).isEqualTo("not-found");
  }

  @Test
  void hasNoRevisionWhereNoneWasInForce() {
    String cure = floor.cure("startedAt", "2025-12-31T23:59:59Z", "cavities", untimed(1));
    assertThat(post(cure).expect(201).at("/revision").isMissingNode()).isTrue();
  }

  @Test
  void answersARetryWithTheStoredCureHoweverItsNumbersAreWritten() {
    List<Map<String, Object>> cavities = untimed(2, 1);
    List<Map<String, Object>> channels = floor.channels();
    Answer first =
        post(floor.cure("key", "P:2", "cavities", cavities, "channels", channels)).expect(201);
    cavities.forEach(one -> one.put("greenTemperature", quantity("25.0", "Cel")));
    channels.get(4).put("accuracy", new BigDecimal("0.050"));
    Answer retry =
        post(floor.cure(
                "key",
                "P:2",
                "startedAt",
                "2026-03-02T07:00:00+01:00",
                "barometer",
                quantity("101.3250", "kPa"),
                "cavities",
                List.of(cavities.get(1), cavities.get(0)),
                "channels",
                channels))
            .expect(200);
    assertThat(retry.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(retry.json()).isEqualTo(first.json());
  }

  @Test
  void refusesAKeyUsedForAnotherCureAndNamesWhatDiffers() {
    List<Map<String, Object>> cavities = untimed(1);
    post(floor.cure("key", "P:3", "cavities", cavities)).expect(201);
    cavities.get(0).put("mould", "M-9");
    Answer refused =
        post(floor.cure("key", "P:3", "cavities", cavities, "startedAt", "2026-03-02T06:00:01Z"));
    assertThat(refused.status()).isEqualTo(422);
    assertThat(refused.problem()).isEqualTo("key-reused");
    assertThat(pointers(refused)).containsExactlyInAnyOrder("/cavities", "/startedAt");
    assertThat(refused.at("/detail").asString()).contains("P:3", "a new cure needs a new key");
  }

  @Test
  void letsAStationPostForItsOwnPressOnly() {
    CureFloor other = new CureFloor(tarebook);
    Answer refused = other.controller().post("/api/v1/cures", floor.cure("key", "P:4"));
    assertThat(refused.status()).isEqualTo(403);
    assertThat(pointers(refused)).containsExactly("/press");
    assertThat(refused.at("/errors/0/detail").asString()).contains(floor.station());
    String id = post(floor.cure("key", "P:4")).expect(201).at("/id").asString();
    assertThat(
            other
                .controller()
                .send("POST", "/api/v1/cures/" + id + "/samples?key=1", "text/csv", "at,IP\n")
                .status())
        .isEqualTo(403);
    assertThat(other.close(id, "2026-03-02T06:30:00Z").status()).isEqualTo(403);
    floor.quality().post("/api/v1/cures", floor.cure("key", "P:4")).expect(201);
  }

  @Test
  void refusesWhatDoesNotFitThePress() {
    refusedCavity("/cavities/0/cavity", "cavities 1 to 4", one -> one.put("cavity", 5));
    refusedCavity(
        "/cavities/0/greenTemperature/unit",
        "temperature",
        one -> one.put("greenTemperature", quantity("25", "bar")));
    refusedCavity(
        "/cavities/0/builtAt", "built before", one -> one.put("builtAt", "2026-03-02T06:00:01Z"));
    List<Map<String, Object>> twice = floor.cavities(3, 3);
    refused(floor.cure("cavities", twice), "/cavities/1/cavity", "loaded twice");
    refused(
        floor.cure("barometer", quantity("1013.25", "kPa")), "/barometer/value", "check the unit");
    refused(floor.cure("barometer", quantity("20", "Cel")), "/barometer/unit", "pressure");
    refused(floor.cure("startedAt", "2026-03-02T12:02:01Z"), "/startedAt", "ahead of the server");
    refused(floor.cure("press", "NONE"), "/press", "NONE");
    refused(floor.cure("schedule", "NONE"), "/schedule", "NONE");
    refused(floor.cure("cavities", List.of()), "/cavities", "");
    refused(floor.cure("channels", List.of()), "/channels", "");
  }

  @Test
  void refusesChannelsThatCannotBeUnderstood() {
    List<Map<String, Object>> twice = floor.channels();
    twice.get(1).put("code", "IT-1");
    refused(floor.cure("channels", twice), "/channels/1/code", "stands twice");
    refusedTemperature("/unit", "temperature", one -> one.put("unit", "bar"));
    refusedTemperature("/unit", "", one -> one.put("unit", "°C"));
    refusedTemperature("/pressure", "temperature", one -> one.put("pressure", "GAUGE"));
    refusedTemperature("/sensorClass", "how far", one -> one.remove("sensorClass"));
    refusedTemperature("/serves", "serves nothing", one -> one.put("serves", List.of()));
    refusedTemperature("/serves", "serves nothing", one -> one.remove("serves"));
    refusedTemperature("/serves", "cavity 5", one -> one.put("serves", List.of(1, 5)));
    refusedTemperature("/serves", "twice", one -> one.put("serves", List.of(1, 1)));
    refusedTemperature("/accuracy", "", one -> one.put("accuracy", 0));
    refusedTemperature(
        "/rangeFrom",
        "below rangeUntil",
        one -> {
          one.put("rangeFrom", 200);
          one.put("rangeUntil", 200);
        });
    refusedTemperature("/heartbeat", "ON_CHANGE", one -> one.put("heartbeat", "PT1M"));
    refusedTemperature(
        "/heartbeat",
        "must be positive",
        one -> {
          one.put("recording", "ON_CHANGE");
          one.put("heartbeat", "PT0S");
        });
    refusedPressure("/pressure", "GAUGE", one -> one.remove("pressure"));
    refusedPressure("/accuracy", "in bar", one -> one.remove("accuracy"));
    refusedPressure("/sensorClass", "temperatures", one -> one.put("sensorClass", "PT100_A"));
    refusedPressure("/unit", "pressure", one -> one.put("unit", "Cel"));
    refusedPressure(
        "/unit", "a force", one -> one.putAll(Map.of("measured", "CLAMPING", "unit", "kg")));
  }

  @Test
  void tellsEveryFaultAtOnce() {
    List<Map<String, Object>> channels = floor.channels();
    channels.get(0).put("serves", List.of(9));
    channels.get(4).remove("pressure");
    assertThat(pointers(post(floor.cure("channels", channels, "cavities", floor.cavities(1, 1)))))
        .containsExactly("/cavities/1/cavity", "/channels/0/serves", "/channels/4/pressure");
  }

  @Test
  void listsByPressScheduleCavityMouldBladderTyreAndTime() {
    List<Map<String, Object>> swapped = untimed(1, 2);
    swapped.get(0).put("mould", "M-2");
    String tyre = (String) swapped.get(1).get("greenTyre");
    tarebook.clock().set("2026-03-02T06:00:00Z");
    for (int hour = 1; hour <= 5; hour++) {
      tarebook.clock().forward(Duration.ofSeconds(1));
      post(floor.cure(
              "key",
              "L" + hour,
              "startedAt",
              "2026-03-02T0" + hour + ":00:00Z",
              "cavities",
              hour == 3 ? swapped : untimed(hour > 3 ? new int[] {1, 2, 4} : new int[] {1, 2})))
          .expect(201);
    }
    assertThat(keys("")).containsExactly("L5", "L4", "L3", "L2", "L1");
    assertThat(keys("&limit=2")).containsExactly("L5", "L4", "L3", "L2", "L1");
    assertThat(keys("&schedule=" + floor.planned().schedule())).hasSize(5);
    assertThat(keys("&cavity=4")).containsExactly("L5", "L4");
    assertThat(keys("&cavity=1&mould=M-2")).containsExactly("L3");
    assertThat(keys("&cavity=1&mould=M-4")).isEmpty();
    assertThat(keys("&mould=M-4&bladder=B-4")).containsExactly("L5", "L4");
    assertThat(keys("&greenTyre=" + tyre)).containsExactly("L3");
    assertThat(keys("&startedFrom=2026-03-02T02:00:00Z&startedBefore=2026-03-02T04:00:00Z"))
        .containsExactly("L3", "L2");
    String third = floor.quality().get(list("&cavity=1&mould=M-2")).at("/items/0").toString();
    String recorded = third.replaceAll(".*\"recordedAt\":\"([^\"]*)\".*", "$1");
    assertThat(keys("&recordedFrom=" + recorded)).containsExactly("L5", "L4", "L3");
    assertThat(keys("&limit=1&recordedBefore=" + recorded)).containsExactly("L2", "L1");
    assertThat(keys("&verdict=GOOD")).isEmpty();
    String id = floor.quality().get(list("&cavity=4")).at("/items/0/id").asString();
    floor.close(id, "2026-03-02T05:30:00Z").expect(201);
    assertThat(keys("&verdict=NOT_JUDGED&cavity=4")).containsExactly("L5");
    assertThat(keys("&verdict=GOOD")).isEmpty();
    assertThat(floor.quality().get("/api/v1/cures?press=NONE").problem()).isEqualTo("unknown-code");
    assertThat(floor.quality().get(list("&mold=M-1")).status()).isEqualTo(400);
    String next = floor.quality().get(list("&limit=2")).at("/next").asString();
    assertThat(floor.quality().get(next + "&cavity=1").problem()).isEqualTo("cursor-does-not-fit");
  }

  private List<Map<String, Object>> untimed(int... loaded) {
    List<Map<String, Object>> cavities = floor.cavities(loaded);
    cavities.forEach(one -> one.remove("builtAt"));
    return cavities;
  }

  private Answer post(String cure) {
    return floor.controller().post("/api/v1/cures", cure);
  }

  private void refusedCavity(String pointer, String words, Consumer<Map<String, Object>> wrong) {
    List<Map<String, Object>> cavities = floor.cavities(1, 2);
    wrong.accept(cavities.get(0));
    refused(floor.cure("cavities", cavities), pointer, words);
  }

  private void refusedTemperature(
      String member, String words, Consumer<Map<String, Object>> wrong) {
    List<Map<String, Object>> channels = floor.channels();
    wrong.accept(channels.get(0));
    refused(floor.cure("channels", channels), "/channels/0" + member, words);
  }

  private void refusedPressure(String member, String words, Consumer<Map<String, Object>> wrong) {
    List<Map<String, Object>> channels = floor.channels();
    wrong.accept(channels.get(4));
    refused(floor.cure("channels", channels), "/channels/4" + member, words);
  }

  private void refused(String cure, String pointer, String words) {
    Answer answer = post(cure);
    assertThat(answer.status()).as(answer.text()).isBetween(400, 422);
    assertThat(pointers(answer)).as(answer.text()).containsExactly(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words).isNotBlank();
  }

  private String list(String more) {
    return "/api/v1/cures?press=" + floor.press() + more;
  }

  private List<String> keys(String more) {
    List<String> keys = new ArrayList<>();
    String next = list(more);
    while (next != null) {
      JsonNode page = floor.quality().get(next).expect(200).json();
      page.get("items").forEach(item -> keys.add(item.get("key").asString()));
      next = page.has("next") ? page.get("next").asString() : null;
    }
    return keys;
  }

  private static List<String> pointers(Answer answer) {
    return StreamSupport.stream(answer.at("/errors").spliterator(), false)
        .map(fault -> fault.get("pointer").asString())
        .toList();
  }
}
