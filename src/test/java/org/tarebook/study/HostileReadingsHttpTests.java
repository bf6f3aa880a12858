package org.tarebook.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

/** Every study of readings and limits that are as bad for arithmetic as can be posted. */
@OnBothDatabases
class HostileReadingsHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final int MANY = 50;

  /** Studies of a chart; CHART, LINE and WINDOW are put in. */
  private static final List<String> OF_A_CHART =
      List.of(
          "capability?chart=CHART&WINDOW&method=NORMAL&evenIfNotInControl=true",
          "capability?chart=CHART&WINDOW&method=LOGNORMAL",
          "capability?chart=CHART&WINDOW&method=WEIBULL",
          "capability?chart=CHART&WINDOW&method=GAMMA",
          "capability?chart=CHART&WINDOW&method=RAYLEIGH",
          "capability?chart=CHART&WINDOW&method=RICE",
          "capability?chart=CHART&WINDOW&method=EMPIRICAL",
          "capability?line=LINE&WINDOW&confidence=0.999",
          "charts/CHART?WINDOW",
          "charts/CHART/points?WINDOW",
          "charts/CHART/preview?WINDOW&rules=NELSON_1,EWMA,CUSUM",
          "charts/CHART/preview?WINDOW&kind=BETWEEN_WITHIN&subgroupSize=2",
          "charts/CHART/ewma?WINDOW",
          "charts/CHART/cusum?WINDOW",
          "charts/CHART/cusum?WINDOW&target=-999999999&allowance=0",
          "charts/CHART/ewma?WINDOW&target=999999999&sigma=0.000000001",
          "claims?chart=CHART&WINDOW&index=CPK&atLeast=1.33",
          "claims?chart=CHART&WINDOW&index=PPK&atLeast=10&method=GAMMA&confidence=0.999",
          "claims?chart=CHART&WINDOW&outsideBelow=0.000001&confidence=0.51",
          "charts/CHART/shape?WINDOW",
          "charts/CHART/change-points?WINDOW",
          "charts/CHART/comparison?WINDOW",
          "charts/CHART/counts?WINDOW",
          "charts/CHART/counts?WINDOW&kind=U&cut=SHIFT&confidence=0.999",
          "charts/CHART/between-within?WINDOW",
          "charts/CHART/unequal-subgroups?WINDOW",
          "charts/CHART/median-moving-range?WINDOW",
          "short-runs?line=LINE&WINDOW",
          "limit-sets/preview?chart=CHART&WINDOW",
          "reject-rates?line=LINE&WINDOW&groupBy=SHIFT",
          "reject-rates/chart?line=LINE&WINDOW&bucket=HOUR",
          "first-pass-yield?line=LINE&WINDOW");

  private static final List<String> OF_NOTHING_STORED =
      List.of(
          "run-lengths?rules=NELSON_1&shift=-5&baseline=100000&subgroupSize=100",
          "run-lengths?rules=NELSON_1&baseline=2",
          "run-lengths?weight=0.03&reach=5&shift=5",
          "run-lengths?allowance=0&decision=20&headStart=20",
          "run-lengths?allowance=3&decision=0.5",
          "sample-sizes?claim=10&expected=100&confidence=0.999",
          "sample-sizes?claim=0.1&expected=100&confidence=0.51",
          "sample-sizes?claim=1.33&expected=1.330000001",
          "resolution?unit=kg&interval=0.000000001&lower=-999999999&upper=999999999&sd=999999999",
          "resolution?unit=kg&interval=999999999&lower=0&upper=0.000000001&sd=0",
          "resolution?unit=kg&interval=1&lower=1&upper=1&sd=0.000000001");

  private static final Map<String, List<String>> POSTED =
      Map.of(
          "decision-risks",
          List.of(
              "{'unit':'kg','lower':1,'upper':2,'processMean':999999999,'processSd':1e-9,"
                  + "'expandedUncertainty':1e-9,'guardFactor':1}",
              "{'unit':'kg','lower':-999999999,'upper':999999999,'processMean':0,'processSd':1e-9,"
                  + "'expandedUncertainty':999999999,'guardFactor':1}"),
          "bias-studies",
          List.of(
              "{'unit':'kg','standards':[{'standard':999999999,'readings':[1e-9,1e-9]},"
                  + "{'standard':999999999,'readings':[1e-9,2e-9]}]}",
              "{'unit':'kg','standards':[{'standard':0,'readings':[0,0,0]},"
                  + "{'standard':1,'readings':[1,1,1]},{'standard':2,'readings':[2,2,2]}]}"),
          "measuring-studies",
          List.of(
              "{'unit':'kg','parts':[[[1,1],[1,1]],[[1,1],[1,1]]]}",
              "{'unit':'kg','parts':[[[1,1]],[[2,2]]]}",
              "{'unit':'kg','parts':[[[1e-9,2e-9],[1e-9,1e-9]],"
                  + "[[999999999,999999999],[999999999,999999998.999999999]]]}"),
          "uncertainty-budgets",
          List.of("{'unit':'kg','parts':[]}"));

  private final RunningTarebook tarebook;
  private final Map<Integer, Integer> answers = new TreeMap<>();
  private final List<String> faults = new ArrayList<>();

  HostileReadingsHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  private record Series(
      List<String> values,
      @Nullable String lower,
      @Nullable String upper,
      @Nullable String target) {}

  private static List<String> turns(String... values) {
    return IntStream.range(0, MANY).mapToObj(i -> values[i % values.length]).toList();
  }

  private static List<Series> series() {
    return List.of(
        new Series(turns("5"), "4", "6", "5"),
        new Series(turns("5"), "5", "5", "5"),
        new Series(turns("5", "5.001"), "4", "6", "5"),
        new Series(turns("5", "5.001"), "5", "6", "5"),
        new Series(turns("5", "5", "5", "5", "5", "5.5"), null, "6", null),
        new Series(turns("5", "5.5"), "4", null, "5"),
        new Series(List.of("5"), "4", "6", "5"),
        new Series(turns("999999998.999999999", "999999999"), "0", "10", "0"),
        new Series(turns("0.000000001", "0.000000002"), "0", "999999999", "999999999"),
        new Series(turns("0.000000001"), "0", "0.000000001", "0.000000001"),
        new Series(turns("0.000000001", "999999999"), "0", "999999999", "1"),
        new Series(turns("0", "999999999"), "0", "999999999", "0"),
        new Series(turns("0"), "0", "1", "0"),
        new Series(
            IntStream.range(0, 800).mapToObj(i -> i % 400 == 7 ? "9" : "1").toList(),
            "0",
            "2",
            "1"),
        new Series(Collections.nCopies(2, "3"), null, null, null));
  }

  @Test
  void noStudyFails() {
    Client reader = tarebook.reader();
    String window = "measuredFrom=" + FROM + "&measuredBefore=" + BEFORE;
    for (Series each : series()) {
      for (String kind : List.of("XBAR_R", "XBAR_S", "INDIVIDUALS")) {
        ChartBench bench = bench(each, kind);
        for (String study : OF_A_CHART) {
          String path =
              study
                  .replace("CHART", bench.chart())
                  .replace("LINE", bench.floor().line())
                  .replace("WINDOW", window);
          look(each + " " + kind + " " + path, reader.get("/api/v1/" + path));
        }
      }
    }
    for (String study : OF_NOTHING_STORED) {
      look(study, reader.get("/api/v1/" + study));
    }
    POSTED.forEach(
        (path, bodies) ->
            bodies.forEach(
                body ->
                    look(path + body, reader.post("/api/v1/" + path, body.replace('\'', '"')))));
    System.out.println("Studies of hostile readings on " + tarebook.vendor() + ": " + answers);
    assertThat(faults).isEmpty();
    assertThat(answers.get(200)).isGreaterThan(500);
  }

  private void look(String what, Answer answer) {
    answers.merge(answer.status(), 1, Integer::sum);
    String text = answer.text();
    if (answer.status() >= 500
        || Stream.of("FAULT", "Infinity", "-Infinity", "NaN")
            .anyMatch(never -> text.contains('"' + never + '"'))) {
      faults.add(what + " " + answer.status() + " " + text);
    }
  }

  private ChartBench bench(Series series, String kind) {
    ChartBench bench = new ChartBench(tarebook, kind, kind.equals("INDIVIDUALS") ? 1 : 5);
    if (series.lower() != null || series.upper() != null) {
      bench
          .floor()
          .specification(
              bench.characteristic(),
              json(
                  "validFrom",
                  "2000-01-01T00:00:00Z",
                  "target",
                  decimal(series.target()),
                  "lower",
                  decimal(series.lower()),
                  "upper",
                  decimal(series.upper()),
                  "unit",
                  "kg",
                  "comparison",
                  "ABSOLUTE",
                  "reason",
                  "drawing"))
          .expect(201);
    }
    Duration step = series.values().size() > MANY ? Duration.ofMinutes(1) : Duration.ofMinutes(20);
    bench.postAll(series.values(), "kg", FROM, step);
    return bench;
  }

  private static @Nullable BigDecimal decimal(@Nullable String text) {
    return text == null ? null : new BigDecimal(text);
  }
}
