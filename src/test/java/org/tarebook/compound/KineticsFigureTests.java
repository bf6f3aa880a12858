package org.tarebook.compound;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.assertj.core.data.Percentage;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.thermal.CureLaw;
import tools.jackson.databind.JsonNode;

/** The figures of kinetics, from what is posted to what other features compute with. */
@OnBothDatabases
class KineticsFigureTests {

  private static final Percentage PART_IN_A_BILLION = Percentage.withPercentage(1e-7);
  private static final Pattern TEMPERATURE = Pattern.compile("([0-9.]+)(F?)");
  private static final Pattern CURE_TIME = Pattern.compile("([0-9.]+):([0-9.]+)min");

  private final RunningTarebook tarebook;
  private CompoundBench bench;

  KineticsFigureTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-02T20:00:00Z");
    bench = new CompoundBench(tarebook);
  }

  /** E = R ln(tA/tB) / (1/TA - 1/TB), R = 8.31446261815324 J/(mol K), mpmath at 50 digits. */
  @Test
  void findsTheEnergyOfTheTable() {
    int found = 0;
    for (Map<String, String> row : ReferenceTable.read("trade/cure_activation_energy.csv")) {
      String[] times = cureTimes(row);
      if (times.length == 0) {
        continue;
      }
      found++;
      JsonNode view = bench.fromTimes(row.get("case"), times).expect(201).json();
      assertThat(view.at("/activationEnergy/value").asDouble())
          .as("%s", row)
          .isCloseTo(Double.parseDouble(row.get("answer")), PART_IN_A_BILLION);
      assertThat(view.at("/activationEnergy/unit").asString()).isEqualTo("J/mol");
      assertThat(view.has("uncertainty")).isFalse();
      assertThat(view.at("/notComputed/0/reason").asString()).isEqualTo("TOO_FEW");
      assertThat(view.get("cureTimes")).hasSize(2);
      assertThat(view.get("cureTimes").get(0).has("curve")).isFalse();
    }
    assertThat(found).isGreaterThan(5);
  }

  /** K = exp(E/R (1/TA - 1/TB)), mpmath at 50 digits; two rows are in degrees Fahrenheit. */
  @Test
  void handsOnTheLawOfTheTable() {
    int found = 0;
    for (Map<String, String> row : ReferenceTable.read("trade/cure_activation_energy.csv")) {
      if (!row.get("kind").equals("K_from_Ea")) {
        continue;
      }
      found++;
      Answer answer =
          bench.kinetics(
              row.get("case"),
              "referenceTemperature",
              temperature(row.get("A")),
              "activationEnergy",
              "{'value':" + row.get("given") + ",'unit':'J/mol'}");
      int revision = answer.expect(201).at("/revision").asInt();
      CureLaw law = kinetics().require(bench.code(), revision, "/compound").law();
      assertThat(law.rate(celsius(row.get("B"))))
          .as("%s", row)
          .isCloseTo(Double.parseDouble(row.get("answer")), PART_IN_A_BILLION);
      assertThat(law.rate(celsius(row.get("A")))).isCloseTo(1, within(1e-12));
    }
    assertThat(found).isGreaterThan(5);
  }

  /**
   * Least squares of ln t on 1/T, standard error with divisor n - 2. mpmath 1.3.0 at 50 digits:
   * 104405.8989246467978 and 1509.659012300830092 of three times, 102423.50604910563996 and
   * 1319.9006564273401521 of five.
   */
  @Test
  void findsTheStandardErrorFromThreeTimesOn() {
    JsonNode three =
        bench
            .fromTimes("3", "140", "Cel", "24", "150", "Cel", "11.5", "160", "Cel", "5.9")
            .expect(201)
            .json();
    assertFigures(three, 104405.8989246467978, 1509.659012300830092);
    JsonNode five =
        bench
            .fromTimes(
                "5", "140", "Cel", "24", "302", "[degF]", "11.5", "150", "Cel", "11.9", "160",
                "Cel", "5.9", "443.15", "K", "3.2")
            .expect(201)
            .json();
    assertFigures(five, 102423.50604910563996, 1319.9006564273401521);
    assertThat(kinetics().require(bench.code(), 2, "/compound").energyError())
        .isCloseTo(1319.9006564273401521, PART_IN_A_BILLION);
  }

  @Test
  void keepsAStatedUncertaintyBesideTwoTimes() {
    String times =
        "[{'temperature':{'value':140,'unit':'Cel'},'t90':{'value':24,'unit':'min'}},"
            + "{'temperature':{'value':150,'unit':'Cel'},'t90':{'value':690,'unit':'s'}}]";
    JsonNode view =
        bench
            .kinetics(
                "1",
                "activationEnergy",
                null,
                "cureTimes",
                times,
                "uncertainty",
                "{'value':4,'unit':'kJ/mol'}")
            .expect(201)
            .json();
    assertThat(view.at("/activationEnergy/value").asDouble())
        .isCloseTo(106940.215410094, PART_IN_A_BILLION);
    assertThat(view.at("/uncertainty/value").decimalValue()).isEqualByComparingTo("4");
    assertThat(view.at("/uncertainty/unit").asString()).isEqualTo("kJ/mol");
    assertThat(view.get("notComputed")).isEmpty();
    assertThat(kinetics().require(bench.code(), null, "/compound").energyError()).isEqualTo(4000);
  }

  /** Three points each: tc90 is t/10 * 9 behind the lowest torque, so 10, 5.5 and 2.8 min. */
  @Test
  void findsTheEnergyFromCurvesAsFromTheirTimes() {
    List<String> ids =
        List.of(
            curve("a", "140", "11", "10"),
            curve("b", "150", "6", "5.5"),
            curve("c", "160", "3", "2.8"));
    JsonNode fromCurves =
        bench
            .kinetics(
                "1",
                "activationEnergy",
                null,
                "fromCurves",
                ids.stream().map(id -> "'" + id + "'").toList().toString())
            .expect(201)
            .json();
    JsonNode fromTimes =
        bench
            .fromTimes("2", "140", "Cel", "10", "150", "Cel", "5.5", "160", "Cel", "2.8")
            .expect(201)
            .json();
    assertFigures(
        fromCurves,
        fromTimes.at("/activationEnergy/value").asDouble(),
        fromTimes.at("/uncertainty/value").asDouble());
    assertThat(fromCurves.get("cureTimes"))
        .extracting(time -> time.get("curve").asString())
        .containsExactlyElementsOf(ids);
    assertThat(fromCurves.at("/cureTimes/1/temperature/value").asInt()).isEqualTo(150);
    assertThat(fromCurves.at("/cureTimes/1/t90/value").asDouble()).isCloseTo(5.5, within(1e-12));
    assertThat(bench.quality().get(bench.path("kinetics/1")).expect(200).json())
        .isEqualTo(fromCurves);
    String again = ids.stream().map(id -> "'" + id + "'").toList().toString();
    bench.kinetics("1", "activationEnergy", null, "fromCurves", again).expect(200);
  }

  private String curve(String key, String temperature, String end, String expected) {
    JsonNode view =
        bench
            .curve(
                key,
                "temperature",
                "{'value':" + temperature + ",'unit':'Cel'}",
                "time",
                "{'values':[0,1," + end + "],'unit':'min'}")
            .expect(201)
            .json();
    assertThat(view.at("/tc90/value").asDouble())
        .isCloseTo(Double.parseDouble(expected), within(1e-12));
    return view.get("id").asString();
  }

  private static void assertFigures(JsonNode view, double energy, double error) {
    assertThat(view.at("/activationEnergy/value").asDouble()).isCloseTo(energy, PART_IN_A_BILLION);
    assertThat(view.at("/uncertainty/value").asDouble()).isCloseTo(error, PART_IN_A_BILLION);
    assertThat(view.at("/uncertainty/unit").asString()).isEqualTo("J/mol");
    assertThat(view.get("notComputed")).isEmpty();
  }

  private CompoundKinetics kinetics() {
    return tarebook.bean(CompoundKinetics.class);
  }

  /** The cure times of a row; for a doubling 20 min and 10 min; none where it gives an energy. */
  private static String[] cureTimes(Map<String, String> row) {
    if (row.get("kind").equals("Ea_for_K_2")) {
      return new String[] {row.get("A"), "Cel", "20", row.get("B"), "Cel", "10"};
    }
    Matcher a = CURE_TIME.matcher(row.get("A"));
    Matcher b = CURE_TIME.matcher(row.get("B"));
    return a.matches() && b.matches()
        ? new String[] {a.group(1), "Cel", a.group(2), b.group(1), "Cel", b.group(2)}
        : new String[0];
  }

  private static String temperature(String cell) {
    Matcher matcher = TEMPERATURE.matcher(cell);
    assertThat(matcher.matches()).as(cell).isTrue();
    return "{'value':%s,'unit':'%s'}"
        .formatted(matcher.group(1), matcher.group(2).isEmpty() ? "Cel" : "[degF]");
  }

  private static double celsius(String cell) {
    return cell.endsWith("F")
        ? (Double.parseDouble(cell.replace("F", "")) - 32) / 1.8
        : Double.parseDouble(cell);
  }
}
