package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Both ends of an interval are held against both kinds of limits, and shown as they are. */
@OnBothDatabases
class HeatLimitsHttpTests {

  private static final String END = "2026-03-02T06:30:00Z";

  private final RunningTarebook tarebook;

  HeatLimitsHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /**
   * The schedule's own targets give 26.64 at the fastest place; the dome's couple is good to 3 K.
   */
  @Test
  void aMaximumIsKeptOnlyByTheUpperEnd() {
    assertThat(judged("maximum 27").at("/verdict").asString()).isEqualTo("GOOD");

    JsonNode cavity = judged("maximum 27", "schedule maximumHolds []");
    assertThat(cavity.at("/verdict").asString()).isEqualTo("NOT_JUDGED");
    JsonNode reason = reason(cavity, "OVER_CURE_POSSIBLE");
    assertThat(reason.get("weight").asString()).isEqualTo("DOUBT");
    assertThat(reason.get("line").asString()).isEqualTo("/wanted/0/maximum");
    JsonNode most = equivalents(cavity, "most");
    assertThat(most.get("minutes").asDouble()).isLessThan(27);
    assertThat(reason.get("amount").decimalValue())
        .isEqualByComparingTo(most.get("decidingUpper").decimalValue())
        .isGreaterThan(new BigDecimal("27"));

    assertThat(judged("maximum 50", "schedule maximumHolds []").at("/verdict").asString())
        .isEqualTo("GOOD");
  }

  @Test
  void theIntervalIsShownWholeAndWhatTheLimitHoldsBesideIt() {
    JsonNode held = equivalents(judged(), "least");
    assertThat(held.get("holds").toString())
        .isEqualTo("[\"DIFFUSIVITY\",\"ACTIVATION_ENERGY\",\"SENSOR\"]");
    double minutes = held.get("minutes").asDouble();
    assertThat(held.get("lower").asDouble()).isLessThan(minutes * 0.95);
    assertThat(held.get("upper").asDouble()).isGreaterThan(minutes * 1.05);
    assertThat(held.get("decidingLower").asDouble()).isBetween(minutes * 0.99, minutes);
    assertThat(held.get("decidingUpper").asDouble()).isBetween(minutes, minutes * 1.01);

    JsonNode whole = equivalents(judged("schedule minimumHolds []"), "least");
    assertThat(whole.get("holds")).isEmpty();
    assertThat(whole.get("decidingLower")).isEqualTo(whole.get("lower"));
    assertThat(whole.get("lower")).isEqualTo(held.get("lower"));
    assertThat(whole.has("bridged")).isFalse();
  }

  @Test
  void anEnergyWithoutUncertaintyShowsNoIntervalEvenWhereTheMinimumHoldsIt() {
    JsonNode least = equivalents(judged("kinetics uncertainty null"), "least");
    assertThat(least.has("lower")).isFalse();
    assertThat(least.has("upper")).isFalse();
    assertThat(least.has("decidingLower")).isTrue();
    JsonNode guarding =
        equivalents(judged("kinetics uncertainty null", "schedule minimumHolds []"), "least");
    assertThat(guarding.has("decidingLower")).isFalse();
  }

  /** The first cavity of a healthy load, by a schedule that is changed so. */
  private JsonNode judged(String... changes) {
    CureFloor floor = new CureFloor(tarebook);
    PlannedCure planned = new PlannedCure();
    for (String change : changes) {
      if (change.startsWith("maximum")) {
        planned.change(
            List.of(
                "schedule",
                "wanted",
                "[{\"name\": \"most\", \"place\": \"FASTEST\", \"until\": \"OPENING\", \"maximum\": "
                    + change.substring(8)
                    + "}]"));
        planned.change(List.of("schedule", "mostDomeDepression", "null"));
      } else {
        planned.change(List.of(change.split(" ")));
      }
    }
    floor.planned().revision("r1", "2026-01-01T00:00:00Z", planned.definition(floor)).expect(201);
    String id = floor.start(floor.cure("channels", channels(floor)));
    floor.samples(id, "key=1", "text/csv", HealthyLog.whole().csv()).expect(201);
    return floor.close(id, END).expect(201).at("/cavities/0");
  }

  /** The usual channels with a couple in the dome that is good to three kelvin. */
  private static List<Map<String, Object>> channels(CureFloor floor) {
    List<Map<String, Object>> channels = floor.channels();
    for (Map<String, Object> channel : channels) {
      if (channel.get("code").equals("DT")) {
        channel.remove("sensorClass");
        channel.put("accuracy", new BigDecimal("3"));
      }
    }
    return channels;
  }

  private static JsonNode equivalents(JsonNode cavity, String place) {
    return StreamSupport.stream(cavity.at("/figures/equivalents").spliterator(), false)
        .filter(one -> one.get("place").asString().equals(place))
        .findFirst()
        .orElseThrow();
  }

  private static JsonNode reason(JsonNode cavity, String code) {
    return StreamSupport.stream(cavity.get("reasons").spliterator(), false)
        .filter(one -> one.get("code").asString().equals(code))
        .findFirst()
        .orElseThrow();
  }
}
