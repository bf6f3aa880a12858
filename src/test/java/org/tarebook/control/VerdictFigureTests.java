package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.cure.CavityFigures;
import org.tarebook.cure.CavityFigures.Equivalents;
import org.tarebook.schedule.Until;
import org.tarebook.thermal.Rule;

class VerdictFigureTests {

  /** A line drawn across a gap is no measurement of the press. */
  @Test
  void equivalentsThatBridgeAGapAreNotCharted() {
    assertThat(VerdictFigure.SLOWEST_TO_OPENING.of(figures(null))).isEqualByComparingTo("8.2");
    assertThat(VerdictFigure.SLOWEST_TO_OPENING.of(figures(new BigDecimal("45")))).isNull();
  }

  private static CavityFigures figures(@Nullable BigDecimal bridged) {
    Equivalents slowest =
        new Equivalents(
            "SLOWEST",
            Until.OPENING,
            null,
            "tread",
            new BigDecimal("11"),
            new BigDecimal("8.2"),
            Rule.LOG_MEAN,
            null,
            bridged,
            null,
            null,
            null,
            null,
            null,
            new BigDecimal("8.21"),
            Map.of(),
            null,
            null,
            null);
    return new CavityFigures(
        List.of(slowest),
        null,
        null,
        null,
        null,
        null,
        null,
        null,
        null,
        null,
        List.of(),
        List.of(),
        Map.of());
  }
}
