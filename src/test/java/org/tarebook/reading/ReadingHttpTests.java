package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

@OnBothDatabases
class ReadingHttpTests {

  private static final String AT = "2026-03-29T00:59:59.25Z";

  private final RunningTarebook tarebook;
  private final ShopFloor floor;

  ReadingHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.floor = new ShopFloor(tarebook, "[lb_av]");
    floor.specification(floor.mass(), "12.25", "12.50", "[lb_av]");
  }

  @Test
  void aPostedWeighingIsAnsweredWithResultLimitsAndMargin() {
    Answer made = floor.post(floor.posting(new BigDecimal("5.613"), "kg", AT, "die", "D7"));
    made.expect(201);
    assertThat(made.at("/result").asString()).isEqualTo("PASS");
    assertThat(made.at("/specification/upper").decimalValue()).isEqualByComparingTo("12.50");
    assertThat(made.at("/specification/unit").asString()).isEqualTo("[lb_av]");
    // 5.613 kg / 0.45359237 kg = 12.374546776437178606 lb by exact fractions
    assertThat(made.at("/valueInLimitUnit").asString()).isEqualTo("12.374546776437178606");
    assertThat(made.at("/nearestLimit").asString()).isEqualTo("LOWER");
    assertThat(made.at("/standing").asString()).isEqualTo("COUNTED");
    assertThat(made.at("/instrument").asString()).isEqualTo(floor.scale());
    assertThat(made.at("/words").asString()).startsWith("PASS: 5.613 kg is 12.3745 lb");
    Answer read = tarebook.reader().get(made.header("Location")).expect(200);
    assertThat(read.json()).isEqualTo(made.json());
  }

  @Test
  void limitsBelongToTheToleranceAndFailuresSayTheirSide() {
    assertThat(result("12.25", "[lb_av]")).isEqualTo("PASS");
    assertThat(result("12.50", "[lb_av]")).isEqualTo("PASS");
    Answer heavy =
        floor.post(floor.posting("12.501", "[lb_av]", AT).replace("\"12.501\"", "12.501"));
    assertThat(heavy.expect(201).at("/result").asString()).isEqualTo("FAIL");
    assertThat(heavy.at("/direction").asString()).isEqualTo("ABOVE");
    assertThat(heavy.at("/margin").decimalValue()).isEqualByComparingTo("-0.001");
    assertThat(heavy.at("/words").asString())
        .isEqualTo("FAIL, heavy: 12.501 lb is 0.001 lb above the upper limit 12.50 lb.");
    Answer light = floor.post(floor.posting(new BigDecimal("12.2499"), "[lb_av]", AT));
    assertThat(light.at("/direction").asString()).isEqualTo("BELOW");
    assertThat(light.at("/words").asString()).startsWith("FAIL, light:");
  }

  @Test
  void aRetryIsTheSameFactHoweverManyZerosItIsWrittenWith() {
    String posting = floor.posting(new BigDecimal("12.385"), "[lb_av]", AT);
    Answer first = floor.post(posting).expect(201);
    Answer again = floor.post(posting.replace("12.385", "12.3850")).expect(200);
    assertThat(again.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(again.json()).isEqualTo(first.json());

    Answer other = floor.post(posting.replace("12.385", "12.386")).expect(422);
    assertThat(other.problem()).isEqualTo("key-reused");
    assertThat(other.at("/errors/0/detail").asString()).contains("differs in value");
    assertThat(floor.post(posting.replace("59.25Z", "59.26Z")).expect(422).text())
        .contains("measuredAt");
  }

  @Test
  void ofFiftySimultaneousPostsOfOneKeyOneIsRecordedAndTheOthersAreReplays() throws Exception {
    String posting = floor.posting(new BigDecimal("12.3"), "[lb_av]", AT);
    ExecutorService threads = Executors.newFixedThreadPool(50);
    try {
      List<Callable<Answer>> clients = new ArrayList<>();
      for (int i = 0; i < 50; i++) {
        clients.add(() -> floor.post(posting));
      }
      int made = 0;
      int replayed = 0;
      for (Future<Answer> future : threads.invokeAll(clients)) {
        Answer answer = future.get();
        made += answer.status() == 201 ? 1 : 0;
        replayed += answer.status() == 200 ? 1 : 0;
      }
      assertThat(made).isEqualTo(1);
      assertThat(replayed).isEqualTo(49);
    } finally {
      threads.shutdownNow();
    }
    assertThat(found("")).hasSize(1);
  }

  @Test
  void severalValuesOfOneItemAreOneFact() {
    String length = Codes.fresh("LENGTH");
    floor.characteristic(length, "mm", "MEASURED");
    floor.specification(length, "2140", "2150", "mm");
    String posting =
        floor.posting(
            new BigDecimal("12.2"),
            "[lb_av]",
            AT,
            "together",
            List.of(Map.of("characteristic", length, "value", 2131, "unit", "mm")));
    Answer made = floor.post(posting).expect(201);
    assertThat(made.at("/direction").asString()).isEqualTo("BELOW");
    assertThat(made.at("/together/0/direction").asString()).isEqualTo("BELOW");
    assertThat(made.at("/together/0/words").asString())
        .isEqualTo("FAIL, below: 2131 mm is 9 mm below the lower limit 2140 mm.");
    assertThat(floor.post(posting).expect(200).json()).isEqualTo(made.json());
    assertThat(floor.post(posting.replace("2131", "2132")).expect(422).text())
        .contains("together[0].value");
  }

  @Test
  void whatCannotBeJudgedIsStoredAndSaysWhy() {
    Answer overload = floor.post(floor.posting(null, "kg", AT, "flags", List.of("OVERLOAD")));
    assertThat(overload.expect(201).at("/notJudged").asString()).isEqualTo("OVERLOAD");
    assertThat(overload.json().has("value")).isFalse();
    assertThat(overload.at("/standing").asString()).isEqualTo("NO_VALUE");

    Answer moving = floor.post(floor.posting(12.3, "[lb_av]", AT, "flags", List.of("UNSTABLE")));
    assertThat(moving.at("/notJudged").asString()).isEqualTo("UNSTABLE");

    String width = Codes.fresh("WIDTH");
    floor.characteristic(width, "mm", "MEASURED");
    Answer free = floor.post(floor.posting(120, "mm", AT, "characteristic", width));
    assertThat(free.expect(201).at("/notJudged").asString()).isEqualTo("NO_SPECIFICATION");
    assertThat(free.at("/words").asString())
        .isEqualTo("NOT JUDGED: no specification was in force when it was measured.");
  }

  @Test
  void netComesFromGrossAndTareWhereItIsLeftOut() {
    Answer made = floor.post(floor.posting(null, "kg", AT, "gross", 7.1, "tare", 1.5));
    assertThat(made.expect(201).at("/value").decimalValue()).isEqualByComparingTo("5.6");
    Answer differs = floor.post(floor.posting(5.7, "kg", AT, "gross", 7.1, "tare", 1.5));
    assertThat(codes(differs)).contains("NET_DIFFERS");
  }

  @Test
  void onlyRunningCounts() {
    Answer trial = floor.post(floor.posting(12.3, "[lb_av]", AT, "phase", "TRIAL"));
    assertThat(trial.expect(201).at("/result").asString()).isEqualTo("PASS");
    assertThat(trial.at("/standing").asString()).isEqualTo("NOT_RUNNING");
  }

  @Test
  void doubtfulClocksAndItemsAreStoredAndMarked() {
    Instant now = tarebook.clock().instant();
    Answer ahead =
        floor.post(floor.posting(12.3, "[lb_av]", now.plus(Duration.ofHours(1)).toString()));
    assertThat(codes(ahead.expect(201))).contains("CLOCK_AHEAD");
    Answer behind =
        floor.post(floor.posting(12.3, "[lb_av]", now.minus(Duration.ofDays(3)).toString()));
    assertThat(codes(behind)).contains("CLOCK_BEHIND");

    String number = Codes.fresh("G");
    Answer unknown = floor.post(floor.posting(12.3, "[lb_av]", AT, "item", number));
    assertThat(codes(unknown.expect(201))).contains("UNKNOWN_ITEM");
    tarebook
        .quality()
        .post("/api/v1/items", json("number", number, "component", floor.component()))
        .expect(201);
    Answer known = tarebook.reader().get("/api/v1/readings/" + unknown.at("/id").asString());
    assertThat(codes(known)).doesNotContain("UNKNOWN_ITEM");
  }

  @Test
  void theFirstValidReadingOfAnItemCountsAndALaterPassIsShown() {
    String posting = floor.posting(12.6, "[lb_av]", "2026-03-02T06:00:00Z");
    Answer failed = floor.post(posting).expect(201);
    Answer again =
        floor.post(
            floor.posting(
                12.4,
                "[lb_av]",
                "2026-03-02T06:00:20Z",
                "remeasures",
                failed.at("/key").asString()));
    assertThat(again.expect(201).at("/remeasures").asString())
        .isEqualTo(failed.at("/id").asString());
    assertThat(again.at("/standing").asString()).isEqualTo("REMEASUREMENT");
    assertThat(codes(again)).contains("PASS_AFTER_FAIL").doesNotContain("REPEATED_ITEM");

    Answer nothing =
        floor.post(
            floor.posting(12.4, "[lb_av]", AT, "remeasures", "no such key".replace(" ", "-")));
    assertThat(codes(nothing.expect(201))).contains("REMEASURES_NOTHING");
    assertThat(nothing.at("/standing").asString()).isEqualTo("COUNTED");
  }

  @Test
  void anItemNamedAgainIsCountedOnceWithoutBeingDeclared() {
    String item = Codes.fresh("G");
    floor.post(floor.posting(12.4, "[lb_av]", "2026-03-02T06:00:00Z", "item", item)).expect(201);
    Answer again = floor.post(floor.posting(12.4, "[lb_av]", "2026-03-02T06:00:01Z", "item", item));
    assertThat(codes(again.expect(201))).contains("REPEATED_ITEM");
    assertThat(again.at("/standing").asString()).isEqualTo("REMEASUREMENT");

    Answer leaf =
        floor.post(floor.posting(12.4, "[lb_av]", AT, "truck", "T4", "leaf", "2", "counter", 9));
    assertThat(leaf.expect(201).at("/standing").asString()).isEqualTo("COUNTED");
    Answer sameLeaf =
        floor.post(floor.posting(12.4, "[lb_av]", AT, "truck", "T4", "leaf", "2", "counter", 9));
    assertThat(sameLeaf.at("/standing").asString()).isEqualTo("REMEASUREMENT");
  }

  @Test
  void aStationPostsForItselfOnly() {
    ShopFloor other = new ShopFloor(tarebook, "kg");
    Answer refused =
        tarebook
            .station(other.station())
            .post("/api/v1/readings", floor.posting(12.3, "[lb_av]", AT));
    assertThat(refused.expect(403).problem()).isEqualTo("not-allowed");
    assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("/station");
    tarebook
        .system("gateway", "STATION")
        .post("/api/v1/readings", floor.posting(12.3, "[lb_av]", AT))
        .expect(201);
  }

  private String result(String value, String unit) {
    return floor
        .post(floor.posting(new BigDecimal(value), unit, AT))
        .expect(201)
        .at("/result")
        .asString();
  }

  private static List<String> codes(Answer answer) {
    List<String> codes = new ArrayList<>();
    answer.at("/notices").forEach(notice -> codes.add(notice.get("code").asString()));
    return codes;
  }

  private List<String> found(String more) {
    List<String> ids = new ArrayList<>();
    tarebook
        .reader()
        .get("/api/v1/readings?station=" + floor.station() + more)
        .expect(200)
        .at("/items")
        .forEach(item -> ids.add(item.get("id").asString()));
    return ids;
  }
}
