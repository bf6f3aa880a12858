package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

/** What the record will be is not known yet. */
@OnBothDatabases
class AsOfToComeHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");

  private final RunningTarebook tarebook;

  AsOfToComeHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void aMomentStillToComeIsRefused() {
    tarebook.clock().set("2026-03-08T06:00:30Z");
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    for (int i = 0; i < 12; i++) {
      bench.post("4.3" + i * 7 % 10, FROM.plus(Duration.ofMinutes(i)));
    }
    String window = "measuredFrom=" + FROM + "&measuredBefore=" + BEFORE + "&asOf=";
    for (String study :
        List.of(
            "capability?chart=" + bench.chart() + "&",
            "charts/" + bench.chart() + "/points?",
            "charts/" + bench.chart() + "/ewma?",
            "reject-rates?",
            "reject-rates/chart?bucket=DAY&",
            "first-pass-yield?line=" + bench.floor().line() + "&")) {
      assertThat(
              tarebook
                  .reader()
                  .get("/api/v1/" + study + window + "2026-03-08T06:01:00Z")
                  .expect(422)
                  .at("/errors/0/detail")
                  .asString())
          .as(study)
          .contains("is still to come", "2026-03-08T06:00:30Z");
    }
    tarebook.clock().set("2026-03-08T06:10:00Z");
    Answer points =
        tarebook
            .reader()
            .get("/api/v1/charts/" + bench.chart() + "/points?" + window + "2026-03-08T06:09:59Z")
            .expect(200);
    assertThat(points.at("/asOf").asString()).isEqualTo("2026-03-08T06:09:00Z");
    assertThat(points.at("/version").asLong()).isPositive();
  }
}
