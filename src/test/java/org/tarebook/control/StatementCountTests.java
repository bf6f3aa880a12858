package org.tarebook.control;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.CountedStatements;

/**
 * How many statements the main requests send to the database, commits included. One that needs more
 * than it did is slower in every plant: a number rises only with the reason in the commit.
 */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class StatementCountTests {

  private static final Instant FROM = Instant.parse("2024-05-06T06:00:00Z");
  private static final Instant NEXT = Instant.parse("2024-05-08T07:00:00Z");
  private static final String WINDOW = "&measuredFrom=" + FROM + "&measuredBefore=" + NEXT;

  private CountedStatements counted;
  private ChartBench plain;
  private ChartBench judged;
  private int minutes;

  @BeforeAll
  void aLineWithTwoCharts() {
    counted = new CountedStatements();
    counted.tarebook().clock().set("2024-05-09T00:00:00Z");
    plain = new ChartBench(counted.tarebook(), "INDIVIDUALS", 1);
    judged = new ChartBench(counted.tarebook(), "XBAR_R", 5);
    judged.specification("4.2", "4.5", "kg");
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 200; i++) {
      values.add("4.3" + (i * 37 % 89 + 10));
    }
    judged.postAll(values, "kg", FROM, Duration.ofMinutes(10));
    judged.freeze(Codes.fresh("L"), FROM, FROM.plus(Duration.ofDays(1))).expect(201);
  }

  @AfterAll
  void close() {
    counted.close();
  }

  private Instant next() {
    return NEXT.plus(Duration.ofMinutes(++minutes));
  }

  private void get(String path) {
    counted.tarebook().reader().get(path).expect(200);
  }

  @Test
  void aReadingOfAChartWithoutLimits() {
    counted.assertThatSends(14, () -> plain.post("4.5", next()));
  }

  @Test
  void aReadingOfAChartWithLimits() {
    counted.assertThatSends(18, () -> judged.post("4.35", next()));
  }

  @Test
  void fiveHundredReadingsAtOnce() {
    counted.assertThatSends(
        514,
        () -> plain.postAll(Collections.nCopies(500, "4.5"), "kg", next(), Duration.ofMillis(1)));
  }

  @Test
  void aPageOfReadings() {
    counted.assertThatSends(
        8,
        () ->
            get("/api/v1/readings?limit=50&newestFirst=true&station=" + judged.floor().station()));
  }

  @Test
  void theChartsOfALine() {
    counted.assertThatSends(6, () -> get("/api/v1/charts?line=" + judged.floor().line()));
  }

  @Test
  void thePointsOfAChart() {
    counted.assertThatSends(
        14, () -> get("/api/v1/charts/" + judged.chart() + "/points?" + WINDOW.substring(1)));
  }

  @Test
  void theStudyOfAChart() {
    counted.assertThatSends(21, () -> get("/api/v1/capability?chart=" + judged.chart() + WINDOW));
  }

  @Test
  void theRatesOfALine() {
    counted.assertThatSends(
        10, () -> get("/api/v1/reject-rates?line=" + judged.floor().line() + WINDOW));
  }

  @Test
  void openSignals() {
    counted.assertThatSends(
        4, () -> get("/api/v1/signals?open=true&line=" + judged.floor().line()));
  }
}
