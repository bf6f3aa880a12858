package org.tarebook.segment;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import org.junit.jupiter.api.Test;

class PatienceTests {

  private static final Instant NOW = Instant.parse("2026-01-21T06:00:00Z");
  private static final Segment SHIFT =
      Segment.stale(Segment.Span.SHIFT, NOW.minusSeconds(28_800), NOW);
  private static final Segment MONTH =
      Segment.stale(Segment.Span.MONTH, NOW.minusSeconds(28_800), NOW);

  private final Patience patience = new Patience(Duration.ofMinutes(1));

  private static Instant after(long minutes) {
    return NOW.plus(Duration.ofMinutes(minutes));
  }

  @Test
  void whatGoesStaleAgainWaitsEachTimeTwiceAsLong() {
    assertThat(patience.isDue(1, SHIFT, NOW)).isTrue();
    patience.note(1, SHIFT, NOW);
    assertThat(patience.isDue(1, SHIFT, after(1).minusMillis(1))).isFalse();
    assertThat(patience.isDue(1, SHIFT, after(1))).isTrue();
    patience.note(1, SHIFT, after(1));
    assertThat(patience.isDue(1, SHIFT, after(3).minusMillis(1))).isFalse();
    assertThat(patience.isDue(1, SHIFT, after(3))).isTrue();
    assertThat(patience.isDue(2, SHIFT, NOW)).isTrue();
    assertThat(patience.isDue(1, MONTH, NOW)).isTrue();
  }

  @Test
  void noneWaitsLongerThan64Pauses() {
    for (int i = 0; i < 20; i++) {
      patience.note(1, SHIFT, NOW);
    }
    assertThat(patience.isDue(1, SHIFT, after(64).minusMillis(1))).isFalse();
    assertThat(patience.isDue(1, SHIFT, after(64))).isTrue();
  }

  @Test
  void whatStaysAsItWasBuiltIsForgotten() {
    patience.note(1, SHIFT, NOW);
    patience.note(1, SHIFT, after(1));
    patience.forget(after(5));
    patience.note(1, SHIFT, after(5)); // remembered: four minutes now
    assertThat(patience.isDue(1, SHIFT, after(8))).isFalse();
    patience.forget(after(14));
    patience.note(1, SHIFT, after(14)); // forgotten: one minute
    assertThat(patience.isDue(1, SHIFT, after(15))).isTrue();
  }
}
