package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tarebook.cure.Channel.Recording;

/** When a channel is unknown; the samples of each test show the expected times. */
class ChannelLogTests {

  /** Even where the next report comes soon: what the channel changed to is not known. */
  @Test
  void aReportOfWhichAPersonLetNoValueStandEndsWhatWasKnown() {
    ChannelLog.Conflict conflict =
        new ChannelLog.Conflict(
            60, List.of(new ChannelLog.Said(15, "p1"), new ChannelLog.Said(16, "p2")));
    Settlement none =
        new Settlement(
            1,
            1,
            1,
            new Settlement.Asked("k", "IP", null, null, null, "neither was read"),
            Instant.EPOCH,
            Instant.EPOCH,
            Set.of("p1", "p2"),
            "Q",
            Instant.EPOCH);
    ChannelLog log =
        new ChannelLog(
            CourseTests.channel(Recording.ON_CHANGE, Duration.ofMinutes(10)),
            new double[] {0, 80},
            new double[] {20, 20},
            101.325,
            0,
            List.of(),
            List.of(new ChannelLog.Settled(conflict, none)),
            List.of());
    assertThat(log.unknown(0, 600, CourseTests.GAP))
        .containsExactly(new ChannelLog.Silence(60, 80));
  }

  @Test
  void aChannelOnChangeIsUnknownBeforeItsFirstReportHoweverSoonItComes() {
    ChannelLog log = CourseTests.log(Recording.ON_CHANGE, Duration.ofMinutes(10), 25, 20, 300, 20);
    assertThat(log.unknown(0, 600, CourseTests.GAP)).containsExactly(new ChannelLog.Silence(0, 25));
    assertThat(log.unknown(10, 20, CourseTests.GAP))
        .containsExactly(new ChannelLog.Silence(10, 20));
    assertThat(log.unknown(25, 600, CourseTests.GAP)).isEmpty();
  }
}
