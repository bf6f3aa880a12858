package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

/** A reading of the wrong item, and one that was voided wrongly. */
@OnBothDatabases
class ItemAmendmentTests {

  private static final String FIRST = "2026-03-02T06:00:00Z";
  private static final String SECOND = "2026-03-02T06:10:00Z";
  private static final String THIRD = "2026-03-02T06:20:00Z";

  private final RunningTarebook tarebook;
  private final ShopFloor floor;
  private final Client person;
  private final String chart;
  private final String item = Codes.fresh("G");
  private final String other = Codes.fresh("G");

  ItemAmendmentTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    tarebook.clock().set("2026-03-02T07:00:00Z");
    this.floor = new ShopFloor(tarebook, "kg");
    floor.specification(floor.mass(), "5.0", "6.0", "kg");
    this.chart = floor.chart(floor.mass(), "INDIVIDUALS", 1);
    this.person = tarebook.quality();
  }

  @AfterEach
  void letTheClockRun() {
    tarebook.clock().run();
  }

  private String posted(double value, String at, Object... more) {
    return floor.post(floor.posting(value, "kg", at, more)).expect(201).at("/id").asString();
  }

  private Answer amend(String id, String key, Map<String, Object> replacement) {
    return person.post(
        "/api/v1/readings/" + id + "/amendments",
        json("key", key, "kind", "REPLACE", "reason", "Misread", "replacement", replacement));
  }

  private String amended(String id, Map<String, Object> replacement) {
    return amend(id, Codes.fresh("a"), replacement).expect(201).at("/replacement").asString();
  }

  private Answer read(String id) {
    return tarebook.reader().get("/api/v1/readings/" + id).expect(200);
  }

  private String standing(String id) {
    return read(id).at("/standing").asString();
  }

  private List<String> ofItem(String number) {
    List<String> ids = new ArrayList<>();
    tarebook
        .reader()
        .get("/api/v1/readings?item=" + number)
        .expect(200)
        .at("/items")
        .forEach(each -> ids.add(each.at("/id").asString()));
    return ids;
  }

  /** Items judged, rejected at their first reading, rejected at their last; readings repeated. */
  private String rates(String more) {
    Answer answer =
        tarebook
            .reader()
            .get(
                "/api/v1/reject-rates?measuredFrom=2026-03-02T00:00:00Z&measuredBefore=2026-03-03T00:00:00Z&line="
                    + floor.line()
                    + more)
            .expect(200);
    return answer.at("/total/judged").asLong()
        + " "
        + answer.at("/total/firstPassRejected").asLong()
        + " "
        + answer.at("/total/rejected").asLong()
        + " "
        + answer.at("/total/remeasured").asLong();
  }

  @Test
  void aReadingUnderTheWrongNumberJoinsTheItemItIsOf() {
    String wrong = posted(6.5, FIRST, "item", item);
    String second = posted(5.5, SECOND, "item", item);
    String third = posted(5.4, THIRD, "item", other);
    assertThat(rates("")).isEqualTo("2 1 0 1");
    tarebook.clock().forward(Duration.ofMinutes(2));
    String moment = tarebook.clock().instant().toString();
    tarebook.clock().forward(Duration.ofMinutes(2));

    String right = amended(wrong, Map.of("item", other));
    assertThat(standing(wrong)).isEqualTo("REPLACED");
    assertThat(standing(right)).isEqualTo("COUNTED");
    assertThat(standing(second)).isEqualTo("COUNTED");
    assertThat(standing(third)).isEqualTo("REMEASUREMENT");
    assertThat(read(right).at("/item").asString()).isEqualTo(other);
    assertThat(read(right).at("/result").asString()).isEqualTo("FAIL");
    assertThat(ofItem(item)).containsExactly(second);
    assertThat(ofItem(other)).containsExactlyInAnyOrder(right, third);
    assertThat(rates("")).isEqualTo("2 1 0 1");
    assertThat(counted()).isEqualTo(2);
    // what comes later joins the same two
    assertThat(standing(posted(5.5, "2026-03-02T06:30:00Z", "item", other)))
        .isEqualTo("REMEASUREMENT");
    assertThat(standing(posted(5.5, "2026-03-02T06:30:00Z", "item", item)))
        .isEqualTo("REMEASUREMENT");
    assertThat(rates("")).isEqualTo("2 1 0 3");
    assertThat(rates("&asOf=" + moment)).isEqualTo("2 1 0 1");

    // and back again
    tarebook.clock().forward(Duration.ofMinutes(2));
    String back = amended(right, Map.of("item", item));
    assertThat(standing(back)).isEqualTo("COUNTED");
    assertThat(standing(second)).isEqualTo("REMEASUREMENT");
    assertThat(standing(third)).isEqualTo("COUNTED");
    assertThat(rates("")).isEqualTo("2 1 0 3");
  }

  private long counted() {
    return person
        .get(
            "/api/v1/capability?chart="
                + chart
                + "&measuredFrom=2026-03-02T00:00:00Z&measuredBefore=2026-03-03T00:00:00Z")
        .expect(200)
        .at("/studies/0/counts/readings")
        .asLong();
  }

  @Test
  void twoItemsUnderOneNumberArePartedAndTheFirstFailureStaysOne() {
    String first = posted(6.5, FIRST, "item", item);
    String second = posted(5.5, SECOND, "item", item);
    assertThat(rates("")).isEqualTo("1 1 0 1");
    String right = amended(second, Map.of("item", other));
    assertThat(standing(first)).isEqualTo("COUNTED");
    assertThat(standing(right)).isEqualTo("COUNTED");
    assertThat(read(second).at("/standing").asString()).isEqualTo("REPLACED");
    assertThat(read(right).at("/notices").toString()).doesNotContain("REPEATED_ITEM");
    assertThat(rates("")).isEqualTo("2 1 1 0");
  }

  /** Declared to measure it again, without a number of their own: they are of the same item. */
  @Test
  void whatMeasuresItAgainWithoutANameFollows() {
    String other1 = posted(5.5, "2026-03-02T05:00:00Z", "item", other);
    String key = floor.station() + ":r1";
    String wrong = posted(6.5, FIRST, "item", item, "key", key);
    String again = posted(6.4, SECOND, "remeasures", key, "key", key + "a");
    String last = posted(5.5, THIRD, "remeasures", key + "a");
    String own = posted(5.6, "2026-03-02T06:25:00Z", "item", item);
    assertThat(rates("")).isEqualTo("2 1 0 3");

    String right = amended(wrong, Map.of("item", other));
    assertThat(standing(other1)).isEqualTo("COUNTED");
    assertThat(standing(right)).isEqualTo("REMEASUREMENT");
    assertThat(standing(again)).isEqualTo("REPLACED");
    assertThat(standing(last)).isEqualTo("REPLACED");
    assertThat(standing(own)).isEqualTo("COUNTED");
    assertThat(rates("")).isEqualTo("2 0 0 3");
    assertThat(read(again).at("/amendment/reason").asString()).contains("names otherwise");
    // a later one that declares the key of what was replaced
    String later = posted(6.6, "2026-03-02T06:40:00Z", "remeasures", key);
    assertThat(standing(later)).isEqualTo("REMEASUREMENT");
    assertThat(rates("")).isEqualTo("2 0 1 4");
    // the number was right: all go back
    amended(right, Map.of("item", item));
    assertThat(standing(own)).isEqualTo("REMEASUREMENT");
    assertThat(rates("")).isEqualTo("2 1 1 4");
  }

  @Test
  void aNumberIsTakenAwayAndAPlaceOnATruckNamesToo() {
    String first = posted(6.5, FIRST, "item", item);
    String second = posted(5.5, SECOND, "item", item);
    String bare = amended(second, Map.of("item", ""));
    assertThat(read(bare).json().has("item")).isFalse();
    assertThat(standing(bare)).isEqualTo("COUNTED");
    assertThat(ofItem(item)).containsExactly(first);
    assertThat(rates("")).isEqualTo("2 1 1 0");

    String placed = posted(5.5, THIRD, "truck", "W1", "leaf", "3", "counter", 7);
    String moved = amended(bare, Map.of("truck", "W1", "leaf", "3"));
    assertThat(read(moved).at("/truck").asString()).isEqualTo("W1");
    assertThat(read(moved).at("/leaf").asString()).isEqualTo("3");
    assertThat(standing(placed)).as("another counter").isEqualTo("COUNTED");
    String leaf = amended(moved, Map.of("leaf", "", "value", 5.6));
    assertThat(read(leaf).json().has("leaf")).isFalse();
    assertThat(read(leaf).at("/truck").asString()).isEqualTo("W1");
    assertThat(rates("")).isEqualTo("3 1 1 0");
  }

  @Test
  void aRetryIsTheSameFactAndWhatChangesNothingIsRefused() {
    String id = posted(5.5, FIRST, "item", item);
    String key = Codes.fresh("a");
    Answer first = amend(id, key, Map.of("item", other)).expect(201);
    assertThat(amend(id, key, Map.of("item", other)).expect(200).json()).isEqualTo(first.json());
    assertThat(amend(id, key, Map.of("item", Codes.fresh("G"))).expect(422).problem())
        .isEqualTo("key-reused");
    Answer same =
        amend(first.at("/replacement").asString(), Codes.fresh("a"), Map.of("item", other))
            .expect(422);
    assertThat(same.at("/errors/0/detail").asString())
        .startsWith("changes nothing")
        .contains("item " + other + ", truck none, leaf none");
  }

  /** The way back from a wrong VOID: the measurement posted again, as a late reading. */
  @Test
  void whatWasVoidedWronglyIsPostedAgain() {
    String id = posted(6.5, FIRST, "item", item);
    String second = posted(5.5, SECOND, "item", item);
    Answer voided =
        person
            .post(
                "/api/v1/readings/" + id + "/amendments",
                json("key", Codes.fresh("a"), "kind", "VOID", "reason", "Wrong strip"))
            .expect(201);
    assertThat(standing(second)).isEqualTo("COUNTED");
    for (Map<String, Object> by :
        List.of(Map.<String, Object>of("value", 6.5), Map.<String, Object>of("die", "D"))) {
      Answer refused = amend(id, Codes.fresh("a"), by).expect(409);
      assertThat(refused.problem()).isEqualTo("conflict");
      assertThat(refused.at("/detail").asString())
          .contains(
              "Reading " + id + " is void since " + voided.at("/recordedAt").asString(),
              "by " + voided.at("/person").asString() + " (Wrong strip)",
              "post the measurement again with its measuredAt, under a key of its own")
          .doesNotContain("stands");
    }
    Answer again =
        floor.post(floor.posting(6.5, "kg", FIRST, "item", item, "key", floor.station() + ":new"));
    assertThat(again.expect(201).at("/result").asString()).isEqualTo("FAIL");
    assertThat(again.at("/standing").asString()).isEqualTo("COUNTED");
    assertThat(again.at("/chart").asString()).isEqualTo(chart);
    assertThat(standing(second)).isEqualTo("REMEASUREMENT");
    assertThat(ofItem(item)).containsExactlyInAnyOrder(again.at("/id").asString(), second);
    assertThat(rates("")).isEqualTo("1 1 0 1");
    assertThat(counted()).isEqualTo(1);
    assertThat(
            person
                .get(
                    "/api/v1/charts/"
                        + chart
                        + "/points?measuredFrom=2026-03-02T00:00:00Z&measuredBefore=2026-03-03T00:00:00Z")
                .expect(200)
                .at("/points/0/lastReading")
                .asLong())
        .isEqualTo(again.at("/id").asLong());
  }
}
