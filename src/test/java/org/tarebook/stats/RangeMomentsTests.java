package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** The integrals themselves, which {@link Factors} keeps once they are done. */
class RangeMomentsTests {

  @Test
  void integratesMeanAndSpreadOfTheRange() {
    List<Map<String, String>> rows = ReferenceTable.rows("factors_exact.csv");
    for (int i = 0; i < rows.size(); i += rows.size() / 6) {
      Map<String, String> row = rows.get(i);
      RangeMoments moments = RangeMoments.ofNormal(Integer.parseInt(row.get("n")));
      Accuracy.relative(
          "RangeMoments.mean",
          "factors_exact.csv",
          moments.mean(),
          ReferenceTable.number(row, "d2"),
          1e-12);
      Accuracy.relative(
          "RangeMoments.sd",
          "factors_exact.csv",
          moments.sd(),
          ReferenceTable.number(row, "d3"),
          1e-12);
    }
    assertThat(rows.size()).isGreaterThan(6);
  }

  @Test
  void rangesOfOneValueHaveNoQuantile() {
    assertThatThrownBy(() -> RangeDistribution.quantile(0.5, 1))
        .hasMessage("range of 1 values, must be 2 to " + Factors.MAX_RANGE_SIZE);
  }

  @Test
  void rulesThatHardlyEverSignalAreRefusedWhenSimulated() {
    assertThatThrownBy(
            () ->
                SimulatedRunLength.of(
                    List.of(new ZoneRule("far", 1, 1, 7, true), new TrendRule("long", 60)),
                    0,
                    2,
                    1))
        .hasMessage("no signal in 1000000 points, the rules hardly ever signal");
  }
}
