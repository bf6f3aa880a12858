package org.tarebook.compound;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.compound.CompoundBench.pointers;

import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.Reference;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Cure-meter curves on the wire: figures, retries, refusals, lists. */
@OnBothDatabases
class CureMeterCurveHttpTests {

  private static final Map<String, String> FIGURES =
      Map.of(
          "ml", "ML",
          "mh", "MH",
          "ts1", "ts1",
          "ts2", "ts2",
          "tc10", "tc10",
          "tc50", "tc50",
          "tc90", "tc90",
          "reversion", "reversion_percent_at_end");

  private final RunningTarebook tarebook;
  private CompoundBench bench;

  CureMeterCurveHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-02T20:00:00Z");
    bench = new CompoundBench(tarebook);
  }

  /** Definitions of ISO 6502 and ASTM D5289, crossings straight between points; mpmath. */
  @Test
  void findsTheFiguresOfTheTable() {
    JsonNode cases = Reference.json("trade/cure_meter.json").get("cases");
    assertThat(cases).isNotEmpty();
    for (JsonNode each : cases) {
      JsonNode view =
          bench
              .curve(
                  each.get("id").asString(),
                  "time",
                  series(texts(each.get("t_min")), "min"),
                  "torque",
                  series(texts(each.get("torque_dNm")), "dN.m"))
              .expect(201)
              .json();
      FIGURES.forEach(
          (member, column) -> {
            JsonNode figure = view.get(member);
            assertThat(figure.get("value").asDouble())
                .as(each.get("id") + " " + member)
                .isCloseTo(Double.parseDouble(each.get(column).asString()), within(1e-9));
            assertThat(figure.get("unit").asString())
                .isEqualTo(
                    member.startsWith("m") ? "dN.m" : member.equals("reversion") ? "%" : "min");
          });
      assertThat(view.get("notComputed")).isEmpty();
      assertThat(view.get("marching").asBoolean())
          .isEqualTo(
              each.get("t_MH")
                  .asString()
                  .equals(each.get("t_min").get(each.get("t_min").size() - 1).asString()));
    }
  }

  @Test
  void answersWithThePointsAsShown() {
    Answer answer = bench.curve("1").expect(201);
    JsonNode view = answer.json();
    String id = view.get("id").asString();
    assertThat(answer.header("Location")).isEqualTo(bench.path("cure-meter-curves/" + id));
    assertThat(answer.text()).contains("[0,1.00,11]").contains("[5,1.0,11]");
    assertThat(view.get("compound").asString()).isEqualTo(bench.code());
    assertThat(view.get("lot").asString()).isEqualTo("B-1");
    assertThat(view.get("measuredAt").asString()).isEqualTo("2026-03-02T06:00:00Z");
    assertThat(view.get("recordedAt").asString()).isEqualTo("2026-03-02T20:00:00Z");
    Answer shown = bench.quality().get(bench.path("cure-meter-curves/" + id)).expect(200);
    assertThat(shown.json()).isEqualTo(view);
    assertThat(shown.text()).contains("[0,1.00,11]").contains("[5,1.0,11]");
  }

  @Test
  void findsTheSameFiguresInOtherUnits() {
    JsonNode view =
        bench
            .curve(
                "1",
                "temperature",
                "{'value':302,'unit':'[degF]'}",
                "time",
                "{'values':[0,60,660],'unit':'s'}",
                "torque",
                "{'values':[0.5,0.1,1.1],'unit':'N.m'}")
            .expect(201)
            .json();
    assertThat(view.at("/ml/value").asDouble()).isCloseTo(1, within(1e-12));
    assertThat(view.at("/mh/value").asDouble()).isCloseTo(11, within(1e-12));
    assertThat(view.at("/ts2/value").asDouble()).isCloseTo(3, within(1e-12));
    assertThat(view.at("/tc90/value").asDouble()).isCloseTo(10, within(1e-12));
    assertThat(view.at("/temperature/unit").asString()).isEqualTo("[degF]");
  }

  @Test
  void saysWhyAFigureDoesNotExist() {
    JsonNode falling =
        bench.curve("1", "torque", "{'values':[5,4,3],'unit':'dN.m'}").expect(201).json();
    assertThat(falling.at("/ml/value").asInt()).isEqualTo(3);
    List<String> missing = List.of("mh", "ts1", "ts2", "tc10", "tc50", "tc90", "reversion");
    assertThat(falling.get("notComputed"))
        .extracting(each -> each.get("figure").asString())
        .containsExactlyElementsOf(missing);
    assertThat(falling.get("notComputed"))
        .allSatisfy(each -> assertThat(each.get("reason").asString()).isEqualTo("NO_RISE"));
    missing.forEach(figure -> assertThat(falling.has(figure)).as(figure).isFalse());
    JsonNode soft =
        bench.curve("2", "torque", "{'values':[2,1,2.5],'unit':'dN.m'}").expect(201).json();
    assertThat(soft.has("ts1")).isTrue();
    assertThat(soft.has("ts2")).isFalse();
    assertThat(soft.has("tc90")).isTrue();
    assertThat(soft.get("notComputed")).hasSize(1);
    assertThat(soft.at("/notComputed/0/figure").asString()).isEqualTo("ts2");
    assertThat(soft.at("/notComputed/0/reason").asString()).isEqualTo("RISE_TOO_SMALL");
    assertThat(soft.at("/notComputed/0/words").asString()).contains("1.5");
  }

  @Test
  void answersARetryWithTheStoredCurveAndRefusesOtherContent() {
    JsonNode first = bench.curve("1").expect(201).json();
    Answer retry = bench.curve("1", "torque", "{'values':[5.00,1,11.0],'unit':'dN.m'}").expect(200);
    assertThat(retry.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(retry.json()).isEqualTo(first);
    Answer refused =
        bench.curve(
            "1",
            "temperature",
            "{'value':151,'unit':'Cel'}",
            "time",
            "{'values':[0,1.1,11],'unit':'s'}",
            "torque",
            "{'values':[5,1,12],'unit':'N.m'}",
            "lot",
            "'B-2'",
            "measuredAt",
            "'2026-03-02T06:00:01Z'",
            "source",
            "'cure meter 3'");
    assertThat(refused.expect(422).problem()).isEqualTo("key-reused");
    assertThat(pointers(refused))
        .containsExactly(
            "/temperature",
            "/time/values",
            "/time/unit",
            "/torque/values",
            "/torque/unit",
            "/lot",
            "/measuredAt",
            "/source");
    CompoundBench other = new CompoundBench(tarebook);
    Answer elsewhere =
        bench.quality().post(other.path("cure-meter-curves"), CompoundBench.curveBody("1"));
    assertThat(elsewhere.expect(422).problem()).isEqualTo("key-reused");
    assertThat(pointers(elsewhere)).containsExactly("/compound");
  }

  @ParameterizedTest
  @CsvSource(
      quoteCharacter = '|',
      delimiter = ';',
      value = {
        "time; {'values':[0,1,1.0],'unit':'min'}; 422; /time/values/2; not behind 1",
        "time; {'values':[0,2,1],'unit':'min'}; 422; /time/values/2; order of time",
        "time; {'values':[-1,0,1],'unit':'min'}; 422; /time/values/0; below 0",
        "time; {'values':[0,1],'unit':'min'}; 400; /time/values; 3",
        "time; {'values':[0,1,'two'],'unit':'min'}; 400; /time/values/2; not a decimal",
        "time; {'values':[0,1,2],'unit':'dN.m'}; 422; /time/unit; unit of energy or torque",
        "torque; {'values':[5,1,11,12],'unit':'dN.m'}; 422; /torque/values; 4 values for 3 times",
        "torque; {'values':[5,1,null],'unit':'dN.m'}; 400; /torque/values/2; leave it out",
        "torque; {'values':[5,1,11],'unit':'N'}; 422; /torque/unit; unit of force",
        "temperature; {'value':301,'unit':'Cel'}; 422; /temperature/value; 0 to 300 Cel",
        "temperature; 150; 400; /temperature; object",
        "lot; ''; 400; /lot; blank",
        "source; ' '; 400; /source; blank",
        "key; 'a b'; 400; /key; ASCII",
        "measuredAt; '2026-03-02T20:02:00.000001Z'; 422; /measuredAt; PT2M ahead",
        "measuredAt; '2026-03-02T06:00:00'; 400; /measuredAt; offset"
      })
  void refuses(String member, String json, int status, String pointer, String words) {
    Answer refused = bench.curve("1", member, json).expect(status);
    assertThat(refused.problem()).isIn("invalid-request", "rule-broken", "unit-mismatch");
    assertThat(pointers(refused)).containsExactly(pointer);
    assertThat(refused.at("/errors/0/detail").asString()).contains(words);
    assertThat(bench.quality().get(bench.path("cure-meter-curves")).at("/items")).isEmpty();
  }

  @Test
  void takesFiveThousandPointsAndNotOneMore() {
    String times = whole(5000);
    JsonNode view =
        bench
            .curve(
                "1",
                "time",
                "{'values':" + times + ",'unit':'s'}",
                "torque",
                "{'values':" + times + ",'unit':'dN.m'}")
            .expect(201)
            .json();
    assertThat(view.at("/torque/values")).hasSize(5000);
    assertThat(view.at("/ts1/value").asDouble()).isCloseTo(1 / 60.0, within(1e-12));
    Answer refused = bench.curve("2", "time", "{'values':" + whole(5001) + ",'unit':'s'}");
    assertThat(refused.expect(400).problem()).isEqualTo("invalid-request");
    assertThat(pointers(refused)).containsExactly("/time/values");
  }

  @Test
  void listsTheNewestFirstWithoutPoints() {
    for (int hour = 1; hour <= 5; hour++) {
      bench.curve("h" + hour, "measuredAt", "'2026-03-02T0" + hour / 2 + ":00:00Z'").expect(201);
    }
    Answer first = bench.quality().get(bench.path("cure-meter-curves?limit=2")).expect(200);
    assertThat(first.at("/items"))
        .extracting(CureMeterCurveHttpTests::key)
        .containsExactly("h5", "h4");
    assertThat(first.at("/items/0").has("time")).isFalse();
    assertThat(first.at("/items/0").has("tc90")).isTrue();
    Answer second = bench.quality().get(first.at("/next").asString()).expect(200);
    assertThat(second.at("/items"))
        .extracting(CureMeterCurveHttpTests::key)
        .containsExactly("h3", "h2");
    Answer third = bench.quality().get(second.at("/next").asString()).expect(200);
    assertThat(third.at("/items")).extracting(CureMeterCurveHttpTests::key).containsExactly("h1");
    assertThat(third.json().has("next")).isFalse();
    String cursor = first.at("/next").asString().replaceFirst(".*cursor=", "");
    Answer elsewhere =
        bench.quality().get(new CompoundBench(tarebook).path("cure-meter-curves?cursor=" + cursor));
    assertThat(elsewhere.expect(400).problem()).isEqualTo("cursor-does-not-fit");
  }

  @Test
  void showsACurveUnderItsOwnCompoundOnly() {
    String id = bench.curve("1").expect(201).at("/id").asString();
    CompoundBench other = new CompoundBench(tarebook);
    assertThat(bench.quality().get(other.path("cure-meter-curves/" + id)).status()).isEqualTo(404);
    assertThat(bench.quality().get(bench.path("cure-meter-curves/1")).status()).isEqualTo(404);
  }

  private static String key(JsonNode item) {
    return item.get("key").asString();
  }

  private static String whole(int count) {
    return IntStream.range(0, count)
        .mapToObj(String::valueOf)
        .collect(Collectors.joining(",", "[", "]"));
  }

  private static String series(List<String> values, String unit) {
    return "{'values':" + values + ",'unit':'" + unit + "'}";
  }

  private static List<String> texts(JsonNode list) {
    return list.valueStream().map(JsonNode::asString).toList();
  }
}
