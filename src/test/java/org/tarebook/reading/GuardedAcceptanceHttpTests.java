package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.Reference;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import tools.jackson.databind.JsonNode;

/** Readings judged with a guard band: the whole way from the recorded uncertainty to the answer. */
@OnBothDatabases
class GuardedAcceptanceHttpTests {

  private static final String AT = "2026-03-02T06:00:00Z";
  private static final String LATER = "2026-03-02T06:00:01Z";

  private final RunningTarebook tarebook;
  private final ShopFloor floor;
  private final Client quality;

  GuardedAcceptanceHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.floor = new ShopFloor(tarebook, "kg");
    this.quality = tarebook.quality();
  }

  /** JCGM 106:2012, 9.5.3.2: limits 1499.8 and 1500.2, u 0.04, w = 0.25 U. */
  @Test
  void acceptanceLimitsAreThoseOfTheGuide() {
    JsonNode example = null;
    for (JsonNode each :
        Reference.json("statistics/08_conformity/jcgm106_examples.json").get("examples")) {
      example =
          each.get("id").asString().equals("precision_resistors_global_risk") ? each : example;
    }
    assertThat(example).isNotNull();
    JsonNode given = example.get("given");
    String code = characteristic("mm");
    guarded(code, given.get("TL").asString(), given.get("TU").asString(), "mm", "0.25");
    BigDecimal expanded = given.get("um").decimalValue().multiply(BigDecimal.valueOf(2));
    uncertainty(code, expanded.toPlainString(), "mm", "2026-01-01T00:00:00Z").expect(201);

    Answer lowest = post(code, "1499.82", "mm", AT);
    assertThat(lowest.at("/result").asString()).isEqualTo("PASS");
    assertThat(lowest.at("/guard/guardBand").decimalValue()).isEqualByComparingTo("0.02");
    assertThat(lowest.at("/guard/acceptanceLower").decimalValue())
        .isEqualByComparingTo(given.get("AL").decimalValue());
    assertThat(lowest.at("/guard/acceptanceUpper").decimalValue())
        .isEqualByComparingTo(given.get("AU").decimalValue());
    assertResult(post(code, "1500.18", "mm", AT), "PASS", "");
    assertResult(post(code, "1499.8199", "mm", AT), "CONDITIONAL", "BELOW");
    assertResult(post(code, "1500.1801", "mm", AT), "CONDITIONAL", "ABOVE");
    assertResult(post(code, "1499.8", "mm", AT), "CONDITIONAL", "BELOW");
    assertResult(post(code, "1500.2001", "mm", AT), "FAIL", "ABOVE");
    assertResult(post(code, "1499.7999", "mm", AT), "FAIL", "BELOW");
  }

  /** JCGM 106:2012, 8.3.2, with w = U: a table of weighings. */
  @Test
  void weighingsAreDecidedAsTheTableSays() {
    for (Map<String, String> row : ReferenceTable.read("trade/weigh_guard_band.csv")) {
      String code = characteristic("kg");
      guarded(code, row.get("low"), row.get("high"), "kg", "1");
      uncertainty(code, row.get("U_k2"), "kg", "2026-01-01T00:00:00Z").expect(201);
      String result = post(code, row.get("value"), "kg", AT).at("/result").asString();
      String wanted =
          switch (row.get("four_way")) {
            case "pass" -> "PASS";
            case "conditional pass" -> "CONDITIONAL";
            default -> "FAIL";
          };
      assertThat(result).as(row.get("case")).isEqualTo(wanted);
    }
  }

  @Test
  void weighingAgainUntilAConditionalItemPassesIsTold() {
    guarded(floor.mass(), "8.320", "8.480", "kg", "1");
    uncertainty(floor.mass(), "0.004", "kg", "2026-01-01T00:00:00Z").expect(201);
    Answer first = floor.post(floor.posting(new BigDecimal("8.478"), "kg", AT)).expect(201);
    Answer again =
        floor.post(
            floor.posting(
                new BigDecimal("8.475"), "kg", AT, "remeasures", first.at("/key").asString()));
    assertThat(again.expect(201).at("/result").asString()).isEqualTo("PASS");
    assertThat(again.at("/notices").toString())
        .contains("PASS_AFTER_FAIL", "It was conditional as reading " + first.at("/id").asString());
  }

  @Test
  void theAnswerShowsLimitsBandAndWhereItComesFrom() {
    guarded(floor.mass(), "8.320", "8.480", "kg", "1");
    Answer known = uncertainty(floor.mass(), "0.004", "kg", "2026-01-01T00:00:00Z").expect(201);
    Answer made = floor.post(floor.posting(new BigDecimal("8.478"), "kg", AT)).expect(201);
    assertThat(made.at("/words").asString())
        .isEqualTo(
            "CONDITIONAL, heavy: 8.478 kg is 0.002 kg below the upper limit 8.480 kg, inside the"
                + " guard band of 0.004 kg.");
    assertThat(made.at("/margin").decimalValue()).isEqualByComparingTo("0.002");
    assertThat(made.at("/specification/guardFactor").decimalValue()).isEqualByComparingTo("1");
    JsonNode guard = made.at("/guard");
    assertThat(guard.get("uncertainty").asString()).isEqualTo(known.at("/id").asString());
    assertThat(guard.get("revision").asInt()).isEqualTo(1);
    assertThat(guard.get("expandedUncertainty").decimalValue()).isEqualByComparingTo("0.004");
    assertThat(guard.get("uncertaintyUnit").asString()).isEqualTo("kg");
    assertThat(guard.get("coverageFactor").decimalValue()).isEqualByComparingTo("2");
    assertThat(guard.get("acceptanceLower").decimalValue()).isEqualByComparingTo("8.324");
    assertThat(made.at("/standing").asString()).isEqualTo("COUNTED");
    assertThat(read(made).json()).isEqualTo(made.json());

    String[] csv =
        tarebook
            .reader()
            .get("/api/v1/readings?station=" + floor.station(), "Accept", "text/csv")
            .expect(200)
            .text()
            .split("\r\n");
    assertThat(csv[0]).contains("guardBand,uncertainty,standing");
    assertThat(csv[1]).contains(",kg,0.004," + known.at("/id").asString() + ",COUNTED");
  }

  @Test
  void theUncertaintyIsConvertedExactlyAndTheLimitsStay() {
    guarded(floor.mass(), "12", "13", "[lb_av]", "1");
    uncertainty(floor.mass(), "10", "g", "2026-01-01T00:00:00Z").expect(201);
    // 0.01 kg / 0.45359237 kg = 0.02204622621848775807229738… lb
    Answer made = post(floor.mass(), "12.0220462", "[lb_av]", AT);
    assertThat(made.at("/guard/guardBand").asString()).isEqualTo("0.022046226218487758072");
    assertResult(made, "CONDITIONAL", "BELOW");
    assertResult(post(floor.mass(), "12.022046227", "[lb_av]", AT), "PASS", "");
  }

  @Test
  void anUncertaintyOfTemperaturesIsHowFarTheyAreApart() {
    String code = characteristic("Cel");
    guarded(code, "300", "310", "[degF]", "1");
    uncertainty(code, "1", "Cel", "2026-01-01T00:00:00Z").expect(201);
    // 150 Cel is 302 degF, and a band of 1 Cel is 1.8 degF wide.
    Answer made = post(code, "151", "Cel", AT);
    assertThat(made.at("/guard/guardBand").decimalValue()).isEqualByComparingTo("1.8");
    assertResult(made, "PASS", "");
    assertResult(post(code, "149.8", "Cel", AT), "CONDITIONAL", "BELOW");
  }

  /** ASTM E29: rounded once, then compared with tolerance and acceptance limits as they are. */
  @Test
  void theRoundedReadingIsComparedWithTheAcceptanceLimits() {
    floor
        .specification(
            floor.mass(),
            json(
                "validFrom",
                "2000-01-01T00:00:00Z",
                "lower",
                new BigDecimal("10.0"),
                "upper",
                new BigDecimal("20.0"),
                "unit",
                "kg",
                "comparison",
                "ROUNDING",
                "guardFactor",
                BigDecimal.ONE,
                "reason",
                "drawing"))
        .expect(201);
    uncertainty(floor.mass(), "0.25", "kg", "2026-01-01T00:00:00Z").expect(201);
    assertResult(post(floor.mass(), "10.251", "kg", AT), "PASS", "");
    Answer even = post(floor.mass(), "10.25", "kg", AT);
    assertResult(even, "CONDITIONAL", "BELOW");
    assertThat(even.at("/words").asString())
        .isEqualTo(
            "CONDITIONAL, light: 10.25 kg is rounded to 10.2 kg, 0.2 kg above the lower limit 10.0"
                + " kg, inside the guard band of 0.25 kg.");
    assertResult(post(floor.mass(), "9.95", "kg", AT), "CONDITIONAL", "BELOW");
    assertResult(post(floor.mass(), "9.949", "kg", AT), "FAIL", "BELOW");
  }

  @Test
  void theUncertaintyOfAnotherStationOrCharacteristicDoesNotServe() {
    ShopFloor other = new ShopFloor(tarebook, "kg");
    guarded(floor.mass(), "5", "6", "kg", "1");
    quality
        .post(
            "/api/v1/measuring-uncertainties",
            request(other.station(), floor.mass(), "0.1", "kg", "2026-01-01T00:00:00Z"))
        .expect(201);
    uncertainty(characteristic("kg"), "0.1", "kg", "2026-01-01T00:00:00Z").expect(201);
    assertThat(post(floor.mass(), "5.5", "kg", AT).at("/notJudged").asString())
        .isEqualTo("NO_UNCERTAINTY");
  }

  @Test
  void aReplacedReadingIsJudgedWithItsStationsUncertainty() {
    guarded(floor.mass(), "5", "6", "kg", "1");
    uncertainty(floor.mass(), "0.1", "kg", "2026-01-01T00:00:00Z").expect(201);
    Answer wrong = post(floor.mass(), "9.55", "kg", AT);
    Answer amended =
        quality.post(
            "/api/v1/readings/" + wrong.at("/id").asString() + "/amendments",
            json(
                "key",
                Codes.fresh("K"),
                "kind",
                "REPLACE",
                "reason",
                "misread",
                "replacement",
                Map.of("value", new BigDecimal("5.95"))));
    String replacement = amended.expect(201).at("/replacement").asString();
    Answer stored = tarebook.reader().get("/api/v1/readings/" + replacement).expect(200);
    assertResult(stored, "CONDITIONAL", "ABOVE");
    assertThat(stored.at("/guard/revision").asInt()).isEqualTo(1);
  }

  @Test
  void aConditionalReadingIsNoRejectAndCountsInStudies() {
    String chart = floor.chart(floor.mass(), "INDIVIDUALS", 1);
    guarded(floor.mass(), "5", "6", "kg", "1");
    uncertainty(floor.mass(), "0.1", "kg", "2026-01-01T00:00:00Z").expect(201);
    Instant at = Instant.parse(AT);
    for (String value : new String[] {"5.5", "5.95", "6.1", "5.4"}) {
      post(floor.mass(), value, "kg", at.toString());
      at = at.plus(Duration.ofMinutes(1));
    }
    String window = "measuredFrom=2026-03-02T00:00:00Z&measuredBefore=2026-03-03T00:00:00Z";
    JsonNode rate =
        tarebook
            .reader()
            .get("/api/v1/reject-rates?" + window + "&station=" + floor.station())
            .expect(200)
            .at("/total");
    assertThat(rate.at("/judged").asInt()).as(rate.toString()).isEqualTo(4);
    assertThat(rate.at("/rejected").asInt()).as(rate.toString()).isEqualTo(1);
    assertThat(rate.at("/conditional").asInt()).as(rate.toString()).isEqualTo(1);
    JsonNode study =
        tarebook
            .reader()
            .get("/api/v1/capability?chart=" + chart + "&" + window)
            .expect(200)
            .at("/studies/0");
    assertThat(study.at("/counts/readings").asInt()).as(study.toString()).isEqualTo(4);
  }

  private String characteristic(String unit) {
    String code = Codes.fresh("C");
    floor.characteristic(code, unit, "MEASURED");
    return code;
  }

  private void guarded(String code, String lower, String upper, String unit, String factor) {
    guarded(code, "2000-01-01T00:00:00Z", lower, upper, unit, factor);
  }

  private void guarded(
      String code, String from, String lower, String upper, String unit, String factor) {
    floor
        .specification(
            code,
            json(
                "validFrom",
                from,
                "lower",
                new BigDecimal(lower),
                "upper",
                new BigDecimal(upper),
                "unit",
                unit,
                "comparison",
                "ABSOLUTE",
                "guardFactor",
                new BigDecimal(factor),
                "reason",
                "drawing"))
        .expect(201);
  }

  private Answer uncertainty(String code, String expanded, String unit, String from) {
    return quality.post(
        "/api/v1/measuring-uncertainties", request(floor.station(), code, expanded, unit, from));
  }

  private static String request(
      String station, String code, String expanded, String unit, String from) {
    return json(
        "key",
        Codes.fresh("U"),
        "station",
        station,
        "characteristic",
        code,
        "expandedUncertainty",
        new BigDecimal(expanded),
        "unit",
        unit,
        "validFrom",
        from,
        "basis",
        "study of the week");
  }

  private Answer post(String code, String value, String unit, String at) {
    return floor
        .post(floor.posting(new BigDecimal(value), unit, at, "characteristic", code))
        .expect(201);
  }

  private Answer read(Answer posted) {
    return tarebook.reader().get("/api/v1/readings/" + posted.at("/id").asString()).expect(200);
  }

  private static void assertResult(Answer answer, String result, String direction) {
    assertThat(answer.at("/result").asString()).as(answer.text()).isEqualTo(result);
    assertThat(answer.at("/direction").asString("")).as(answer.text()).isEqualTo(direction);
  }
}
