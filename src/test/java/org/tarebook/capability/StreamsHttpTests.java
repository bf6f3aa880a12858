package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** A chart with several streams has the capability of each; of the mixture only when asked for. */
@OnBothDatabases
class StreamsHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-08T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(10);
  private static final int READINGS = 120;
  private static final List<String> FIGURES =
      List.of("mean", "sigmaWithin", "sigmaTotal", "control", "cp", "cpk", "cpu", "cpl");

  private final RunningTarebook tarebook;

  StreamsHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void eachStreamHasTheFiguresOfItsOwnStudy() {
    for (String kind : List.of("INDIVIDUALS", "XBAR_R", "BETWEEN_WITHIN")) {
      ChartBench bench = twoDies(kind, kind.equals("INDIVIDUALS") ? 1 : 2);
      requireStreams(bench, "COMPUTED_FROM_WINDOW");
      bench.freeze(Codes.fresh("L"), FROM, BEFORE, "stratum", "DIE=D1").expect(201);
      bench.freeze(Codes.fresh("L"), FROM, BEFORE, "stratum", "DIE=D2").expect(201);
      requireStreams(bench, "FROZEN");
    }
  }

  private static void requireStreams(ChartBench bench, String limits) {
    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(study.at("/streams").size()).isEqualTo(2);
    for (JsonNode stream : study.at("/streams")) {
      String stratum = stream.at("/stratum").asString();
      JsonNode alone = bench.study(FROM, BEFORE, "&stratum=" + ChartBench.encoded(stratum));
      assertThat(stream.at("/readings")).isEqualTo(alone.at("/counts/readings"));
      assertThat(stream.at("/points")).isEqualTo(alone.at("/counts/points"));
      assertThat(stream.at("/control/limitsFrom").asString()).isEqualTo(limits);
      for (String figure : FIGURES) {
        assertThat(stream.path(figure)).as(stratum + " " + figure).isEqualTo(alone.path(figure));
      }
      assertThat(alone.has("streams")).isFalse();
      assertThat(alone.at("/mixture").asBoolean()).isFalse();
    }
  }

  @Test
  void aMixtureOfStreamsHasNoCapabilityUnlessItIsAskedFor() {
    ChartBench bench = twoDies("XBAR_R", 2);
    bench.freeze(Codes.fresh("L"), FROM, BEFORE, "stratum", "DIE=D1").expect(201);
    bench.freeze(Codes.fresh("L"), FROM, BEFORE, "stratum", "DIE=D2").expect(201);
    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(study.at("/control/inControl").asBoolean()).isTrue();
    for (String figure : List.of("cp", "cpk", "cpu", "cpl")) {
      assertThat(study.has(figure)).as(figure).isFalse();
      assertThat(study.at("/notComputed").toString())
          .contains("{\"figure\":\"" + figure + "\",\"reason\":\"SEVERAL_STREAMS\"");
    }
    assertThat(study.at("/worstStream").asString()).isEqualTo("DIE=D2");
    assertThat(study.at("/ppk/value").asDouble()).isPositive();
    assertThat(study.at("/mixture").asBoolean()).isFalse();
    JsonNode mixed = bench.study(FROM, BEFORE, "&mixture=true");
    assertThat(mixed.at("/mixture").asBoolean()).isTrue();
    assertThat(mixed.at("/cpk/value").asDouble())
        .isGreaterThan(study.at("/streams/1/cpk/value").asDouble());
    assertThat(mixed.at("/streams")).isEqualTo(study.at("/streams"));
    assertThat(mixed.at("/ppk")).isEqualTo(study.at("/ppk"));
    bench.post("4.0", FROM.plusSeconds(1), "die", "D3").expect(201);
    JsonNode withOneOfD3 = bench.study(FROM, BEFORE, "");
    assertThat(withOneOfD3.has("worstStream")).isFalse();
    assertThat(withOneOfD3.at("/notComputed").toString())
        .contains("worstStream", "Stream DIE=D3 has no cpk");
  }

  @Test
  void moreStreamsThanAnAnswerHoldsAreAskedForOneByOne() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1, "LOT");
    bench.specification("4.20", "4.60", "kg");
    for (int i = 0; i <= Streams.MOST; i++) {
      bench.post("4." + (300 + i % 90), FROM.plus(Duration.ofMinutes(i)), "lot", "L" + i);
    }
    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(study.has("streams")).isFalse();
    assertThat(study.at("/notComputed").toString())
        .contains("{\"figure\":\"streams\",\"reason\":\"TOO_MANY\"", "201 streams");
    assertThat(bench.study(FROM, BEFORE, "&stratum=LOT%3DL7").at("/counts/readings").asLong())
        .isEqualTo(1);
  }

  /** D1 makes strips in the middle, D2 near the upper limit. */
  private ChartBench twoDies(String kind, int subgroupSize) {
    ChartBench bench = new ChartBench(tarebook, kind, subgroupSize, "DIE");
    bench.specification("4.20", "4.60", "kg");
    Random random = new Random(7);
    for (int i = 0; i < READINGS; i++) {
      double value = (i % 2 == 0 ? 4.40 : 4.50) + 0.015 * random.nextGaussian();
      bench.post(
          String.format(Locale.ROOT, "%.3f", value),
          FROM.plus(STEP.multipliedBy(i)),
          "die",
          i % 2 == 0 ? "D1" : "D2");
    }
    return bench;
  }
}
