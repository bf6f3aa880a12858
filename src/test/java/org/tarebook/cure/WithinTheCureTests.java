package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.cure.Channel.Recording;

/** What was logged before the start or after the closing of a cure of 100 s; gaps beyond 30 s. */
class WithinTheCureTests {

  @Test
  void anOldSampleAndALateOneAreLeftOut() {
    ChannelLog log =
        within(Recording.SAMPLED, null, -3600, 20, 5, 20, 35, 20.1, 65, 20, 95, 20.1, 160, 190);
    assertThat(log.seconds()).containsExactly(5, 35, 65, 95);
    assertThat(log.silences(0, 100, 30)).isEmpty();
    assertThat(log.unknown(0, 100, 30)).isEmpty();
  }

  @Test
  void aLineRunsFromTheLastSampleBeforeTheStart() {
    ChannelLog log =
        within(Recording.SAMPLED, null, -40, 30, -10, 10, 15, 20, 45, 20, 75, 20.1, 100, 20);
    assertThat(log.seconds()).startsWith(-10, 15);
    assertThat(log.trace().at(0)).isEqualTo(1400 + 101.325); // 14 bar gauge, in kPa absolute
    assertThat(log.silences(0, 100, 24)).extracting(ChannelLog.Silence::from).doesNotContain(-10.0);
  }

  @Test
  void aReportHoldsFromBeforeTheStartUntilItIsOverdue() {
    Duration heartbeat = Duration.ofSeconds(60);
    assertThat(within(Recording.ON_CHANGE, heartbeat, -50, 18, 20, 20).seconds())
        .containsExactly(-50, 20);
    assertThat(within(Recording.ON_CHANGE, heartbeat, -61, 18, 20, 20).seconds())
        .containsExactly(20);
  }

  /** The spike of 40 stands between two samples of which the second is after the closing. */
  @Test
  void whatIsASpikeIsSaidByTheCureAlone() {
    assertThat(
            within(Recording.SAMPLED, null, 0, 20, 60, 20, 90, 20.1, 105, 40, 110, 20).setAside())
        .isEmpty();
    assertThat(within(Recording.SAMPLED, null, 0, 20, 60, 40, 90, 20.1, 105, 20).setAside())
        .hasSize(1);
  }

  private static ChannelLog within(
      Recording recording, @Nullable Duration heartbeat, double... samples) {
    ChannelLog log = CourseTests.log(recording, heartbeat, samples);
    CureLog cure =
        new CureLog(
            Instant.parse("2026-03-02T06:00:00Z"),
            101.325,
            Map.of("IP", log),
            List.of(),
            samples.length / 2,
            0);
    return cure.within(100, 30).channels().get("IP");
  }
}
