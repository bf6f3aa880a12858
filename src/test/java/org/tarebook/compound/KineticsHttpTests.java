package org.tarebook.compound;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.compound.CompoundBench.pointers;

import java.util.Arrays;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.stream.IntStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Kinetics on the wire: answers, revisions, retries, audit. */
@OnBothDatabases
class KineticsHttpTests {

  private final RunningTarebook tarebook;
  private CompoundBench bench;

  KineticsHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-02T20:00:00Z");
    bench = new CompoundBench(tarebook);
  }

  @Test
  void answersWithWhatWasStatedToTheLastDigit() {
    Answer answer =
        bench
            .kinetics(
                "1",
                "referenceTemperature",
                "{'value':302.000000001,'unit':'[degF]'}",
                "activationEnergy",
                "{'value':89.123456789,'unit':'kJ/mol'}",
                "uncertainty",
                "{'value':2500.1,'unit':'J/mol'}",
                "induction",
                "{'value':0.1,'unit':'min'}",
                "t90",
                "{'value':719.3,'unit':'s'}",
                "diffusivity",
                "{'value':0.000000113,'unit':'m2/s'}",
                "range",
                "{'lowest':120.5,'highest':180,'unit':'Cel'}")
            .expect(201);
    assertThat(answer.header("Location")).isEqualTo(bench.path("kinetics/1"));
    JsonNode view = answer.json();
    assertThat(view.get("compound").asString()).isEqualTo(bench.code());
    assertThat(view.get("revision").asInt()).isEqualTo(1);
    assertThat(view.get("law").asString()).isEqualTo("ARRHENIUS");
    assertQuantity(view, "referenceTemperature", "302.000000001", "[degF]");
    assertQuantity(view, "activationEnergy", "89.123456789", "kJ/mol");
    assertQuantity(view, "uncertainty", "2500.1", "J/mol");
    assertQuantity(view, "induction", "0.1", "min");
    assertQuantity(view, "t90", "719.3", "s");
    assertQuantity(view, "diffusivity", "0.000000113", "m2/s");
    assertQuantity(view, "diffusivityUncertainty", "5", "%");
    assertQuantity(view, "conductivity", "0.25", "W/(m.K)");
    assertThat(view.at("/range/lowest").decimalValue()).isEqualByComparingTo("120.5");
    assertThat(view.at("/range/highest").decimalValue()).isEqualByComparingTo("180");
    assertThat(view.at("/range/unit").asString()).isEqualTo("Cel");
    assertThat(view.get("source").asString()).isEqualTo("laboratory report 17");
    assertThat(view.get("recordedAt").asString()).isEqualTo("2026-03-02T20:00:00Z");
    assertThat(view.get("notComputed")).isEmpty();
    assertThat(view.has("cureTimes")).isFalse();
    assertThat(bench.quality().get(bench.path("kinetics/1")).expect(200).json()).isEqualTo(view);
  }

  @Test
  void takesTheRuleOfThumbAsAStatedAlternative() {
    JsonNode view =
        bench
            .kinetics(
                "1",
                "law",
                "'TEMPERATURE_COEFFICIENT'",
                "activationEnergy",
                null,
                "factor",
                "1.86",
                "per",
                "{'value':18,'unit':'[degR]{difference}'}")
            .expect(201)
            .json();
    assertThat(view.get("factor").decimalValue()).isEqualByComparingTo("1.86");
    assertQuantity(view, "per", "18", "[degR]{difference}");
    assertThat(view.has("activationEnergy")).isFalse();
    assertThat(view.has("uncertainty")).isFalse();
    assertThat(view.at("/notComputed/0/figure").asString()).isEqualTo("uncertainty");
    assertThat(view.at("/notComputed/0/words").asString())
        .contains("temperature coefficient")
        .doesNotContain("energy was");
  }

  @Test
  void saysThatAnEnergyWasStatedWithoutItsUncertainty() {
    JsonNode view = bench.kinetics("1").expect(201).json();
    assertThat(view.has("uncertainty")).isFalse();
    assertThat(view.at("/notComputed/0/figure").asString()).isEqualTo("uncertainty");
    assertThat(view.at("/notComputed/0/reason").asString()).isEqualTo("NOT_STATED");
  }

  @Test
  void countsRevisionsAndKeepsEarlierOnes() {
    assertThat(bench.quality().get(bench.path("kinetics")).expect(200).at("/items")).isEmpty();
    JsonNode first = bench.kinetics("1").expect(201).json();
    JsonNode second = bench.kinetics("2", "source", "'a second study'").expect(201).json();
    assertThat(second.get("revision").asInt()).isEqualTo(2);
    Answer list = bench.quality().get(bench.path("kinetics")).expect(200);
    assertThat(list.at("/items")).containsExactly(first, second);
    assertThat(list.json().has("next")).isFalse();
    assertThat(new CompoundBench(tarebook).kinetics("1").expect(201).at("/revision").asInt())
        .isEqualTo(1);
  }

  @Test
  void answersARetryWithTheStoredRevisionAndNumbersByValue() {
    JsonNode first = bench.fromTimes("1", "140", "Cel", "24", "150", "Cel", "11.5").json();
    Answer retry = bench.fromTimes("1", "140.0", "Cel", "24.00", "150", "Cel", "11.50").expect(200);
    assertThat(retry.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(retry.json()).isEqualTo(first);
    assertThat(bench.quality().get(bench.path("kinetics")).at("/items")).hasSize(1);
  }

  @Test
  void refusesAKeyUsedForOtherContentAndNamesWhatDiffers() {
    bench.kinetics("1").expect(201);
    Answer refused =
        bench.kinetics(
            "1",
            "referenceTemperature",
            "{'value':150,'unit':'K'}",
            "activationEnergy",
            "{'value':91,'unit':'kJ/mol'}",
            "uncertainty",
            "{'value':1,'unit':'kJ/mol'}",
            "source",
            "'another'");
    assertThat(refused.status()).isEqualTo(422);
    assertThat(refused.problem()).isEqualTo("key-reused");
    assertThat(pointers(refused))
        .containsExactly("/referenceTemperature", "/activationEnergy", "/uncertainty", "/source");
    assertThat(refused.at("/errors/1/detail").asString())
        .isEqualTo("is 91 kJ/mol here and 90 kJ/mol in what is stored");
    assertThat(refused.at("/errors/2/detail").asString())
        .isEqualTo("is 1 kJ/mol here and absent in what is stored");
    assertThat(refused.at("/detail").asString())
        .contains("revision 1 of the kinetics of " + bench.code());
  }

  @Test
  void comparesEveryMemberOfARetry() {
    String[][] stated = {
      {"law", "'TEMPERATURE_COEFFICIENT'"},
      {"activationEnergy", null},
      {"factor", "2"},
      {"per", "{'value':10,'unit':'K{difference}'}"},
      {"induction", "{'value':2,'unit':'min'}"},
      {"t90", "{'value':10,'unit':'min'}"},
      {"range", "{'lowest':120,'highest':180,'unit':'Cel'}"}
    };
    String[] all =
        IntStream.range(0, 14).mapToObj(i -> stated[i / 2][i % 2]).toArray(String[]::new);
    bench.kinetics("1", all).expect(201);
    bench.kinetics("1", all).expect(200);
    String[][] others = {
      {"factor", "2.1"},
      {"per", "{'value':11,'unit':'K{difference}'}"},
      {"induction", "{'value':2.1,'unit':'min'}"},
      {"t90", "{'value':10.1,'unit':'min'}"},
      {"range", "{'lowest':121,'highest':180,'unit':'Cel'}"},
      {"range", "{'lowest':120,'highest':181,'unit':'Cel'}"},
      {"diffusivity", "{'value':0.12,'unit':'mm2/s'}"},
      {"diffusivityUncertainty", "{'value':6,'unit':'%'}"},
      {"conductivity", "{'value':0.26,'unit':'W/(m.K)'}"}
    };
    for (String[] other : others) {
      String[] changed = Arrays.copyOf(all, all.length + 2);
      changed[all.length] = other[0];
      changed[all.length + 1] = other[1];
      Answer refused = bench.kinetics("1", changed).expect(422);
      assertThat(refused.problem()).isEqualTo("key-reused");
      assertThat(pointers(refused)).singleElement().asString().startsWith("/" + other[0]);
    }
  }

  @Test
  void keepsThePlaceOfACureTimeWhenARetryIsCompared() {
    bench.fromTimes("1", "140", "Cel", "24", "150", "Cel", "11.5").expect(201);
    assertThat(pointers(bench.fromTimes("1", "140", "Cel", "24", "151", "Cel", "11.6").expect(422)))
        .containsExactly("/cureTimes/1/temperature", "/cureTimes/1/t90");
  }

  @Test
  void refusesAKeyOfAnotherCompoundButTakesTheSameKeyOfAnotherPerson() {
    bench.kinetics("1").expect(201);
    CompoundBench other = new CompoundBench(tarebook);
    Answer refused = bench.quality().post(other.path("kinetics"), CompoundBench.kineticsBody("1"));
    assertThat(refused.problem()).isEqualTo("key-reused");
    assertThat(pointers(refused)).containsExactly("/compound");
    tarebook.admin().post(bench.path("kinetics"), CompoundBench.kineticsBody("1")).expect(201);
  }

  @Test
  void countsWithoutGapsWhenManyStateAtOnce() throws Exception {
    ExecutorService threads = Executors.newFixedThreadPool(4);
    try {
      List<Callable<Answer>> posts =
          IntStream.range(0, 8)
              .mapToObj(i -> (Callable<Answer>) () -> bench.kinetics("many-" + i / 2))
              .toList();
      for (Future<Answer> answer : threads.invokeAll(posts)) {
        assertThat(answer.get().status()).isIn(200, 201);
      }
    } finally {
      threads.shutdown();
    }
    JsonNode items = bench.quality().get(bench.path("kinetics")).at("/items");
    assertThat(items).extracting(item -> item.get("revision").asInt()).containsExactly(1, 2, 3, 4);
  }

  @Test
  void notesARevisionInTheAuditListOnce() {
    bench.kinetics("1").expect(201);
    bench.kinetics("1").expect(200);
    JsonNode entries =
        bench
            .quality()
            .get("/api/v1/audit?subject=kinetics&code=" + bench.code() + "/1")
            .expect(200)
            .at("/items");
    assertThat(entries).hasSize(1);
    assertThat(entries.get(0).get("action").asString()).isEqualTo("created");
    assertThat(entries.get(0).get("detail").asString()).contains("laboratory report 17");
  }

  private static void assertQuantity(JsonNode view, String member, String value, String unit) {
    assertThat(view.at("/" + member + "/value").decimalValue())
        .as(member)
        .isEqualByComparingTo(value);
    assertThat(view.at("/" + member + "/unit").asString()).as(member).isEqualTo(unit);
  }
}
