package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import org.junit.jupiter.api.Test;

class ResolutionTests {

  @Test
  void isTooCoarseOnlyAboveOneSigma() {
    assertThat(Resolution.tooCoarse(0.005, 0.005)).isFalse();
    assertThat(Resolution.tooCoarse(0.005, Math.nextDown(0.005))).isTrue();
    assertThat(Resolution.tooCoarse(0.005, 0)).isTrue();
  }

  @Test
  void countsDifferentRangesExactly() {
    List<Subgroup> subgroups =
        List.of(
            Subgroup.of(100_000_000, 300_000_000), // 0.1 to 0.3, unequal to 0.2 in binary
            Subgroup.of(200_000_000, 400_000_000),
            Subgroup.of(5, 5));
    assertThat(Resolution.distinctRanges(subgroups)).isEqualTo(2);
    assertThat(Resolution.distinctRanges(List.of())).isZero();
  }

  @Test
  void refusesAnIntervalThatIsNone() {
    assertThatThrownBy(() -> Resolution.tooCoarse(0, 1))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("interval is 0.0, must be positive and finite");
    assertThatThrownBy(() -> Resolution.tooCoarse(1, Double.NaN)).hasMessageContaining("NaN");
  }
}
