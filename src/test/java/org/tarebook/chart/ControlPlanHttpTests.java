package org.tarebook.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

@OnBothDatabases
class ControlPlanHttpTests {

  private static final String PATH = "/api/v1/control-plan";

  private final ShopFloor floor;
  private final Client quality;

  ControlPlanHttpTests(RunningTarebook tarebook) {
    this.floor = new ShopFloor(tarebook, "kg");
    this.quality = tarebook.quality();
  }

  @Test
  void aRowIsAChartAndAReadingFindsIt() {
    String chart = floor.chart(floor.mass(), "XBAR_R", 5);
    Answer row = quality.get(PATH + "/" + chart).expect(200);
    assertThat(row.at("/rules")).hasSize(4);
    assertThat(row.at("/unit").asString()).isEqualTo("kg");
    Answer reading = floor.post(floor.posting(5.5, "kg", "2026-03-02T06:00:00Z")).expect(201);
    assertThat(reading.at("/chart").asString()).isEqualTo(chart);
  }

  @Test
  void oneCharacteristicOnOneLineHasOneRowInUse() {
    String first = floor.chart(floor.mass(), "XBAR_R", 5);
    Answer second = quality.post(PATH, row("XBAR_S", 4));
    assertThat(second.expect(409).at("/errors/0/detail").asString()).contains(first);
    String change =
        json(
            "name",
            "n",
            "method",
            "m",
            "sampleSize",
            1,
            "frequency",
            "f",
            "response",
            "r",
            "retired",
            true);
    quality.put(PATH + "/" + first, change, "If-Match", "\"0\"").expect(200);
    quality.post(PATH, row("XBAR_S", 4)).expect(201);
    assertThat(
            quality
                .put(PATH + "/" + first, change.replace("true", "false"), "If-Match", "\"1\"")
                .expect(409)
                .problem())
        .isEqualTo("conflict");
  }

  @Test
  void rowsThatCannotHoldAreRefused() {
    assertThat(refused(row("INDIVIDUALS", 5))).isEqualTo("/subgroupSize");
    assertThat(refused(row("XBAR_R", 1))).isEqualTo("/subgroupSize");
    assertThat(refused(row("XBAR_R", 5, "rules", List.of("SEVEN_IN_A_ROW")))).isEqualTo("/rules");
    assertThat(refused(row("XBAR_R", 5, "permissibleError", 0.1)))
        .isEqualTo("/permissibleErrorUnit");
    assertThat(refused(row("XBAR_R", 5, "permissibleError", 1, "permissibleErrorUnit", "mm")))
        .isEqualTo("/permissibleErrorUnit");
    quality.post(PATH, row("XBAR_R", 26)).expect(400);
    quality.post(PATH, row("XBAR_R", 5, "line", "NO-SUCH")).expect(422);
  }

  private String refused(String row) {
    return quality.post(PATH, row).expect(422).at("/errors/0/pointer").asString();
  }

  private String row(String kind, int subgroupSize, Object... more) {
    Object[] always = {
      "code",
      Codes.fresh("CHART"),
      "name",
      "n",
      "characteristic",
      floor.mass(),
      "line",
      floor.line(),
      "method",
      "m",
      "sampleSize",
      1,
      "frequency",
      "f",
      "kind",
      kind,
      "subgroupSize",
      subgroupSize,
      "response",
      "r"
    };
    Object[] pairs = new Object[always.length + more.length];
    System.arraycopy(always, 0, pairs, 0, always.length);
    System.arraycopy(more, 0, pairs, always.length, more.length);
    return json(pairs);
  }
}
