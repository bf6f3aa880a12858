package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.StreamSupport;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** A window that begins inside a sample counts the signal of the point that is completed in it. */
@OnBothDatabases
class WindowEdgeTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(1);
  private static final int BASELINE = 125;

  private final RunningTarebook tarebook;

  WindowEdgeTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /** How many readings of the sample beyond the limits lie before the window. */
  @ParameterizedTest
  @ValueSource(ints = {0, 1, 4, 5})
  void saysTheSameAsThePointsAndTheSignals(int cutOff) {
    tarebook.clock().set("2024-05-07T00:00:00Z");
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 5);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < BASELINE + 125; i++) {
      boolean beyond = i >= BASELINE && i < BASELINE + 5;
      values.add((beyond ? "4.9" : "4.3") + (i * 7 % 10));
    }
    bench.postAll(values, "kg", FROM, STEP);
    Instant after = FROM.plus(STEP.multipliedBy(BASELINE));
    bench.freeze(Codes.fresh("L"), FROM, after, "inForceFrom", FROM.toString()).expect(201);
    Instant from = after.plus(STEP.multipliedBy(cutOff));
    Instant before = FROM.plus(Duration.ofDays(1));

    JsonNode control = bench.study(from, before, "").at("/control");
    List<JsonNode> points =
        StreamSupport.stream(bench.points(from, before).at("/points").spliterator(), false)
            .toList();
    long signalled = points.stream().filter(point -> !point.at("/signals").isEmpty()).count();
    assertThat(signalled).isEqualTo(cutOff == 5 ? 0 : 1);
    assertThat(control.at("/judgedPoints").asLong()).isEqualTo(points.size());
    assertThat(control.at("/signalledPoints").asLong()).isEqualTo(signalled);
    assertThat(control.at("/openSignals").asLong())
        .isEqualTo(points.stream().mapToLong(point -> point.at("/signals").size()).sum())
        .isEqualTo(bench.signals("&completedFrom=" + from + "&completedBefore=" + before).size());
    assertThat(control.at("/inControl").asBoolean()).isEqualTo(cutOff == 5);
  }
}
