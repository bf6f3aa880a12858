package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Values that are only a bound of the true one: a rope that broke elsewhere at 980. */
@OnBothDatabases
class CensoredHttpTests {

  private static final Instant AT = Instant.parse("2026-03-02T06:00:00Z");

  private static final List<String> OVERLOAD = List.of("OVERLOAD");

  private final RunningTarebook tarebook;

  CensoredHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    tarebook.clock().set("2026-03-03T06:00:00Z");
  }

  private ChartBench bench(String lower, String upper) {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.specification(lower, upper, "kg");
    return bench;
  }

  /** Only what holds wherever the true value lies on its side is a result. */
  @ParameterizedTest
  @CsvSource({
    "9,,   9.8, ABOVE, PASS",
    "9,,   9.0, ABOVE, PASS",
    "9,,   8.9, ABOVE, NOT_JUDGED",
    "9,,   9.8, BELOW, NOT_JUDGED",
    "9,,   8.9, BELOW, FAIL",
    "9,11, 9.8, ABOVE, NOT_JUDGED",
    "9,11, 9.8, BELOW, NOT_JUDGED",
    "9,11, 11.1, ABOVE, FAIL",
    "9,11, 11.1, BELOW, NOT_JUDGED",
    "9,11, 8.9, BELOW, FAIL",
    ",11,  9.8, BELOW, PASS",
    ",11,  9.8, ABOVE, NOT_JUDGED",
    ",11,  11.1, ABOVE, FAIL",
    ",11,  11.1, BELOW, NOT_JUDGED"
  })
  void aBoundIsJudgedWhereItDecides(
      String lower, String upper, String value, String censored, String result) {
    Answer answer = bench(lower, upper).post(value, AT, "censored", censored).expect(201);
    assertThat(answer.at("/result").asString()).isEqualTo(result);
    assertThat(answer.at("/censored").asString()).isEqualTo(censored);
    assertThat(answer.at("/standing").asString()).isEqualTo("CENSORED");
    assertThat(answer.at("/words").asString())
        .contains(
            result.equals("NOT_JUDGED")
                ? "only a bound of it is known"
                : censored.equals("ABOVE") ? " kg or more is " : " kg or less is ");
    if (result.equals("NOT_JUDGED")) {
      assertThat(answer.at("/notJudged").asString()).isEqualTo("CENSORED");
      assertThat(answer.at("/specification/revision").asInt()).isEqualTo(1);
    }
    JsonNode later =
        tarebook.reader().get("/api/v1/readings/" + answer.at("/id").asString()).json();
    assertThat(later.at("/censored").asString()).isEqualTo(censored);
    assertThat(later.at("/result").asString()).isEqualTo(result);
  }

  @Test
  void aRetryRepeatsItAndABoundNeedsAValue() {
    ChartBench bench = bench("9", null);
    String posting = bench.posting("9.8", "kg", AT, "censored", "ABOVE");
    bench.floor().post(posting).expect(201);
    bench.floor().post(posting).expect(200);
    String exact = posting.replace(",\"censored\":\"ABOVE\"", "");
    assertThat(exact).isNotEqualTo(posting);
    assertThat(bench.floor().post(exact).expect(422).text()).contains("differs in censored");
    String overloaded = bench.posting("9.8", "kg", AT, "censored", "ABOVE", "flags", OVERLOAD);
    Answer none = bench.floor().post(overloaded.replace("\"value\":9.8,", ""));
    assertThat(none.expect(422).text()).contains("/censored", "needs the value that is the bound");
    String unknown = bench.posting("9.8", "kg", AT, "censored", "BEYOND");
    assertThat(bench.floor().post(unknown).expect(400).text()).contains("censored", "ABOVE");
  }

  @Test
  void linesCarryItAndSearchesGiveItBack() {
    ChartBench bench = bench("9", null);
    String station = bench.floor().station();
    String csv =
        "key,station,characteristic,value,censored,unit,measuredAt\n"
            + "%s,%s,%s,9.8,ABOVE,kg,%s\n"
                .formatted(Codes.fresh("K"), station, bench.characteristic(), AT);
    assertThat(
            tarebook
                .station(station)
                .send("POST", "/api/v1/readings/bulk", "text/csv", csv)
                .expect(200)
                .text())
        .contains("\"result\":\"PASS\"", "\"standing\":\"CENSORED\"");
    String where = "/api/v1/readings?station=" + station;
    String[] rows =
        tarebook.reader().get(where, "Accept", "text/csv").expect(200).text().split("\r\n");
    int column = Arrays.asList(rows[0].split(",")).indexOf("censored");
    assertThat(rows[1].split(",")[column]).isEqualTo("ABOVE");
  }

  @Test
  void anAmendmentTakesItBackOrAddsIt() {
    ChartBench bench = bench("9", null);
    String id = bench.post("8.5", AT, "censored", "ABOVE").expect(201).at("/id").asString();
    String exact = amended(id, "value", 8.5);
    assertThat(reading(exact).at("/result").asString()).isEqualTo("FAIL");
    assertThat(reading(exact).has("censored")).isFalse();
    String bound = amended(exact, "censored", "ABOVE");
    assertThat(reading(bound).at("/result").asString()).isEqualTo("NOT_JUDGED");
    String lot = amended(bound, "lot", "L9");
    assertThat(reading(lot).at("/censored").asString()).isEqualTo("ABOVE");
  }

  private String amended(String id, String member, Object value) {
    return tarebook
        .quality()
        .post(
            "/api/v1/readings/" + id + "/amendments",
            json(
                "key",
                Codes.fresh("A"),
                "kind",
                "REPLACE",
                "reason",
                "Read again from the strip",
                "replacement",
                Collections.singletonMap(member, value)))
        .expect(201)
        .at("/replacement")
        .asString();
  }

  private JsonNode reading(String id) {
    return tarebook.reader().get("/api/v1/readings/" + id).expect(200).json();
  }

  /** Of thirty ropes three broke elsewhere: rates count them, indices would be of the others. */
  @Test
  void ratesCountABoundAndIndicesAreMissing() {
    ChartBench bench = bench("9", null);
    List<String> values =
        java.util.stream.IntStream.range(0, 27).mapToObj(i -> "9.8" + i % 7).toList();
    bench.postAll(values, "kg", AT, Duration.ofSeconds(60));
    Instant end = AT.plus(Duration.ofHours(1));
    assertThat(bench.study(AT, end, "").has("ppk")).isTrue();
    bench.post("9.9", AT.plusSeconds(1), "censored", "ABOVE").expect(201);
    bench.post("8.9", AT.plusSeconds(2), "censored", "BELOW").expect(201);
    bench.post("8.9", AT.plusSeconds(3), "censored", "ABOVE").expect(201);
    JsonNode study = bench.study(AT, end, "&method=NORMAL&evenIfNotInControl=true");
    for (String figure : List.of("cpk", "cpl", "ppk", "ppl", "estimated", "counted")) {
      assertThat(study.has(figure)).as(figure).isFalse();
    }
    assertThat(study.at("/notComputed").toString())
        .contains("{\"figure\":\"ppk\",\"reason\":\"CENSORED\"", "Of 3 readings");
    assertThat(bench.study(AT, end, "&method=WEIBULL").has("ppk")).isFalse();
    assertThat(study.at("/flags").toString()).contains("{\"code\":\"CENSORED\"");
    JsonNode shape =
        bench.engineer().get("/api/v1/charts/" + bench.chart() + "/shape").expect(200).json();
    assertThat(shape.at("/fits/0").has("ppk")).isFalse();
    assertThat(shape.at("/fits/0").has("shareBelow")).isFalse();
    assertThat(shape.at("/notComputed").toString())
        .contains("{\"figure\":\"pp\",\"reason\":\"CENSORED\"");
    JsonNode rate =
        tarebook
            .reader()
            .get(
                "/api/v1/reject-rates?characteristic="
                    + bench.characteristic()
                    + "&measuredFrom="
                    + AT
                    + "&measuredBefore="
                    + end)
            .expect(200)
            .at("/rows/0");
    assertThat(rate.toString()).contains("\"judged\":29", "\"rejected\":1");
  }
}
