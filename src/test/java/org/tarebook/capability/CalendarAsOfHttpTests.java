package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** A calendar recorded over past days changes no figure as of a moment before it. */
@OnBothDatabases
class CalendarAsOfHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Duration LATER = Duration.ofMinutes(2);

  @Test
  void figuresAsOfAMomentAreCutAsTheyWereThen(Vendor vendor) {
    try (RunningTarebook tarebook = RunningTarebook.start(TestDatabase.create(vendor))) {
      tarebook.clock().set("2026-03-05T06:00:00Z");
      ChartBench bench = new ChartBench(tarebook, "XBAR_R", 4);
      bench.specification("4.20", "4.60", "kg");
      for (int i = 0; i < 46; i++) {
        bench.post("4.3" + (i * 37 % 89 + 10), FROM.plus(Duration.ofMinutes(30L * i)));
      }
      tarebook.clock().forward(LATER);
      List<JsonNode> then = answers(bench, "");
      bench
          .engineer()
          .post(
              "/api/v1/kept-studies",
              json(
                  "key",
                  "k-1",
                  "code",
                  "CAP-1",
                  "reason",
                  "Report",
                  "chart",
                  bench.chart(),
                  "measuredFrom",
                  FROM.toString(),
                  "measuredBefore",
                  BEFORE.toString()))
          .expect(201);
      String asOf = "&asOf=" + tarebook.clock().instant();
      tarebook.clock().forward(LATER);
      Client quality = tarebook.quality();
      quality
          .post(
              "/api/v1/shift-calendars",
              json(
                  "code",
                  "CAL",
                  "name",
                  "Five shifts",
                  "validFrom",
                  "2024-01-01",
                  "zone",
                  "Europe/Paris",
                  "reason",
                  "Agreed since",
                  "shifts",
                  List.of(
                      shift("a", "01:00"),
                      shift("b", "05:30"),
                      shift("c", "09:00"),
                      shift("d", "15:30"),
                      shift("e", "20:00"))))
          .expect(201);
      tarebook.caughtUp();
      assertThat(answers(bench, "")).isNotEqualTo(then);
      assertThat(answers(bench, asOf)).isEqualTo(then);
      assertThat(again(bench).at("/same").asBoolean()).isTrue();

      tarebook.clock().forward(LATER);
      String during = "&asOf=" + tarebook.clock().instant();
      List<JsonNode> cutAgain = answers(bench, "");
      tarebook.clock().forward(LATER);
      quality
          .put(
              "/api/v1/shift-calendars/CAL",
              json("name", "Five shifts", "retired", true, "reason", "Not agreed"),
              "If-Match",
              quality.get("/api/v1/shift-calendars/CAL").expect(200).header("ETag"))
          .expect(200);
      tarebook.caughtUp();
      assertThat(answers(bench, "")).isEqualTo(then);
      assertThat(answers(bench, during)).isEqualTo(cutAgain);
      assertThat(answers(bench, asOf)).isEqualTo(then);
      assertThat(again(bench).at("/same").asBoolean()).isTrue();
    }
  }

  private static Map<String, String> shift(String name, String startsAt) {
    return Map.of("name", name, "startsAt", startsAt + ":00");
  }

  private static Answer again(ChartBench bench) {
    return bench.engineer().get("/api/v1/kept-studies/CAP-1/again").expect(200);
  }

  /** What depends on how readings are cut into shifts. */
  private static List<JsonNode> answers(ChartBench bench, String asOf) {
    String window = "measuredFrom=" + FROM + "&measuredBefore=" + BEFORE + asOf;
    List<JsonNode> answers = new ArrayList<>();
    JsonNode study = bench.study(FROM, BEFORE, asOf);
    answers.add(study.at("/counts/points"));
    answers.add(study.at("/sigmaWithin"));
    Client reader = bench.engineer();
    String chart = "/api/v1/charts/" + bench.chart();
    answers.add(reader.get(chart + "/points?" + window).expect(200).at("/points"));
    answers.add(reader.get(chart + "/preview?" + window).expect(200).at("/points"));
    reader
        .get("/api/v1/reject-rates?groupBy=SHIFT&bucket=SHIFT&" + window)
        .expect(200)
        .at("/rows")
        .forEach(row -> answers.addAll(List.of(row.at("/bucket"), row.at("/judged"))));
    return answers;
  }
}
