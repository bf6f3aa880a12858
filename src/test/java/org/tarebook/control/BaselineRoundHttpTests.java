package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class BaselineRoundHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(5);
  private static final Offset<Double> CLOSE = within(1e-9);
  private static final String CAUSE = "Strip folded on the scale";
  private static final String BROKEN = "Scale was knocked at the end of the trial";

  /** Mean range of two readings over sigma, 2 over the root of pi. */
  private static final double D2 = 2 / Math.sqrt(Math.PI);

  private final RunningTarebook tarebook;

  BaselineRoundHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /** Moving ranges 2 1 29 28 2 1 2; without 40: 2 1 2 1 2; without the last 13 too: 2 1 2 1. */
  @Test
  void limitsOfEveryRoundAreThoseComputedByHand() {
    ChartBench bench = eight();
    JsonNode first = bench.engineer().get(address(bench)).expect(200).json();
    assertThat(first.at("/rounds").size()).isEqualTo(1);
    assertThat(first.at("/beyond").size()).isEqualTo(1);
    long forty = first.at("/beyond/0/lastReading").asLong();
    assertThat(first.at("/beyond/0/value").asDouble()).isEqualTo(40);
    long thirteen = last(bench);

    JsonNode preview =
        preview(tarebook.reader(), bench, List.of(aside(1, forty, CAUSE), aside(2, thirteen, "x")))
            .expect(200)
            .json();
    requireRound(preview.at("/rounds/0"), 8, 7, 119.0 / 8, 65.0 / 7 / D2, 1);
    requireRound(preview.at("/rounds/1"), 7, 5, 79.0 / 7, 8.0 / 5 / D2, 0);
    requireRound(preview.at("/rounds/2"), 6, 4, 11, 6.0 / 4 / D2, 0);
    assertThat(preview.at("/rounds/1/setAside/0/value").asDouble()).isEqualTo(40);
    assertThat(preview.at("/rounds/1/setAside/0/cause").asString()).isEqualTo(CAUSE);
    assertThat(preview.at("/limits/centre").asDouble()).isEqualTo(11);
    assertThat(preview.at("/limits/upper").asDouble()).isCloseTo(11 + 4.5 / D2, CLOSE);
    assertThat(preview.at("/limits/spreads").asLong()).isEqualTo(4);
    assertThat(preview.at("/baseline/points").asLong()).isEqualTo(8);
    assertThat(preview.at("/beyond")).isEmpty();
  }

  private static void requireRound(
      JsonNode round, long points, long spreads, double centre, double sigma, long beyond) {
    assertThat(round.at("/points").asLong()).isEqualTo(points);
    assertThat(round.at("/spreads").asLong()).isEqualTo(spreads);
    assertThat(round.at("/centre").asDouble()).isCloseTo(centre, CLOSE);
    assertThat(round.at("/sigma").asDouble()).isCloseTo(sigma, CLOSE);
    assertThat(round.at("/lower").asDouble()).isCloseTo(centre - 3 * sigma, CLOSE);
    assertThat(round.at("/upper").asDouble()).isCloseTo(centre + 3 * sigma, CLOSE);
    assertThat(round.at("/beyond").asLong()).isEqualTo(beyond);
  }

  @Test
  void whatWasSetAsideIsOnRecordForEverAndGivesTheSameDigitsAgain() {
    ChartBench bench = eight();
    long forty =
        bench.engineer().get(address(bench)).expect(200).at("/beyond/0/lastReading").asLong();
    List<Map<String, Object>> setAside =
        List.of(aside(1, forty, CAUSE), aside(2, last(bench), BROKEN));
    String code = Codes.fresh("L");
    Answer frozen = bench.freeze(code, FROM, BEFORE, "setAside", setAside).expect(201);
    Answer again = bench.freeze(code, FROM, BEFORE, "setAside", setAside).expect(200);
    assertThat(again.json()).isEqualTo(frozen.json());
    JsonNode preview = preview(bench.engineer(), bench, setAside).expect(200).json();
    assertThat(frozen.at("/limits")).isEqualTo(preview.at("/limits"));
    assertThat(frozen.at("/rounds")).isEqualTo(preview.at("/rounds"));
    assertThat(frozen.at("/rounds/2/setAside/0/cause").asString()).isEqualTo(BROKEN);

    bench
        .engineer()
        .post(
            "/api/v1/readings/" + forty + "/amendments",
            "{\"key\":\"v1\",\"kind\":\"VOID\",\"reason\":\"strip was folded\"}")
        .expect(201);
    JsonNode later = bench.engineer().get("/api/v1/limit-sets/" + code).expect(200).json();
    assertThat(later.at("/rounds")).isEqualTo(frozen.at("/rounds"));
    assertThat(later.at("/limits")).isEqualTo(frozen.at("/limits"));
    assertThat(later.at("/baselineChanged").asLong()).isEqualTo(1);

    Answer other =
        bench.freeze(code, FROM, BEFORE, "setAside", List.of(aside(1, forty, CAUSE))).expect(422);
    assertThat(other.problem()).isEqualTo("key-reused");
    assertThat(other.text()).contains("differs in setAside");
  }

  @Test
  void aSetWithNothingSetAsideTellsTheBaselineAsItCame() {
    ChartBench bench = eight();
    JsonNode set = bench.freeze(Codes.fresh("L"), FROM, BEFORE).expect(201).json();
    assertThat(set.at("/rounds").size()).isEqualTo(1);
    assertThat(set.at("/rounds/0/beyond").asLong()).isEqualTo(1);
    assertThat(set.at("/rounds/0/centre")).isEqualTo(set.at("/limits/centre"));
    assertThat(set.at("/rounds/0/setAside")).isEmpty();
  }

  @Test
  void whatCannotBeSetAsideIsRefusedWithItsPlace() {
    ChartBench bench = eight();
    long last = last(bench);
    Answer unknown = preview(bench.engineer(), bench, List.of(aside(1, 1, CAUSE)));
    requireFault(unknown, 422, "/setAside/0/lastReading", "no point of the baseline ends with");
    Answer twice =
        preview(bench.engineer(), bench, List.of(aside(1, last, CAUSE), aside(2, last, "again")));
    requireFault(twice, 422, "/setAside/1/lastReading", "named at /setAside/0 already");
    Answer gap = preview(bench.engineer(), bench, List.of(aside(2, last, CAUSE)));
    requireFault(gap, 422, "/setAside/0/round", "nothing is set aside in round 1");
    Answer blank = preview(bench.engineer(), bench, List.of(aside(1, last, " ")));
    requireFault(blank, 400, "/setAside/0/cause", "blank");
    Answer zero = preview(bench.engineer(), bench, List.of(aside(0, last, CAUSE)));
    requireFault(zero, 400, "/setAside/0/round", "1");
    Answer frozen =
        bench.freeze(Codes.fresh("L"), FROM, BEFORE, "setAside", List.of(aside(1, last, " ")));
    requireFault(frozen, 400, "/setAside/0/cause", "blank");
    Answer chart =
        bench.engineer().post("/api/v1/limit-sets/preview", question("NO-SUCH", List.of()));
    requireFault(chart, 422, "/chart", "NO-SUCH");
  }

  @Test
  void aReadingWithinAPointIsToldWhichPointItLiesIn() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 2);
    bench.postAll(List.of("4.1", "4.2", "4.3", "4.2", "4.0", "4.1"), "kg", FROM, STEP);
    JsonNode point = bench.points(FROM, BEFORE).at("/points/1");
    Answer within =
        preview(
            bench.engineer(), bench, List.of(aside(1, point.at("/firstReading").asLong(), CAUSE)));
    requireFault(
        within,
        422,
        "/setAside/0/lastReading",
        "name the point by its last reading, " + point.at("/lastReading").asLong());
    JsonNode kept =
        preview(
                bench.engineer(),
                bench,
                List.of(aside(1, point.at("/lastReading").asLong(), CAUSE)))
            .expect(200)
            .json();
    // means 4.15 and 4.05, both ranges 0.1
    assertThat(kept.at("/limits/centre").asDouble()).isCloseTo(4.1, CLOSE);
    assertThat(kept.at("/limits/sigma").asDouble()).isCloseTo(0.1 / D2, CLOSE);
  }

  @Test
  void settingTooMuchAsideLeavesNoLimits() {
    ChartBench bench = eight();
    List<Map<String, Object>> all =
        bench
            .points(FROM, BEFORE)
            .at("/points")
            .valueStream()
            .skip(2)
            .map(point -> aside(1, point.at("/lastReading").asLong(), CAUSE))
            .toList();
    JsonNode preview = preview(bench.engineer(), bench, all).expect(200).json();
    assertThat(preview.has("limits")).isFalse();
    assertThat(preview.has("falseSignals")).isFalse();
    assertThat(preview.at("/notComputed/0/reason").asString()).isEqualTo("TOO_FEW");
    Answer refused = bench.freeze(Codes.fresh("L"), FROM, BEFORE, "setAside", all);
    assertThat(refused.expect(422).text()).contains("1 moving range(s)", "set fewer points aside");
  }

  private ChartBench eight() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.postAll(List.of("10", "12", "11", "40", "12", "10", "11", "13"), "kg", FROM, STEP);
    return bench;
  }

  private static long last(ChartBench bench) {
    return bench.points(FROM, BEFORE).at("/points/7/lastReading").asLong();
  }

  private static Map<String, Object> aside(int round, long lastReading, String cause) {
    return Map.of("round", round, "lastReading", String.valueOf(lastReading), "cause", cause);
  }

  private static Answer preview(
      Client client, ChartBench bench, List<Map<String, Object>> setAside) {
    return client.post("/api/v1/limit-sets/preview", question(bench.chart(), setAside));
  }

  private static String question(String chart, List<Map<String, Object>> setAside) {
    return json(
        "chart",
        chart,
        "measuredFrom",
        FROM.toString(),
        "measuredBefore",
        BEFORE.toString(),
        "setAside",
        setAside);
  }

  private static String address(ChartBench bench) {
    return "/api/v1/limit-sets/preview?chart="
        + bench.chart()
        + "&measuredFrom="
        + FROM
        + "&measuredBefore="
        + BEFORE;
  }

  private static void requireFault(Answer answer, int status, String pointer, String words) {
    JsonNode fault = answer.expect(status).at("/errors/0");
    assertThat(fault.at("/pointer").asString()).isEqualTo(pointer);
    assertThat(fault.at("/detail").asString()).contains(words);
  }
}
