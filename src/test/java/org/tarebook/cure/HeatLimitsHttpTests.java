package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.List;
import java.util.Map;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Both ends of an interval are held against both kinds of limits, and shown as they are. */
@OnBothDatabases
class HeatLimitsHttpTests {

  private static final String DOUBTFUL = "doubtful";
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
        equivalents(
            judged("kinetics uncertainty null", "schedule minimumHolds []", DOUBTFUL), "least");
    assertThat(guarding.has("decidingLower")).isFalse();
  }

  /**
   * A load that runs exactly by its schedule: the revision is accepted where that load is GOOD, and
   * refused as doubtful where it is not judged. Limits lie close to either end of the interval.
   */
  @Test
  void aRevisionIsAcceptedWhereALoadThatMeetsItExactlyIsGood() {
    JsonNode water = equivalents(exact(false, 10, 200).at("/cavities/0"), "water");
    double least = water.get("decidingLower").asDouble();
    double most = water.get("decidingUpper").asDouble();
    assertThat(least).isLessThan(water.get("minutes").asDouble() - 1);
    assertThat(most).isGreaterThan(water.get("minutes").asDouble() + 1);
    assertThat(exact(false, least - 0.01, 200).at("/cavities/0/verdict").asString())
        .isEqualTo("GOOD");
    assertThat(exact(false, 10, most + 0.01).at("/cavities/0/verdict").asString())
        .isEqualTo("GOOD");
    JsonNode under = exact(true, least + 0.01, 200).at("/cavities/0");
    assertThat(under.get("verdict").asString()).isEqualTo("NOT_JUDGED");
    reason(under, "UNDER_CURE_POSSIBLE");
    JsonNode over = exact(true, 10, most - 0.01).at("/cavities/0");
    assertThat(over.get("verdict").asString()).isEqualTo("NOT_JUDGED");
    reason(over, "OVER_CURE_POSSIBLE");
  }

  private JsonNode exact(boolean doubtful, double minimum, double maximum) {
    CureFloor floor = new CureFloor(tarebook);
    Map<String, Object> definition = floor.planned().onlyWater("RELEASE", minimum, maximum);
    List.of("minimumHolds", "maximumHolds", "mostInsideOutside", "longestFlat")
        .forEach(definition::remove);
    String from = "2026-01-01T00:00:00Z";
    Answer recorded = floor.planned().revision("r1", from, definition);
    assertThat(recorded.status()).as(recorded.text()).isEqualTo(doubtful ? 422 : 201);
    if (doubtful) {
      assertThat(recorded.at("/errors")).hasSize(1);
      assertThat(recorded.text()).contains("interval that a verdict holds", "doubtReason");
      floor.planned().doubtful("r1", from, definition).expect(201);
    } else {
      Answer needless = floor.planned().doubtful("r2", "2026-02-01T00:00:00Z", definition);
      assertThat(needless.expect(422).at("/errors/0/pointer").asString()).isEqualTo("/doubtReason");
    }
    List<Map<String, Object>> channels = floor.channels();
    channels.stream()
        .filter(channel -> channel.get("measured").equals("INTERNAL_TEMPERATURE"))
        .forEach(
            channel -> {
              channel.remove("sensorClass");
              channel.put("accuracy", new BigDecimal("0.000001"));
            });
    String id = floor.start(floor.cure("channels", channels));
    floor.samples(id, "key=1", "text/csv", exactly()).expect(201);
    return floor.close(id, END).expect(201).json();
  }

  /** Water by the targets of the schedule, straight to them while it settles. */
  private static String exactly() {
    HealthyLog healthy = HealthyLog.whole();
    StringBuilder lines = new StringBuilder("at,step," + String.join(",", HealthyLog.CODES) + "\n");
    for (double at = 0; at <= SyntheticLoad.END; at += 5) {
      double heating = Math.min(1, Math.max(0, (at - SyntheticLoad.SHAPE) / 120));
      double cooling = Math.min(1, Math.max(0, (at - SyntheticLoad.FLUSH) / 90));
      String water =
          BigDecimal.valueOf(20 + 148 * heating - 108 * cooling)
              .setScale(9, RoundingMode.HALF_EVEN)
              .toPlainString();
      lines.append(HealthyLog.instant(at)).append(',').append(HealthyLog.step(at));
      for (String code : HealthyLog.CODES) {
        lines.append(',').append(code.startsWith("IT") ? water : healthy.value(code, at));
      }
      lines.append('\n');
    }
    return lines.toString();
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
      } else if (!change.equals(DOUBTFUL)) {
        planned.change(List.of(change.split(" ")));
      }
    }
    String from = "2026-01-01T00:00:00Z";
    (List.of(changes).contains(DOUBTFUL)
            ? floor.planned().doubtful("r1", from, planned.definition(floor))
            : floor.planned().revision("r1", from, planned.definition(floor)))
        .expect(201);
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
