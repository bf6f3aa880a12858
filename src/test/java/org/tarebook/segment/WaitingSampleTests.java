package org.tarebook.segment;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import org.junit.jupiter.api.Test;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Charts;
import org.tarebook.chart.Plans;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.storage.WriteLocks;

/** When a sample is judged that has fewer readings than planned. */
@OnBothDatabases
class WaitingSampleTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant NEXT = Instant.parse("2024-05-08T06:00:00Z");
  private static final Duration STEP = Duration.ofSeconds(20);

  private final RunningTarebook tarebook;

  WaitingSampleTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /** Limits from samples of three about 4.390 kg, ranges 0.02 kg. */
  private ChartBench judged() {
    ChartBench bench = new ChartBench(tarebook, "kg", "NOT", "XBAR_R", 3);
    for (int i = 0; i < 20; i++) {
      int middle = 390 + (i * 3 % 5 - 2) * 2;
      Instant at = FROM.plus(Duration.ofMinutes(30L * i));
      bench.post("4." + (middle - 10), at, "sample", "S-" + i);
      bench.post("4." + middle, at.plus(STEP), "sample", "S-" + i);
      bench.post("4." + (middle + 10), at.plus(STEP.multipliedBy(2)), "sample", "S-" + i);
    }
    bench.freeze(Codes.fresh("L"), FROM, FROM.plus(Duration.ofDays(1))).expect(201);
    return bench;
  }

  /**
   * While its shift runs, the newest sample waits for all its strips, for another or for the end.
   */
  @Test
  void aSampleIsJudgedWhenItIsWholeOrAnotherFollowsOrItsShiftIsOver() {
    ChartBench bench = judged();
    Chart chart = tarebook.bean(Charts.class).get(bench.chart());
    Instant end = tarebook.bean(Plans.class).current().shifts().at(NEXT).before();
    tarebook.clock().set(NEXT.plusSeconds(60).toString());
    try {
      bench.post("4.450", NEXT, "sample", "A");
      bench.post("4.452", NEXT.plus(STEP), "sample", "A");
      assertThat(bench.signals("")).isEmpty();
      Answer whole = bench.post("4.448", NEXT.plus(STEP.multipliedBy(2)), "sample", "A");
      assertThat(whole.at("/notices").toString())
          .contains("Point 4.450 kg is above the upper control limit");
      bench.post("4.320", NEXT.plusSeconds(600), "sample", "B");
      assertThat(bench.signals("")).hasSize(1);
      bench.post("4.390", NEXT.plusSeconds(1200), "sample", "C");
      assertThat(bench.signals("").get(0).at("/words").asString())
          .contains("Point 4.320 kg of 1 reading is below the lower control limit");
      bench.post("4.460", NEXT.plusSeconds(1800), "sample", "D");
      assertThat(bench.signals("")).hasSize(2);
      SegmentBuilder builder = tarebook.bean(SegmentBuilder.class);
      tarebook.clock().set(end.plus(Duration.ofMinutes(10)).toString());
      builder.build(chart);
      assertThat(bench.signals("")).hasSize(2);
      long version = tarebook.bean(WriteLocks.class).version(chart.id());
      tarebook.clock().set(end.plus(Duration.ofMinutes(31)).toString());
      builder.build(chart);
      assertThat(bench.signals("")).hasSize(3);
      assertThat(bench.signals("").get(0).at("/point").asDouble()).isEqualTo(4.46);
      assertThat(tarebook.bean(WriteLocks.class).version(chart.id())).isEqualTo(version + 1);
      builder.forget(chart);
      builder.build(chart);
      assertThat(tarebook.bean(WriteLocks.class).version(chart.id())).isEqualTo(version + 1);
    } finally {
      tarebook.clock().run();
    }
  }
}
