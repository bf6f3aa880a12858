package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.chart.Charts;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.http.Problem;

@OnBothDatabases
class WindowLimitTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");

  private final RunningTarebook tarebook;

  WindowLimitTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void moreReadingsThanFitInMemoryAreRefused() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    bench.postAll(List.of("4.1", "4.2", "4.3", "4.4"), "kg", FROM, Duration.ofMinutes(1));
    ReadingWindow.Asked asked =
        new ReadingWindow.Asked(
            tarebook.bean(Charts.class).get(bench.chart()), FROM, FROM.plus(Duration.ofHours(1)));
    JdbcClient jdbc = tarebook.bean(JdbcClient.class);
    assertThat(new WindowStore(jdbc, 4).counted(asked)).hasSize(4);
    assertThatThrownBy(() -> new WindowStore(jdbc, 3).counted(asked))
        .isInstanceOfSatisfying(
            Problem.class,
            problem ->
                assertThat(problem.faults())
                    .containsExactly(
                        Problem.Fault.at(
                            "measuredBefore",
                            "asks for more than 3 readings of "
                                + bench.chart()
                                + " one by one; ask for a shorter window")));
  }
}
