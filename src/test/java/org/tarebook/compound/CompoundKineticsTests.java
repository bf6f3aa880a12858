package org.tarebook.compound;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalStateException;
import static org.assertj.core.api.Assertions.catchThrowableOfType;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.thermal.Arrhenius;
import org.tarebook.thermal.FirstOrderCure;
import org.tarebook.thermal.TemperatureCoefficient;

/** What other features get of a compound, in the units they compute with. */
@OnBothDatabases
class CompoundKineticsTests {

  private final RunningTarebook tarebook;
  private final CompoundKinetics kinetics;
  private CompoundBench bench;

  CompoundKineticsTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.kinetics = tarebook.bean(CompoundKinetics.class);
  }

  @BeforeEach
  void startAnew() {
    bench = new CompoundBench(tarebook);
  }

  @Test
  void givesEveryFigureInItsOwnUnit() {
    bench
        .kinetics(
            "1",
            "referenceTemperature",
            "{'value':302,'unit':'[degF]'}",
            "uncertainty",
            "{'value':2.5,'unit':'kJ/mol'}",
            "induction",
            "{'value':150,'unit':'s'}",
            "t90",
            "{'value':12,'unit':'min'}")
        .expect(201);
    Kinetics found = kinetics.require(bench.code(), null, "/compound");
    assertThat(found.compound()).isEqualTo(bench.code());
    assertThat(found.revision()).isEqualTo(1);
    assertThat(found.law()).isEqualTo(new Arrhenius(90_000, 150));
    assertThat(found.energyError()).isEqualTo(2500);
    assertThat(found.diffusivity()).isCloseTo(1.1e-7, within(1e-22));
    assertThat(found.diffusivityError()).isEqualTo(0.05);
    assertThat(found.conductivity()).isEqualTo(0.25);
    assertThat(found.firstOrder()).isEqualTo(new FirstOrderCure(2.5, 12));
    assertThat(found.source()).isEqualTo("laboratory report 17");
    assertThat(kinetics.byId(found.id())).isEqualTo(found);
  }

  @Test
  void givesTheRuleOfThumbWithoutAnEnergy() {
    bench
        .kinetics(
            "1",
            "law",
            "'TEMPERATURE_COEFFICIENT'",
            "activationEnergy",
            null,
            "factor",
            "2",
            "per",
            "{'value':18,'unit':'[degR]{difference}'}")
        .expect(201);
    Kinetics found = kinetics.require(bench.code(), 1, "/compound");
    assertThat(found.law()).isEqualTo(new TemperatureCoefficient(2, 10, 150));
    assertThat(found.energyError()).isNull();
    assertThat(found.firstOrder()).isNull();
  }

  @Test
  void givesTheRevisionAskedForOrTheLatest() {
    bench.kinetics("1").expect(201);
    bench.kinetics("2", "source", "'a second study'").expect(201);
    assertThat(kinetics.require(bench.code(), 1, "/compound").source())
        .isEqualTo("laboratory report 17");
    assertThat(kinetics.require(bench.code(), null, "/compound").source())
        .isEqualTo("a second study");
  }

  @Test
  void refusesWithThePlaceWhatIsNotThere() {
    refused("none", null, ProblemType.UNKNOWN_CODE, "There is no component 'none'");
    refused(
        new CompoundBench(tarebook, "PLY").code(), null, ProblemType.RULE_BROKEN, "of kind PLY");
    refused(bench.code(), null, ProblemType.RULE_BROKEN, "none by default");
    refused(bench.code(), 1, ProblemType.RULE_BROKEN, "/api/v1/compounds/" + bench.code());
    bench.kinetics("1").expect(201);
    refused(bench.code(), 2, ProblemType.UNKNOWN_CODE, "no revision 2");
    refused(bench.code(), 0, ProblemType.UNKNOWN_CODE, "the latest is 1");
    assertThatIllegalStateException().isThrownBy(() -> kinetics.byId(-1));
  }

  @Test
  void staysForOldRecordsWhereTheComponentBecameAnotherKind() {
    bench.kinetics("1").expect(201);
    Kinetics before = kinetics.require(bench.code(), 1, "/compound");
    String address = "/api/v1/components/" + bench.code();
    String tag = bench.quality().get(address).header("ETag");
    bench
        .quality()
        .put(address, "{\"name\":\"one\",\"kind\":\"PLY\",\"retired\":false}", "If-Match", tag)
        .expect(200);
    assertThat(kinetics.byId(before.id())).isEqualTo(before);
    refused(bench.code(), 1, ProblemType.RULE_BROKEN, "of kind PLY");
  }

  private void refused(String code, Integer revision, ProblemType type, String words) {
    Problem problem =
        catchThrowableOfType(
            Problem.class, () -> kinetics.require(code, revision, "/layers/0/compound"));
    assertThat(problem.type()).isEqualTo(type);
    assertThat(problem.faults())
        .singleElement()
        .satisfies(
            fault -> {
              assertThat(fault.pointer()).isEqualTo("/layers/0/compound");
              assertThat(fault.detail()).contains(words);
            });
  }
}
