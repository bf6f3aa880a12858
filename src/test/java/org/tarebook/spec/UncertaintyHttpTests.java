package org.tarebook.spec;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.ManualStudy;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;

@OnBothDatabases
class UncertaintyHttpTests {

  private static final String PATH = "/api/v1/measuring-uncertainties";
  private static final String FROM = "2026-01-01T00:00:00Z";

  private final RunningTarebook tarebook;
  private final ShopFloor floor;
  private final Client quality;

  UncertaintyHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.floor = new ShopFloor(tarebook, "kg");
    this.quality = tarebook.quality();
  }

  @Test
  void isRecordedSignedAndFoundAgain() {
    Answer made = quality.post(PATH, request("coverageFactor", 3)).expect(201);
    assertThat(made.at("/expandedUncertainty").asString()).isEqualTo("0.004");
    assertThat(made.at("/coverageFactor").asInt()).isEqualTo(3);
    assertThat(made.at("/unit").asString()).isEqualTo("kg");
    assertThat(made.at("/revision").asInt()).isEqualTo(1);
    assertThat(made.at("/person").asString()).startsWith("quality-");
    assertThat(made.at("/basis").asString()).isEqualTo("study of the week");
    assertThat(made.at("/fromStudy").asBoolean()).isFalse();
    assertThat(tarebook.reader().get(made.header("Location")).expect(200).json())
        .isEqualTo(made.json());
    Answer audit =
        quality
            .get(
                "/api/v1/audit?subject=measuring%20uncertainty&code="
                    + floor.station()
                    + "/"
                    + floor.mass()
                    + "/1")
            .expect(200);
    assertThat(audit.at("/items/0/action").asString()).isEqualTo("created");
  }

  @Test
  void areListedByStationAndCharacteristicPageByPage() {
    ShopFloor other = new ShopFloor(tarebook, "kg");
    quality.post(PATH, request()).expect(201);
    quality.post(PATH, request("validFrom", "2026-02-01T00:00:00Z")).expect(201);
    quality.post(PATH, request("station", other.station())).expect(201);
    quality.post(PATH, request("characteristic", other.mass())).expect(201);
    assertThat(list("?characteristic=" + floor.mass()).at("/items")).hasSize(3);
    assertThat(list("?station=" + floor.station()).at("/items")).hasSize(3);
    String both = "?station=" + floor.station() + "&characteristic=" + floor.mass();
    assertThat(list(both).at("/items")).hasSize(2);
    assertThat(list("?station=NO-SUCH").at("/items")).isEmpty();

    Answer first = list(both + "&limit=1");
    assertThat(first.at("/items/0/revision").asInt()).isEqualTo(1);
    Answer next = tarebook.reader().get(first.at("/next").asString()).expect(200);
    assertThat(next.at("/items/0/revision").asInt()).isEqualTo(2);
    assertThat(next.json().has("next")).isFalse();
    assertThat(
            tarebook
                .reader()
                .get(first.at("/next").asString().replace(floor.mass(), other.mass()))
                .expect(400)
                .problem())
        .isEqualTo("cursor-does-not-fit");
    assertThat(tarebook.reader().get(PATH + "/1").expect(404).problem()).isEqualTo("not-found");
  }

  @Test
  void aRetryIsTheSameFactAndOtherContentIsRefused() {
    String request = request("coverageFactor", 2);
    Answer first = quality.post(PATH, request).expect(201);
    Answer again = quality.post(PATH, request.replace("0.004", "0.0040")).expect(200);
    assertThat(again.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(again.json()).isEqualTo(first.json());
    assertThat(quality.post(PATH, request.replace(",\"coverageFactor\":2", "")).status())
        .isEqualTo(200);

    Answer other =
        quality.post(PATH, request.replace("0.004", "0.005").replace("of the week", "of the year"));
    assertThat(other.expect(422).problem()).isEqualTo("key-reused");
    assertThat(other.at("/errors").valueStream().map(e -> e.get("pointer").asString()))
        .containsExactly("/expandedUncertainty", "/basis");
    // Another person's key is another key.
    tarebook.quality().post(PATH, request.replace(FROM, "2026-02-01T00:00:00Z")).expect(201);
  }

  @Test
  void ofManySimultaneousPostsOfOneKeyOneIsRecorded() throws Exception {
    String request = request();
    ExecutorService threads = Executors.newFixedThreadPool(8);
    List<Integer> statuses = new ArrayList<>();
    try {
      List<Callable<Answer>> clients = new ArrayList<>();
      for (int i = 0; i < 8; i++) {
        clients.add(() -> quality.post(PATH, request));
      }
      for (Future<Answer> future : threads.invokeAll(clients)) {
        statuses.add(future.get().status());
      }
    } finally {
      threads.shutdownNow();
    }
    assertThat(statuses).containsOnly(200, 201).containsOnlyOnce(201);
    assertThat(list("?station=" + floor.station()).at("/items")).hasSize(1);
  }

  @Test
  void whatCannotHoldIsRefusedWithTheReason() {
    for (String member : new String[] {"expandedUncertainty", "coverageFactor"}) {
      for (Object wrong : new Object[] {0, -1}) {
        Answer refused = quality.post(PATH, request(member, wrong)).expect(400);
        assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("/" + member);
      }
    }
    quality.post(PATH, request("coverageFactor", 11)).expect(400);
    for (String member :
        new String[] {"key", "station", "characteristic", "unit", "validFrom", "basis"}) {
      Answer refused = quality.post(PATH, request(member, null)).expect(400);
      assertThat(refused.at("/errors/0/pointer").asString()).isEqualTo("/" + member);
    }
    assertThat(quality.post(PATH, request("station", "NO-SUCH")).expect(422).problem())
        .isEqualTo("unknown-code");
    assertThat(quality.post(PATH, request("characteristic", "NO-SUCH")).expect(422).problem())
        .isEqualTo("unknown-code");
    assertThat(quality.post(PATH, request("unit", "stone")).expect(422).problem())
        .isEqualTo("unknown-code");
    assertThat(quality.post(PATH, request("unit", "mm")).expect(422).problem())
        .isEqualTo("unit-mismatch");
    assertRefused(
        quality.post(PATH, request("expandedUncertainty", null)),
        "/expandedUncertainty",
        "one of the two");
    quality.post(PATH, request()).expect(201);
    assertRefused(quality.post(PATH, request()), "/validFrom", "overlaps revision 1");
    assertThat(list("?station=" + floor.station()).at("/items")).hasSize(1);
    assertThat(quality.post(PATH + "/1/withdrawal", json("reason", "r")).expect(404).problem())
        .isEqualTo("not-found");
  }

  /** AIAG, Measurement Systems Analysis, 4th ed. (2010): 2 times 0.3132174 is 0.6264, up 0.627. */
  @Test
  void isComputedFromAStudyAndKeepsItsReadings() {
    String study = "{\"parts\":" + ManualStudy.parts() + "}";
    String request =
        request("expandedUncertainty", null).replaceFirst("}$", ",\"study\":" + study + "}");
    Answer made = quality.post(PATH, request).expect(201);
    assertThat(made.at("/expandedUncertainty").asString()).isEqualTo("0.627");
    assertThat(made.at("/fromStudy").asBoolean()).isTrue();
    assertThat(made.at("/study/parts")).hasSize(10);
    assertThat(made.at("/study/parts/0/0/0").asString()).isEqualTo("0.29");
    Answer again = quality.post(PATH, request.replace("[0.29,", "[0.290,")).expect(200);
    assertThat(again.json()).isEqualTo(made.json());
    Answer other = quality.post(PATH, request.replace("[0.29,", "[0.28,")).expect(422);
    assertThat(other.at("/errors/0/pointer").asString()).isEqualTo("/study");
    Answer listed = list("?station=" + floor.station());
    assertThat(listed.at("/items/0/fromStudy").asBoolean()).isTrue();
    assertThat(listed.json().at("/items/0").has("study")).isFalse();
  }

  @Test
  void aStudyThatTellsNothingIsRefused() {
    assertRefused(
        study("[[[1.0,1.1],[1.0,1.2]],[[2.0,2.1],[2.0]]]"),
        "/study/parts/1/1/1",
        "part 2, operator 2, reading 2 is missing");
    assertRefused(study("[[[1,1]],[[2,2]]]"), "/study", "do not vary");
    assertThat(study("[[[1,1]]]").expect(400).at("/errors/0/pointer").asString())
        .isEqualTo("/study/parts");
    String both = request().replaceFirst("}$", ",\"study\":{\"parts\":[[[1,2]],[[1,2]]]}}");
    assertRefused(quality.post(PATH, both), "/expandedUncertainty", "one of the two");
  }

  @Test
  void guardBandsThatMeetAreRefusedFromBothSides() {
    specification("0.5", "2000-01-01T00:00:00Z").expect(201);
    assertRefused(
        quality.post(PATH, request("expandedUncertainty", 1)),
        "/expandedUncertainty",
        "leaves nothing to pass under specification revision 1: the guard band, 0.5 times 1 kg, is"
            + " 0.5 kg, and the tolerance from 5 to 6 kg");
    // 500 g are half the tolerance of 1 kg under a guard factor of 1, and refused there only.
    quality.post(PATH, request("expandedUncertainty", 500, "unit", "g")).expect(201);
    assertRefused(
        specification("1", "2026-06-01T00:00:00Z"), "/guardFactor", "leaves nothing to pass");
    specification("0.99", "2026-06-01T00:00:00Z").expect(201);
  }

  @Test
  void aRevisionThatIsOverOrWithdrawnHindersNothing() {
    specification("1", "2000-01-01T00:00:00Z").expect(201);
    specification("0.1", "2026-01-01T00:00:00Z").expect(201);
    Answer wide = quality.post(PATH, request("expandedUncertainty", 2)).expect(201);
    quality
        .post(PATH, request("expandedUncertainty", 0.1, "validFrom", "2026-05-01T00:00:00Z"))
        .expect(201);
    specification("2", "2026-05-01T00:00:00Z").expect(201);
    quality
        .post(PATH + "/" + wide.at("/id").asString() + "/withdrawal", json("reason", "wrong"))
        .expect(200);
    Answer read = tarebook.reader().get(PATH + "/" + wide.at("/id").asString()).expect(200);
    assertThat(read.at("/withdrawnReason").asString()).isEqualTo("wrong");
    assertThat(read.at("/withdrawnBy").asString()).startsWith("quality-");
  }

  private Answer specification(String factor, String from) {
    return floor.specification(
        floor.mass(),
        json(
            "validFrom",
            from,
            "lower",
            5,
            "upper",
            6,
            "unit",
            "kg",
            "comparison",
            "ABSOLUTE",
            "guardFactor",
            new BigDecimal(factor),
            "reason",
            "drawing"));
  }

  private Answer study(String parts) {
    return quality.post(
        PATH,
        request("expandedUncertainty", null)
            .replaceFirst("}$", ",\"study\":{\"parts\":" + parts + "}}"));
  }

  private Answer list(String query) {
    return tarebook.reader().get(PATH + query).expect(200);
  }

  /** A request with a fresh key; later pairs replace earlier ones, a null leaves out. */
  private String request(Object... more) {
    Object[] always = {
      "key",
      Codes.fresh("U"),
      "station",
      floor.station(),
      "characteristic",
      floor.mass(),
      "expandedUncertainty",
      new BigDecimal("0.004"),
      "unit",
      "kg",
      "validFrom",
      FROM,
      "basis",
      "study of the week"
    };
    Object[] pairs = new Object[always.length + more.length];
    System.arraycopy(always, 0, pairs, 0, always.length);
    System.arraycopy(more, 0, pairs, always.length, more.length);
    return json(pairs);
  }

  private static void assertRefused(Answer answer, String pointer, String words) {
    assertThat(answer.expect(422).problem()).isEqualTo("rule-broken");
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words);
  }
}
