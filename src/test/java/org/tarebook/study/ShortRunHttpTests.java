package org.tarebook.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import tools.jackson.databind.JsonNode;

/** Several sizes on one chart, on the wire. */
@OnBothDatabases
class ShortRunHttpTests {

  private final RunningTarebook tarebook;

  ShortRunHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void setTheClock() {
    tarebook.clock().set("2026-03-28T06:00:00Z");
  }

  private Sheet size(ShopFloor floor, String unit, String target) {
    Sheet sheet = Sheet.of(tarebook, floor, unit, "MEASURED", "INDIVIDUALS", 1);
    if (target != null) {
      floor
          .specification(
              sheet.characteristic(),
              json(
                  "validFrom",
                  "2000-01-01T00:00:00Z",
                  "target",
                  new BigDecimal(target),
                  "lower",
                  BigDecimal.ZERO,
                  "upper",
                  new BigDecimal("100000"),
                  "unit",
                  unit,
                  "comparison",
                  "ABSOLUTE",
                  "reason",
                  "drawing"))
          .expect(201);
    }
    return sheet;
  }

  private Answer ask(String query) {
    return tarebook
        .quality()
        .get(
            "/api/v1/short-runs?measuredFrom=2026-03-01T00:00:00Z&measuredBefore=2026-03-29T00:00:00Z"
                + query);
  }

  private static void close(JsonNode figure, double wanted) {
    assertThat(figure.asDouble()).isCloseTo(wanted, within(1e-10));
  }

  @Test
  void sizesStandOnOneChartByTheirDeviations() {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    Sheet heavy = size(floor, "kg", "10");
    Sheet light = size(floor, "g", "5000");
    // Moving ranges 0.2, 0.1, 0.3 kg; and 100, 200 g.
    heavy.post(List.of("10.1", "9.9", "10.0", "10.3"), "kg", Sheet.START);
    light.post(List.of("5.0", "5.1", "4.9"), "kg", Sheet.START.plus(Duration.ofSeconds(30)));
    String both = "&chart=" + heavy.chart() + "&chart=" + light.chart();
    JsonNode study = ask(both).expect(200).json();
    double root = Math.sqrt(Math.PI) / 2;
    assertThat(study.get("unit").asString()).isEqualTo("kg");
    close(study.at("/sizes/0/sigma"), 0.2 * root);
    close(study.at("/sizes/1/sigma"), 0.15 * root);
    double first = study.at("/sizes/0/degreesOfFreedom").asDouble();
    double second = study.at("/sizes/1/degreesOfFreedom").asDouble();
    double together = root * Math.sqrt((first * 0.04 + second * 0.0225) / (first + second));
    close(study.get("sigmaTogether"), together);
    close(study.get("meanDeviation"), 0.3 / 7);
    assertThat(study.get("points")).hasSize(7);
    JsonNode one = study.at("/points/1");
    assertThat(one.get("chart").asString()).isEqualTo(light.chart());
    close(one.get("value"), 5);
    close(one.get("target"), 5);
    close(one.get("deviation"), 0);
    JsonNode last = study.at("/points/6");
    close(last.get("deviation"), 0.3);
    close(last.get("deviationLimit"), 3 * together);
    close(last.get("standardised"), 0.3 / (0.2 * root));
    assertThat(last.get("standardisedBeyond").asBoolean()).isFalse();
    assertThat(study.get("spreadsEqual").asBoolean()).isTrue();
    // Levene about medians: distances 0.05 0.15 0.05 0.25 and 0 0.1 0.1; F by hand.
    close(study.at("/equalSpread/statistic"), levene());
    assertThat(study.get("words").asString()).contains("may be believed");
    assertThat(study.at("/flags/0/code").asString()).isEqualTo("TOO_FEW");
    assertThat(study.at("/flags/0/words").asString()).contains(heavy.chart());
    JsonNode ofLine = ask("&line=" + floor.line()).expect(200).json();
    assertThat(ofLine.get("points")).hasSize(7);
  }

  private static double levene() {
    double[] one = {0.05, 0.15, 0.05, 0.25};
    double[] other = {0, 0.1, 0.1};
    double mean = 0.7 / 7;
    double between = 4 * Math.pow(0.125 - mean, 2) + 3 * Math.pow(0.2 / 3 - mean, 2);
    double within = 0;
    for (double each : one) {
      within += Math.pow(each - 0.125, 2);
    }
    for (double each : other) {
      within += Math.pow(each - 0.2 / 3, 2);
    }
    return between / (within / 5);
  }

  @Test
  void unequalSpreadsAreToldAndRunsAreSignalled() {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    Sheet steady = size(floor, "kg", "10");
    Sheet wild = size(floor, "kg", "20");
    List<String> near = new ArrayList<>();
    List<String> far = new ArrayList<>();
    for (int i = 0; i < 25; i++) {
      near.add(i % 2 == 0 ? "10.001" : "10.002");
      far.add(i % 2 == 0 ? "19" : i % 4 == 1 ? "21" : "20.3");
    }
    steady.post(near, "kg", Sheet.START);
    wild.post(far, "kg", Sheet.START.plus(Duration.ofHours(2)));
    JsonNode study = ask("&chart=" + steady.chart() + "," + wild.chart()).expect(200).json();
    assertThat(study.get("spreadsEqual").asBoolean()).isFalse();
    assertThat(study.get("words").asString()).contains("do not believe");
    assertThat(study.get("flags")).isEmpty();
    assertThat(study.at("/signals/0/rule").asString()).isNotEmpty();
    boolean eight = false;
    for (JsonNode signal : study.get("signals")) {
      eight |=
          signal.get("rule").asString().equals("EIGHT_ON_ONE_SIDE")
              && signal.get("chart").asString().equals(steady.chart())
              && signal.get("side").asString().equals("ABOVE");
    }
    assertThat(eight).isTrue();
  }

  @Test
  void pointsWithoutATargetAreLeftOutAndTold() {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    Sheet with = size(floor, "kg", "10").post(List.of("10", "11"), "kg", Sheet.START);
    Sheet without = size(floor, "kg", null).post(List.of("10", "11"), "kg", Sheet.START);
    String both = "&chart=" + with.chart() + "&chart=" + without.chart();
    JsonNode study = ask(both).expect(200).json();
    assertThat(study.at("/sizes/1/withoutTarget").asInt()).isEqualTo(2);
    assertThat(study.at("/notComputed/0/figure").asString()).isEqualTo("equalSpread");
    assertThat(study.at("/notComputed/0/reason").asString()).isEqualTo("TOO_FEW");
    assertThat(study.has("spreadsEqual")).isFalse();
    Sheet limits = size(floor, "kg", null);
    floor.specification(limits.characteristic(), "8", "12", "kg");
    limits.post(List.of("10", "11"), "kg", Sheet.START);
    JsonNode middle = ask("&chart=" + with.chart() + "&chart=" + limits.chart()).expect(200).json();
    assertThat(middle.at("/sizes/1/withoutTarget").asInt()).isZero();
    close(middle.at("/points/1/target"), 10);
    Sheet other = size(floor, "kg", null).post(List.of("10", "11"), "kg", Sheet.START);
    Sheet another = size(floor, "kg", null).post(List.of("10", "11"), "kg", Sheet.START);
    assertThat(ask("&chart=" + other.chart() + "&chart=" + another.chart()).expect(422).text())
        .contains("0 points with a target");
  }

  @Test
  void whatCannotStandTogetherIsRefused() {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    Sheet mass = size(floor, "kg", "10").post(List.of("10", "11"), "kg", Sheet.START);
    Sheet length = size(floor, "mm", "50").post(List.of("50", "51"), "mm", Sheet.START);
    Sheet empty = size(floor, "kg", "10");
    Answer kinds = ask("&chart=" + mass.chart() + "&chart=" + length.chart()).expect(422);
    assertThat(kinds.problem()).isEqualTo("unit-mismatch");
    assertThat(kinds.text()).contains(length.chart(), "one chart takes one kind");
    assertThat(ask("&line=" + floor.line()).expect(422).problem()).isEqualTo("unit-mismatch");
    assertThat(ask("&chart=" + mass.chart() + "&chart=" + empty.chart()).expect(422).text())
        .contains(empty.chart(), "0 points");
    assertThat(ask("&chart=" + mass.chart()).expect(422).text()).contains("names 1 charts");
    assertThat(ask("&chart=" + mass.chart() + "&chart=" + mass.chart()).expect(422).text())
        .contains("names a chart twice");
    assertThat(ask("&chart=" + mass.chart() + "&chart=NONE").expect(422).problem())
        .isEqualTo("unknown-code");
    assertThat(ask("").expect(422).text()).contains("or line is needed");
    assertThat(ask("&chart=" + mass.chart() + "&line=" + floor.line()).expect(422).text())
        .contains("not both");
    assertThat(ask("&line=NONE").expect(422).problem()).isEqualTo("unknown-code");
    assertThat(ask("&line=" + new ShopFloor(tarebook, "kg").line()).expect(422).text())
        .contains("has 0 charts in use");
  }
}
