package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.Reference;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.reading.Flag;
import org.tarebook.rejects.Works.Draft;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** Charts of rejects, and the intervals of rates, on the wire. */
@OnBothDatabases
class RejectChartHttpTests {

  private static final long DAY = 86_400;
  private static final Instant FIRST = Instant.parse("2027-01-06T10:00:00Z");
  private static final Map<Vendor, Works> STARTED = new EnumMap<>(Vendor.class);
  private static long days = 0;
  private static long keys = 0;

  private final Works works;

  RejectChartHttpTests(Vendor vendor) {
    works = STARTED.computeIfAbsent(vendor, Works::start);
  }

  @AfterAll
  static void stop() {
    STARTED.values().forEach(Works::close);
  }

  /** Judges so many items a day, some of which fail; a window of these days. */
  private String days(List<Integer> rejected, List<Integer> judged) {
    days += 10;
    Instant from = FIRST.plusSeconds(days * DAY);
    List<Draft> drafts = new ArrayList<>();
    for (int day = 0; day < judged.size(); day++) {
      for (int i = 0; i < judged.get(day); i++) {
        drafts.add(
            new Draft("C" + ++keys, from.plusSeconds(day * DAY + i))
                .value("A-MASS", i < rejected.get(day) ? "25" : "15"));
      }
    }
    works.record(drafts);
    days += judged.size();
    return "measuredFrom=%s&measuredBefore=%s"
        .formatted(from.minusSeconds(3600), from.plusSeconds(judged.size() * DAY - 3600));
  }

  private Answer ask(String address) {
    return works.tarebook().reader().get("/api/v1/reject-rates" + address);
  }

  @Test
  void sharesOfEqualSamplesAreChartedAsSharesAndAsCounts() {
    // NIST/SEMATECH e-Handbook 6.3.3.2; exact figures from the reference file.
    JsonNode wafers = Reference.json("statistics/p_np_chart_wafers.json");
    List<Integer> counts = new ArrayList<>();
    wafers.get("data_count").forEach(count -> counts.add(count.asInt()));
    String window = days(counts, counts.stream().map(count -> 50).toList());
    JsonNode p = ask("/chart?" + window).expect(200).json();
    assertThat(p.get("kind").asString()).isEqualTo("P");
    assertThat(p.get("points")).hasSize(30);
    JsonNode exact = wafers.get("recomputed");
    assertThat(p.get("centre").asDouble()).isCloseTo(exact.get("p_bar").asDouble(), within(1e-14));
    assertThat(p.at("/points/0/upper").asDouble())
        .isCloseTo(exact.get("ucl").asDouble(), within(1e-14));
    assertThat(p.at("/points/0/lower").asDouble())
        .isCloseTo(exact.get("lcl").asDouble(), within(1e-14));
    assertThat(p.at("/points/0/value").asDouble()).isEqualTo(0.24);
    JsonNode np = ask("/chart?kind=NP&" + window).expect(200).json();
    assertThat(np.get("centre").asDouble()).isCloseTo(exact.get("np_cl").asDouble(), within(1e-12));
    assertThat(np.at("/points/14/value").asDouble()).isEqualTo(22);
    assertThat(np.at("/points/14/upper").asDouble())
        .isCloseTo(exact.get("np_ucl").asDouble(), within(1e-12));
    assertThat(np.at("/points/14/lower").asDouble())
        .isCloseTo(exact.get("np_lcl").asDouble(), within(1e-12));
    assertThat(np.at("/points/14/beyondExact").asBoolean()).isTrue();
    assertThat(np.at("/points/14/spreadUpper").asDouble())
        .isCloseTo(50 * p.at("/points/14/spreadUpper").asDouble(), within(1e-12));
  }

  @Test
  void samplesOfManySizesHaveTheirOwnLimitsAndNoChartOfCounts() {
    // Montgomery, Introduction to Statistical Quality Control, table 7.4.
    JsonNode orders = Reference.json("statistics/p_chart_variable_n.json");
    List<Integer> counts = new ArrayList<>();
    List<Integer> sizes = new ArrayList<>();
    orders.get("count").forEach(count -> counts.add(count.asInt()));
    orders.get("n").forEach(size -> sizes.add(size.asInt()));
    String window = days(counts, sizes);
    JsonNode chart = ask("/chart?" + window).expect(200).json();
    assertThat(chart.get("points")).hasSize(25);
    for (JsonNode wanted : orders.at("/recomputed/points")) {
      JsonNode point = chart.get("points").get(wanted.get("i").asInt() - 1);
      assertThat(point.get("value").asDouble())
          .isCloseTo(wanted.get("p").asDouble(), within(1e-14));
      assertThat(point.get("upper").asDouble())
          .isCloseTo(wanted.get("ucl").asDouble(), within(1e-13));
      assertThat(point.get("lower").asDouble())
          .isCloseTo(wanted.get("lcl").asDouble(), within(1e-13));
    }
    Answer refused = ask("/chart?kind=NP&" + window).expect(422);
    assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("kind");
    assertThat(refused.text()).contains("from 80 to 120", "kind P");
  }

  @Test
  void largeDifferencesBetweenShiftsAreTold() {
    String window = days(List.of(1, 1, 1, 1, 9, 1), List.of(12, 12, 12, 12, 12, 12));
    JsonNode chart = ask("/chart?" + window).expect(200).json();
    assertThat(chart.get("judged").asInt()).isEqualTo(72);
    assertThat(chart.get("firstPassRejected").asInt()).isEqualTo(14);
    assertThat(chart.at("/points/4/beyondExact").asBoolean()).isTrue();
    assertThat(chart.at("/points/0/beyondExact").asBoolean()).isFalse();
    // Binomial of 12 items at 14/72: 8 or more in 0.0005 of shifts, 7 or more in 0.0033.
    assertThat(chart.at("/points/0/most").asInt()).isEqualTo(7);
    assertThat(chart.get("dispersion").asDouble()).isGreaterThan(3);
    assertThat(chart.get("words").asString())
        .contains("more than chance", "fewer than 20 points all limits are rough");
  }

  @Test
  void shiftWithoutJudgedItemsIsNoPointAndIsTold() {
    String window = days(List.of(2, 3), List.of(20, 20));
    Instant late = FIRST.plusSeconds((days - 1) * DAY - 43_200);
    works.record(new Draft("N" + ++keys, late).value("A-MASS", null, Flag.OVERLOAD));
    JsonNode chart = ask("/chart?" + window).expect(200).json();
    assertThat(chart.get("points")).hasSize(2);
    assertThat(chart.get("withoutJudged").asInt()).isEqualTo(1);
    assertThat(chart.get("words").asString()).contains("no item was judged: 1 bucket");
  }

  @Test
  void whatIsAbsentIsToldWithItsReason() {
    JsonNode none =
        ask("/chart?measuredFrom=2029-10-01T00:00:00Z&measuredBefore=2029-10-02T00:00:00Z")
            .expect(200)
            .json();
    assertThat(none.at("/notComputed/0/reason").asString()).isEqualTo("NOTHING_JUDGED");
    assertThat(none.at("/notComputed/0/words").asString()).contains("no item was judged");
    assertThat(none.has("centre")).isFalse();
    JsonNode good = ask("/chart?" + days(List.of(0, 0), List.of(5, 5))).expect(200).json();
    assertThat(good.at("/notComputed/0/reason").asString()).isEqualTo("NOTHING_REJECTED");
    assertThat(good.at("/points/0").has("upper")).isFalse();
    JsonNode bad = ask("/chart?" + days(List.of(5, 5), List.of(5, 5))).expect(200).json();
    assertThat(bad.at("/notComputed/0/reason").asString()).isEqualTo("EVERYTHING_REJECTED");
    JsonNode one = ask("/chart?" + days(List.of(1), List.of(5))).expect(200).json();
    assertThat(one.at("/notComputed/0/figure").asString()).isEqualTo("dispersion");
    assertThat(one.at("/notComputed/0/reason").asString()).isEqualTo("TOO_FEW");
  }

  @Test
  void unknownKindsAndGroupsAreRefused() {
    String window = "measuredFrom=2029-10-01T00:00:00Z&measuredBefore=2029-10-02T00:00:00Z";
    assertThat(ask("/chart?kind=U&" + window).expect(400).text()).contains("kind");
    assertThat(ask("/chart?groupBy=LINE&" + window).expect(422).problem()).isEqualTo("rule-broken");
    Answer method = ask("?method=WALD&" + window).expect(400);
    assertThat(method.at("/errors/0/pointer").asString()).isEqualTo("method");
    assertThat(method.text()).contains("CLOPPER_PEARSON");
  }

  @Test
  void intervalsAreMadeByTheMethodAskedFor() {
    // R 4.2.2; Newcombe, Statistics in Medicine 17 (1998), table I; NIST/SEMATECH 7.2.4.1.
    int checked = 0;
    for (Map<String, String> row : ReferenceTable.read("statistics/binomial_intervals.csv")) {
      int items = Integer.parseInt(row.get("n"));
      if (items > 300 || checked == 6) {
        continue;
      }
      checked++;
      String window = days(List.of(Integer.parseInt(row.get("x"))), List.of(items));
      String asked = "?" + window + "&confidence=" + row.get("conf");
      requireInterval(asked, "WILSON", row.get("wilson_lo"), row.get("wilson_hi"));
      requireInterval(asked, "CLOPPER_PEARSON", row.get("cp_lo"), row.get("cp_hi"));
      requireInterval(asked, "JEFFREYS", row.get("jeffreys_lo"), row.get("jeffreys_hi"));
      assertThat(ask(asked).expect(200).at("/method").asString()).isEqualTo("WILSON");
    }
    assertThat(checked).isEqualTo(6);
  }

  private void requireInterval(String asked, String method, String lower, String upper) {
    JsonNode answer = ask(asked + "&method=" + method).expect(200).json();
    assertThat(answer.get("method").asString()).isEqualTo(method);
    JsonNode interval = answer.at("/total/firstPassRate/interval");
    assertThat(interval.get("lower").asDouble())
        .as(asked + method)
        .isCloseTo(Double.parseDouble(lower), within(1e-11));
    assertThat(interval.get("upper").asDouble())
        .as(asked + method)
        .isCloseTo(Double.parseDouble(upper), within(1e-11));
    assertThat(answer.get("definitions").toString())
        .contains(
            method.equals("WILSON")
                ? "Wilson's"
                : method.equals("JEFFREYS") ? "Jeffreys" : "exact");
    JsonNode chart = ask("/chart" + asked + "&method=" + method).expect(200).json();
    assertThat(chart.at("/shareInterval")).isEqualTo(interval);
  }
}
