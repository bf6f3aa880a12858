package org.tarebook.thermal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.thermal.Row.number;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Reference;
import org.tarebook.fixtures.ReferenceTable;
import tools.jackson.databind.JsonNode;

/** Equivalents against tables computed at 50 digits, and how the rules bound the truth. */
class EquivalentCureTests {

  private static Trace trace(double... pairs) {
    double[] seconds = new double[pairs.length / 2];
    double[] celsius = new double[pairs.length / 2];
    for (int i = 0; i < seconds.length; i++) {
      seconds[i] = pairs[2 * i];
      celsius[i] = pairs[2 * i + 1];
    }
    return new Trace(seconds, celsius, Between.LINEAR);
  }

  private static void close(double ours, double wanted, double relative, String name) {
    assertThat(ours).as(name).isCloseTo(wanted, within(relative * Math.abs(wanted)));
  }

  @Test
  void constantTemperaturesAgree() {
    for (Map<String, String> row : ReferenceTable.read("trade/cure_constant.csv")) {
      Arrhenius law = new Arrhenius(number(row, "Ea_J_per_mol"), number(row, "Tref_C"));
      double seconds = 60 * number(row, "t_min");
      for (Rule rule : Rule.values()) {
        close(
            EquivalentCure.of(Trace.constant(number(row, "T_C")), law, 0, seconds, rule).minutes(),
            number(row, "equiv_min"),
            1e-9,
            row.get("case"));
      }
    }
  }

  @Test
  void rampsAgreeByEveryRule() {
    for (Map<String, String> row : ReferenceTable.read("trade/cure_ramp.csv")) {
      Arrhenius law = new Arrhenius(number(row, "Ea_J_per_mol"), number(row, "Tref_C"));
      double seconds = 60 * number(row, "t_min");
      Trace ramp = trace(0, number(row, "T_start_C"), seconds, number(row, "T_end_C"));
      close(
          EquivalentCure.of(ramp, law, 0, seconds, Rule.EXACT).minutes(),
          number(row, "equiv_min_exact"),
          1e-9,
          row.get("case"));
      close(
          EquivalentCure.of(ramp, law, 0, seconds, Rule.LOG_MEAN).minutes(),
          number(row, "equiv_min_logmean_one_segment"),
          1e-9,
          row.get("case"));
      close(
          EquivalentCure.of(ramp, law, 0, seconds, Rule.TRAPEZOID).minutes(),
          number(row, "equiv_min_trapezoid_one_segment"),
          1e-9,
          row.get("case"));
    }
  }

  @Test
  void stagesAddUp() {
    for (JsonNode one : Reference.json("trade/cure_steps.json").get("cases")) {
      Arrhenius law =
          new Arrhenius(one.get("Ea_J_per_mol").asDouble(), one.get("Tref_C").asDouble());
      double sum = 0;
      int stage = 0;
      for (JsonNode pair : one.get("stages_min_C")) {
        double part = pair.get(0).asDouble() * law.rate(pair.get(1).asDouble());
        close(
            part,
            Double.parseDouble(one.get("stage_equiv_min").get(stage++).asString()),
            1e-9,
            one.get("id").asString());
        sum += part;
      }
      close(
          sum,
          Double.parseDouble(one.get("total_equiv_min").asString()),
          1e-9,
          one.get("id").asString());
    }
  }

  @Test
  void writtenLogsAgreeByEveryRule() {
    int seen = 0;
    for (JsonNode one : Reference.json("trade/cure_logs.json").get("cases")) {
      if (one.path("conflict").asBoolean()) {
        continue;
      }
      seen++;
      List<Double> times = new ArrayList<>();
      List<Double> values = new ArrayList<>();
      for (int i = 0; i < one.get("t_s").size(); i++) {
        double at = one.get("t_s").get(i).asDouble();
        if (times.isEmpty() || at > times.get(times.size() - 1)) {
          times.add(at);
          values.add(one.get("T_C").get(i).asDouble());
        }
      }
      double[] seconds = times.stream().mapToDouble(Double::doubleValue).toArray();
      double[] celsius = values.stream().mapToDouble(Double::doubleValue).toArray();
      Arrhenius law =
          new Arrhenius(one.get("Ea_J_per_mol").asDouble(), one.get("Tref_C").asDouble());
      Map<Rule, String> names =
          Map.of(
              Rule.EXACT, "linear_T_exact",
              Rule.TRAPEZOID, "trapezoid_on_rate",
              Rule.LOG_MEAN, "logmean_rate_linear_in_1_over_T");
      double from = seconds[0];
      double to = seconds[seconds.length - 1];
      names.forEach(
          (rule, name) ->
              close(
                  EquivalentCure.of(
                          new Trace(seconds, celsius, Between.LINEAR), law, from, to, rule)
                      .minutes(),
                  Double.parseDouble(one.get("equiv_min").get(name).asString()),
                  1e-9,
                  one.get("id").asString() + " " + rule));
      close(
          EquivalentCure.of(new Trace(seconds, celsius, Between.HOLD), law, from, to, Rule.EXACT)
              .minutes(),
          Double.parseDouble(one.get("equiv_min").get("sample_and_hold_previous").asString()),
          1e-9,
          one.get("id").asString() + " held");
    }
    assertThat(seen).isGreaterThanOrEqualTo(8);
  }

  @Test
  void temperatureCoefficientsAgree() {
    for (Map<String, String> row : ReferenceTable.read("trade/cure_temperature_coefficient.csv")) {
      boolean fahrenheit = !row.get("interval_unit").equals("Cel");
      double scale = fahrenheit ? 5 / 9.0 : 1;
      double zero = fahrenheit ? 32 : 0;
      TemperatureCoefficient law =
          new TemperatureCoefficient(
              number(row, "K_coefficient"),
              number(row, "per_interval") * scale,
              (number(row, "Tref") - zero) * scale);
      close(
          number(row, "t_min") * law.rate((number(row, "T") - zero) * scale),
          number(row, "equiv_min"),
          1e-12,
          row.get("case"));
    }
  }

  @Test
  void firstOrderCuresAgree() {
    for (Map<String, String> row : ReferenceTable.read("trade/cure_first_order.csv")) {
      FirstOrderCure cure =
          new FirstOrderCure(number(row, "induction_min_at_ref"), number(row, "t90_min_at_ref"));
      double state = number(row, "state_of_cure");
      close(cure.rate(), number(row, "k_per_min"), 1e-9, row.get("case"));
      close(cure.minutesFor(state), number(row, "equiv_min_needed"), 1e-9, row.get("case"));
      close(cure.stateAt(cure.minutesFor(state)), state, 1e-12, row.get("case"));
    }
    assertThat(new FirstOrderCure(2, 10).stateAt(1.5)).isZero();
  }

  @Test
  void energiesAgree() {
    for (Map<String, String> row : ReferenceTable.read("trade/cure_activation_energy.csv")) {
      double ours =
          switch (row.get("kind")) {
            case "K_from_Ea" ->
                new Arrhenius(number(row, "given"), 150)
                    .factorBetween(celsius(row.get("A")), celsius(row.get("B")));
            case "Ea_for_K_2" ->
                Arrhenius.energyForFactor(
                    number(row, "given"), celsius(row.get("A")), celsius(row.get("B")));
            default ->
                ActivationEnergy.from(List.of(cureTime(row.get("A")), cureTime(row.get("B"))))
                    .joulesPerMole();
          };
      close(ours, number(row, "answer"), 1e-9, row.get("case"));
    }
  }

  /** A temperature written as {@code 150} or, in Fahrenheit, as {@code 300F}. */
  private static double celsius(String written) {
    return written.endsWith("F")
        ? (Double.parseDouble(written.substring(0, written.length() - 1)) - 32) * 5 / 9
        : Double.parseDouble(written);
  }

  /** A time written as {@code 140:24min}. */
  private static CureTime cureTime(String written) {
    String[] parts = written.split(":");
    return new CureTime(
        Double.parseDouble(parts[0]), Double.parseDouble(parts[1].replace("min", "")));
  }

  @Test
  void logMeanAndTrapezoidBoundTheTruthOnRandomRamps() {
    Random random = new Random(36);
    for (int i = 0; i < 2000; i++) {
      Arrhenius law = new Arrhenius(60_000 + 60_000 * random.nextDouble(), 140);
      double from = 20 + 160 * random.nextDouble();
      double to = i % 5 == 0 ? from + 1e-9 * random.nextDouble() : 20 + 160 * random.nextDouble();
      Trace ramp = trace(0, from, 600 * random.nextDouble() + 1, to);
      double end = ramp.seconds()[1];
      double low = EquivalentCure.of(ramp, law, 0, end, Rule.LOG_MEAN).minutes();
      double exact = EquivalentCure.of(ramp, law, 0, end, Rule.EXACT).minutes();
      double high = EquivalentCure.of(ramp, law, 0, end, Rule.TRAPEZOID).minutes();
      double error = 1e-11 * exact;
      assertThat(low).isLessThanOrEqualTo(exact + error);
      assertThat(high).isGreaterThanOrEqualTo(exact - error);
    }
  }

  @Test
  void tellsTheLargestInterval() {
    Equivalents gap =
        EquivalentCure.of(
            trace(0, 150, 60, 150, 840, 150, 900, 150),
            new Arrhenius(90_000, 150),
            0,
            900,
            Rule.LOG_MEAN);
    assertThat(gap.largestShare()).isCloseTo(780 / 900.0, within(1e-12));
    assertThat(gap.largestFrom()).isEqualTo(60);
    assertThat(gap.largestTo()).isEqualTo(840);
  }

  @Test
  void refusesWhatCannotBe() {
    assertThatThrownBy(() -> new Arrhenius(0, 150)).hasMessageContaining("above 0");
    assertThatThrownBy(() -> new Arrhenius(90_000, -300)).hasMessageContaining("-273.15");
    assertThatThrownBy(() -> new TemperatureCoefficient(1, 10, 150))
        .isInstanceOf(IllegalArgumentException.class);
    assertThatThrownBy(() -> new FirstOrderCure(5, 5)).hasMessageContaining("above the induction");
    assertThatThrownBy(() -> trace(0, 150, 0, 151))
        .hasMessageContaining("not after the one before");
    assertThatThrownBy(() -> trace(0, Double.NaN)).hasMessageContaining("must be numbers");
    assertThatThrownBy(
            () ->
                EquivalentCure.of(
                    Trace.constant(150), new Arrhenius(90_000, 150), 5, 5, Rule.EXACT))
        .hasMessageContaining("from must be before to");
    assertThatThrownBy(() -> ActivationEnergy.from(List.of(new CureTime(150, 10))))
        .hasMessageContaining("two temperatures");
  }

  /** Two temperatures leave a line no choice, however often each was measured. */
  @Test
  void twoTemperaturesGiveNoUncertainty() {
    ActivationEnergy found =
        ActivationEnergy.from(
            List.of(new CureTime(140, 19.8), new CureTime(140, 19.8), new CureTime(160, 6.1)));
    assertThat(found.joulesPerMole()).isBetween(80_000.0, 95_000.0);
    assertThat(found.standardError()).isNull();
  }
}
