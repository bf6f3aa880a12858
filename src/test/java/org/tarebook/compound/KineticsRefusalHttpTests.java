package org.tarebook.compound;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.compound.CompoundBench.pointers;

import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

/** What kinetics are refused for: each with the place and what would do. */
@OnBothDatabases
class KineticsRefusalHttpTests {

  private static final String COEFFICIENT = "'TEMPERATURE_COEFFICIENT'";
  private static final String TWO_TIMES =
      "[{'temperature':{'value':140,'unit':'Cel'},'t90':{'value':24,'unit':'min'}},"
          + "{'temperature':{'value':150,'unit':'Cel'},'t90':{'value':690,'unit':'s'}}]";

  private final RunningTarebook tarebook;
  private CompoundBench bench;

  KineticsRefusalHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-02T20:00:00Z");
    bench = new CompoundBench(tarebook);
  }

  @Test
  void hasNoDefaultEnergy() {
    refused(
        bench.kinetics("1", "activationEnergy", null),
        400,
        "invalid-request",
        "/activationEnergy",
        "there is no default energy");
  }

  @ParameterizedTest
  @CsvSource(
      quoteCharacter = '|',
      value = {
        "source",
        "referenceTemperature",
        "law",
        "diffusivity",
        "diffusivityUncertainty",
        "conductivity",
        "key"
      })
  void needs(String member) {
    Answer answer = bench.kinetics("1", member, null);
    refused(answer, 400, "invalid-request", "/" + member, "");
    assertThat(bench.quality().get(bench.path("kinetics")).at("/items")).isEmpty();
  }

  @Test
  void refusesABlankSource() {
    refused(bench.kinetics("1", "source", "'  '"), 400, "invalid-request", "/source", "blank");
  }

  @ParameterizedTest
  @CsvSource(
      quoteCharacter = '|',
      delimiter = ';',
      value = {
        "referenceTemperature; {'value':300.000000001,'unit':'Cel'}; /referenceTemperature/value; 0 to 300 Cel",
        "referenceTemperature; {'value':150,'unit':'K'}; /referenceTemperature/value; 0 to 300 Cel",
        "activationEnergy; {'value':90,'unit':'J/mol'}; /activationEnergy/value; 10 to 500 kJ/mol",
        "activationEnergy; {'value':500.000000001,'unit':'kJ/mol'}; /activationEnergy/value; check value",
        "activationEnergy; {'value':-90,'unit':'kJ/mol'}; /activationEnergy/value; check value",
        "uncertainty; {'value':0,'unit':'kJ/mol'}; /uncertainty/value; above 0",
        "uncertainty; {'value':-1,'unit':'kJ/mol'}; /uncertainty/value; above 0",
        "uncertainty; {'value':90000,'unit':'J/mol'}; /uncertainty/value; not below the energy",
        "diffusivity; {'value':0,'unit':'mm2/s'}; /diffusivity/value; 0.01 to 1 mm2/s",
        "diffusivity; {'value':-0.11,'unit':'mm2/s'}; /diffusivity/value; check value",
        "diffusivity; {'value':0.11,'unit':'m2/s'}; /diffusivity/value; check value",
        "diffusivityUncertainty; {'value':0,'unit':'%'}; /diffusivityUncertainty/value; above 0",
        "diffusivityUncertainty; {'value':5,'unit':'1'}; /diffusivityUncertainty/value; below 100 %",
        "conductivity; {'value':0,'unit':'W/(m.K)'}; /conductivity/value; 0.01 to 10 W/(m.K)",
        "conductivity; {'value':-0.2,'unit':'W/(m.K)'}; /conductivity/value; check value",
        "range; {'lowest':180,'highest':180,'unit':'Cel'}; /range/lowest; below the highest",
        "range; {'lowest':120,'highest':301,'unit':'Cel'}; /range/highest; 0 to 300 Cel",
        "range; {'lowest':120,'highest':180,'unit':'K'}; /range/lowest; 0 to 300 Cel"
      })
  void refusesAValueThatCannotBe(String member, String json, String pointer, String words) {
    Answer answer = bench.kinetics("1", member, json).expect(422);
    assertThat(answer.problem()).isEqualTo("rule-broken");
    assertThat(pointers(answer)).first().isEqualTo(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words);
  }

  @ParameterizedTest
  @CsvSource(
      quoteCharacter = '|',
      delimiter = ';',
      value = {
        "referenceTemperature; K{difference}",
        "activationEnergy; kJ",
        "uncertainty; %",
        "diffusivity; m2",
        "diffusivityUncertainty; mm2/s",
        "conductivity; W/(m2.K)",
        "conductivity; kW"
      })
  void refusesAUnitOfAnotherKind(String member, String unit) {
    refused(
        bench.kinetics("1", member, "{'value':1,'unit':'" + unit + "'}"),
        422,
        "unit-mismatch",
        "/" + member + "/unit",
        "wanted is one of");
  }

  @Test
  void refusesAUnitThatIsNone() {
    refused(
        bench.kinetics("1", "activationEnergy", "{'value':90,'unit':'kj/mol'}"),
        422,
        "unknown-code",
        "/activationEnergy/unit",
        "kJ/mol");
  }

  @Test
  void takesOneWayToTheEnergyOnly() {
    refused(
        bench.kinetics("1", "cureTimes", TWO_TIMES),
        400,
        "invalid-request",
        "/cureTimes",
        "one of");
    refused(
        bench.kinetics("1", "fromCurves", "['1','2']"),
        400,
        "invalid-request",
        "/fromCurves",
        "one of");
  }

  @Test
  void refusesMembersOfTheOtherLaw() {
    Answer arrhenius =
        bench.kinetics("1", "factor", "2", "per", "{'value':10,'unit':'K{difference}'}");
    assertThat(arrhenius.expect(400).problem()).isEqualTo("invalid-request");
    assertThat(pointers(arrhenius)).containsExactly("/factor", "/per");
    Answer coefficient =
        bench.kinetics(
            "1",
            "law",
            COEFFICIENT,
            "uncertainty",
            "{'value':1,'unit':'kJ/mol'}",
            "cureTimes",
            TWO_TIMES,
            "fromCurves",
            "['1','2']");
    assertThat(coefficient.expect(400).problem()).isEqualTo("invalid-request");
    assertThat(pointers(coefficient))
        .containsExactly(
            "/factor", "/per", "/activationEnergy", "/uncertainty", "/cureTimes", "/fromCurves");
  }

  @ParameterizedTest
  @CsvSource(
      quoteCharacter = '|',
      delimiter = ';',
      value = {
        "1; {'value':10,'unit':'K{difference}'}; /factor; above 1",
        "10.1; {'value':10,'unit':'K{difference}'}; /factor; up to 10",
        "2; {'value':0,'unit':'K{difference}'}; /per/value; 1 to 100 K{difference}",
        "2; {'value':181,'unit':'[degR]{difference}'}; /per/value; 1 to 100 K{difference}"
      })
  void refusesARuleOfThumbThatCannotBe(String factor, String per, String pointer, String words) {
    Answer answer =
        bench.kinetics(
            "1", "law", COEFFICIENT, "activationEnergy", null, "factor", factor, "per", per);
    refused(answer, 422, "rule-broken", pointer, words);
  }

  @Test
  void refusesATemperatureWhereADifferenceIsMeant() {
    Answer answer =
        bench.kinetics(
            "1",
            "law",
            COEFFICIENT,
            "activationEnergy",
            null,
            "factor",
            "2",
            "per",
            "{'value':10,'unit':'K'}");
    refused(answer, 422, "unit-mismatch", "/per/unit", "K{difference}");
  }

  @Test
  void takesInductionAndT90TogetherAndInOrder() {
    String two = "{'value':2,'unit':'min'}";
    refused(bench.kinetics("1", "induction", two), 400, "invalid-request", "/t90", "needed");
    refused(bench.kinetics("1", "t90", two), 400, "invalid-request", "/induction", "needed");
    refused(
        bench.kinetics("1", "induction", two, "t90", "{'value':120,'unit':'s'}"),
        422,
        "rule-broken",
        "/t90/value",
        "above the induction");
    refused(
        bench.kinetics("1", "induction", "{'value':-1,'unit':'min'}", "t90", two),
        422,
        "rule-broken",
        "/induction/value",
        "below 0");
  }

  @Test
  void refusesCureTimesThatGiveNoEnergy() {
    refused(
        bench.fromTimes("1", "150", "Cel", "24", "150", "Cel", "11.5"),
        422,
        "rule-broken",
        "/cureTimes",
        "second temperature");
    refused(
        bench.fromTimes("1", "140", "Cel", "11.5", "150", "Cel", "24"),
        422,
        "rule-broken",
        "/cureTimes",
        "which time belongs to which temperature");
    refused(
        bench.fromTimes("1", "140", "Cel", "24", "150", "Cel", "23.9"),
        422,
        "rule-broken",
        "/cureTimes",
        "10 to 500 kJ/mol");
    refused(
        bench.fromTimes("1", "140", "Cel", "0", "150", "Cel", "11.5"),
        422,
        "rule-broken",
        "/cureTimes/0/t90/value",
        "above 0");
    refused(
        bench.fromTimes("1", "140", "Cel", "24", "350", "Cel", "11.5"),
        422,
        "rule-broken",
        "/cureTimes/1/temperature/value",
        "0 to 300 Cel");
    refused(bench.fromTimes("1", "140", "Cel", "24"), 400, "invalid-request", "/cureTimes", "2");
  }

  @Test
  void refusesAnUncertaintyBesideThreeCureTimes() {
    String three =
        TWO_TIMES.replace(
            "]", ",{'temperature':{'value':160,'unit':'Cel'},'t90':{'value':5.9,'unit':'min'}}]");
    refused(
        bench.kinetics(
            "1",
            "activationEnergy",
            null,
            "cureTimes",
            three,
            "uncertainty",
            "{'value':3,'unit':'kJ/mol'}"),
        400,
        "invalid-request",
        "/uncertainty",
        "computed from 3 cure times");
  }

  @Test
  void refusesCurvesThatCannotBeUsed() {
    String own = bench.curve("c1").expect(201).at("/id").asString();
    String flat =
        bench
            .curve("c2", "torque", "{'values':[5,4,3],'unit':'dN.m'}")
            .expect(201)
            .at("/id")
            .asString();
    String foreign = new CompoundBench(tarebook).curve("c3").expect(201).at("/id").asString();
    refused(fromCurves(own, flat), 422, "rule-broken", "/fromCurves/1", "has no tc90");
    refused(fromCurves(foreign, own), 422, "unknown-code", "/fromCurves/0", "There is no");
    refused(fromCurves(own, "999999999999999999"), 422, "unknown-code", "/fromCurves/1", "no");
    refused(fromCurves(own, own), 422, "rule-broken", "/fromCurves/1", "a second time");
    refused(fromCurves(own, "c1"), 400, "invalid-request", "/fromCurves/1", "id of a curve");
  }

  @Test
  void refusesWhatIsNoCompound() {
    Answer nowhere =
        bench.quality().post("/api/v1/compounds/none/kinetics", CompoundBench.kineticsBody("1"));
    assertThat(nowhere.expect(404).problem()).isEqualTo("not-found");
    CompoundBench strip = new CompoundBench(tarebook, "TREAD_STRIP");
    assertThat(strip.kinetics("1").expect(404).at("/detail").asString())
        .contains("of kind TREAD_STRIP");
    for (String rest : new String[] {"kinetics", "kinetics/1", "cure-meter-curves"}) {
      assertThat(strip.quality().get(strip.path(rest)).status()).as(rest).isEqualTo(404);
    }
    assertThat(bench.quality().get(bench.path("kinetics/1")).expect(404).at("/detail").asString())
        .contains("revision 1 of the kinetics of " + bench.code());
  }

  @Test
  void refusesMoreDecimalsThanAreKeptAndUnknownMembers() {
    refused(
        bench.kinetics("1", "diffusivity", "{'value':0.0000001125,'unit':'m2/s'}"),
        400,
        "invalid-request",
        "/diffusivity/value",
        "9 decimals");
    refused(
        bench.kinetics("1", "defaultEnergy", "90"), 400, "invalid-request", "/defaultEnergy", "no");
  }

  private Answer fromCurves(String one, String other) {
    return bench.kinetics(
        "1", "activationEnergy", null, "fromCurves", "['" + one + "','" + other + "']");
  }

  private static void refused(
      Answer answer, int status, String problem, String pointer, String words) {
    assertThat(answer.status()).as(answer.text()).isEqualTo(status);
    assertThat(answer.problem()).as(answer.text()).isEqualTo(problem);
    assertThat(pointers(answer)).as(answer.text()).containsExactly(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words);
  }
}
