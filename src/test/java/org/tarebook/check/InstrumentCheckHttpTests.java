package org.tarebook.check;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.StreamSupport;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.ReferenceTable;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** Instrument checks on the wire: answers, refusals, retries, lists. */
@OnBothDatabases
class InstrumentCheckHttpTests {

  private static final String AT = "2026-03-02T06:00:00Z";
  private static final String GOOD = "'asFound':[10.000]";
  private static final String TEN_GRAMS = "'permissibleError':0.010,'permissibleErrorUnit':'kg'";

  private final RunningTarebook tarebook;
  private CheckBench bench;

  InstrumentCheckHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @BeforeEach
  void startAnew() {
    tarebook.clock().set("2026-03-02T20:00:00Z");
    bench = CheckBench.withPlannedScale(tarebook, TEN_GRAMS);
  }

  @Test
  void answersWithErrorsLimitAndResults() {
    Answer answer =
        bench
            .check("1", AT, "'asFound':[10.015,10.010],'asLeft':[10.000],'note':'after a move'")
            .expect(201);
    JsonNode check = answer.json();
    assertThat(answer.header("Location"))
        .isEqualTo("/api/v1/instrument-checks/" + check.get("id").asString());
    assertThat(check.get("instrument").asString()).isEqualTo(bench.fill("I-#"));
    assertThat(check.get("postedBy").asString()).isEqualTo(bench.fill("S-#"));
    assertThat(check.get("recordedAt").asString()).isEqualTo("2026-03-02T20:00:00Z");
    assertThat(numbers(check.at("/asFound/indications"))).containsExactly("10.015", "10.010");
    assertThat(numbers(check.at("/asFound/errors"))).containsExactly("0.0148", "0.0098");
    assertThat(check.at("/asFound/meanError").decimalValue()).isEqualByComparingTo("0.0123");
    assertThat(check.get("indicationUnit").asString()).isEqualTo("kg");
    assertThat(check.get("asFoundResult").asString()).isEqualTo("FAIL");
    assertThat(check.get("asLeftResult").asString()).isEqualTo("PASS");
    assertThat(check.get("limit").decimalValue()).isEqualByComparingTo("0.01");
    assertThat(check.get("limitUnit").asString()).isEqualTo("kg");
    assertThat(check.get("limitFrom").asString()).isEqualTo(bench.fill("control plan P-#"));
    assertThat(check.get("note").asString()).isEqualTo("after a move");
    assertThat(check.get("suspectReadings").asLong()).isZero();
  }

  @Test
  void answersARetryWithTheStoredCheckAndNumbersByValue() {
    Answer first = bench.check("1", AT, "'asFound':[4.385]");
    Answer retry =
        bench
            .check(
                "1",
                "2026-03-02T07:00:00+01:00",
                "'standardValue':10.00020,'unit':'kg','asFound':[4.3850],'onVerification':false",
                bench.station())
            .expect(200);
    assertThat(first.header("Idempotent-Replayed")).isEmpty();
    assertThat(retry.header("Idempotent-Replayed")).isEqualTo("true");
    assertThat(retry.json()).isEqualTo(first.json());
    Answer shown =
        bench.read("/api/v1/instrument-checks/" + first.at("/id").asString()).expect(200);
    assertThat(shown.json()).isEqualTo(retry.json());
  }

  @Test
  void refusesAKeyUsedForAnotherCheckAndNamesWhatDiffers() {
    bench.instrument("J-#", "'kind':'SCALE','unit':'kg'");
    bench.check("1", AT, GOOD).expect(201);
    Answer refused =
        bench.post(
            "{'key':'1','instrument':'J-#','checkedAt':'2026-03-02T06:00:01Z','standard':'weight B',"
                + "'certificate':'C-2','standardValue':10.0001,'unit':'g','asFound':[10.001],"
                + "'asLeft':[10.0],'onVerification':true,'note':'x'}",
            bench.station());
    assertThat(refused.status()).isEqualTo(422);
    assertThat(refused.problem()).isEqualTo("key-reused");
    assertThat(pointers(refused))
        .containsExactly(
            "/instrument",
            "/checkedAt",
            "/standard",
            "/certificate",
            "/standardValue",
            "/unit",
            "/asFound",
            "/asLeft",
            "/onVerification",
            "/note");
    assertThat(refused.at("/errors/4/detail").asString())
        .isEqualTo("is 10.0001 here and 10.0002 in the stored check");
    assertThat(refused.at("/detail").asString()).contains("differs in instrument, checkedAt");
  }

  @Test
  void keepsTheKeysOfPostersApart() {
    bench.check("1", AT, GOOD).expect(201);
    bench
        .check("1", AT, "'standardValue':10.0002,'unit':'kg'," + GOOD, tarebook.quality())
        .expect(201);
  }

  /** OIML R 76-1:2006, Table 6, in service twice the initial values. */
  @Test
  void takesTheLimitOfAScaleFromItsClassAndLoad() {
    List<Map<String, String>> rows = ReferenceTable.read("trade/weigh_mpe.csv");
    assertThat(rows).isNotEmpty();
    for (Map<String, String> row : rows) {
      CheckBench scale =
          new CheckBench(
              tarebook,
              "'kind':'SCALE','unit':'g','capacity':%s,'verificationInterval':%s,'accuracyClass':'%s'"
                  .formatted(row.get("Max_g"), row.get("e_g"), row.get("class")));
      String load = row.get("load_g");
      String members = "'standardValue':" + load + ",'unit':'g','asFound':[" + load + "]";
      Answer inService = scale.check("1", AT, members, scale.station()).expect(201);
      assertThat(inService.at("/limit").decimalValue())
          .as("%s", row)
          .isEqualByComparingTo(row.get("mpe_in_service_g"));
      assertThat(inService.at("/limitFrom").asString())
          .isEqualTo("OIML R 76 class " + row.get("class") + " in service");
      Answer initial =
          scale.check("2", AT, members + ",'onVerification':true", scale.station()).expect(201);
      assertThat(initial.at("/limit").decimalValue())
          .as("%s", row)
          .isEqualByComparingTo(row.get("mpe_initial_g"));
      assertThat(initial.at("/limitFrom").asString())
          .isEqualTo("OIML R 76 class " + row.get("class") + " on verification");
    }
  }

  @Test
  void takesTheSmallerOfControlPlanAndClass() {
    bench =
        new CheckBench(
            tarebook,
            "'kind':'SCALE','unit':'kg','capacity':15,'verificationInterval':0.005,'accuracyClass':'III'");
    bench.planRow("P-#", "kg", "'permissibleError':20,'permissibleErrorUnit':'g'");
    // 2 kg are 400 e: 0.5 e on verification, e in service; 10.0002 kg are just above 2000 e
    assertLimit("1", "'standardValue':2,'unit':'kg'", "0.005", "OIML R 76 class III in service");
    assertLimit("2", "'standardValue':10,'unit':'kg'", "0.01", "OIML R 76 class III in service");
    assertLimit(
        "3", "'standardValue':10.0002,'unit':'kg'", "0.015", "OIML R 76 class III in service");
    bench.planRow("Q-#", "kg", "'permissibleError':12,'permissibleErrorUnit':'g'");
    assertLimit("4", "'standardValue':10000.2,'unit':'g'", "12", "control plan Q-#");
    assertLimit(
        "5",
        "'standardValue':10000.2,'unit':'g','onVerification':true",
        "0.0075",
        "OIML R 76 class III on verification");
    bench.planRow("R-#", "mm", "'permissibleError':0.1,'permissibleErrorUnit':'mm'");
    assertLimit("6", "'standardValue':10000.2,'unit':'g'", "12", "control plan Q-#");
  }

  @Test
  void saysWhereALimitCanBeGivenWhenThereIsNone() {
    CheckBench plain = new CheckBench(tarebook, "'kind':'GAUGE','unit':'mm'");
    plain.planRow("P-#", "kg", TEN_GRAMS);
    Answer refused =
        plain.check("1", AT, "'standardValue':5,'unit':'mm','asFound':[5.00]", plain.station());
    assertRefused(refused, 422, "rule-broken", "/instrument", "permissibleError");
    assertThat(refused.at("/errors/0/detail").asString()).contains("measured in length");
  }

  @Test
  void refusesAVerificationOfAnInstrumentWithoutAClass() {
    assertRefused(
        bench.check("1", AT, GOOD + ",'onVerification':true"),
        422,
        "rule-broken",
        "/onVerification",
        "accuracyClass");
  }

  @Test
  void refusesALoadTheScaleCannotCarry() {
    CheckBench scale =
        new CheckBench(
            tarebook,
            "'kind':'SCALE','unit':'kg','capacity':15,'verificationInterval':0.005,'accuracyClass':'III'");
    assertRefused(
        scale.check("1", AT, "'standardValue':15000.001,'unit':'g'," + GOOD, scale.station()),
        422,
        "rule-broken",
        "/standardValue",
        "above Max");
    assertRefused(
        scale.check("1", AT, "'standardValue':-1,'unit':'kg'," + GOOD, scale.station()),
        422,
        "rule-broken",
        "/standardValue",
        "0 or more");
    scale
        .check("1", AT, "'standardValue':0,'unit':'kg','asFound':[0.000]", scale.station())
        .expect(201);
  }

  @Test
  void letsAStationPostForItsOwnInstrumentsOnly() {
    CheckBench other = CheckBench.withPlannedScale(tarebook, TEN_GRAMS);
    String members = "'standardValue':10.0002,'unit':'kg'," + GOOD;
    Answer refused = bench.check("1", AT, members, other.station());
    assertRefused(refused, 403, "not-allowed", "/instrument", bench.fill("S-#"));
    bench.check("1", AT, members, bench.station()).expect(201);
    bench.check("1", AT, members, tarebook.quality()).expect(201);
  }

  @Test
  void refusesAMomentAheadOfTheServersClockButNoLateOne() {
    bench.check("1", "2026-03-02T20:02:00Z", GOOD).expect(201);
    assertRefused(
        bench.check("2", "2026-03-02T20:02:00.000001Z", GOOD),
        422,
        "rule-broken",
        "/checkedAt",
        "PT2M ahead");
    bench.check("3", "2020-01-01T00:00:00Z", GOOD).expect(201);
  }

  @Test
  void refusesWhatCannotBeUnderstoodWithThePlace() {
    String rest = "'standardValue':10,'unit':'kg',";
    Map<String, String> faults =
        Map.of(
            "'key':'1','instrument':'I-#','checkedAt':'%s',%s'note':'x'", "/asFound",
            "'key':'a b','instrument':'I-#','checkedAt':'%s',%s'asFound':[1]", "/key",
            "'key':'1','instrument':'I-#','checkedAt':'%s',%s'asFound':[]", "/asFound",
            "'key':'1','instrument':'I-#','checkedAt':'%s',%s'asFound':[1],'asLeft':[null]",
                "/asLeft/0",
            "'key':'1','instrument':'I-#','checkedAt':'%s',%s'asFound':['1,5']", "/asFound/0",
            "'key':'1','instrument':'I-#','checkedAt':'%s',%s'asFound':[1],'asLeave':[1]",
                "/asLeave");
    faults.forEach(
        (members, pointer) -> {
          String body =
              "{'standard':'weight A','certificate':'C-1'," + members.formatted(AT, rest) + "}";
          assertRefused(bench.post(body, bench.station()), 400, "invalid-request", pointer, "");
        });
    String twentyOne = "1,".repeat(20) + "1";
    assertRefused(
        bench.check("1", AT, "'asFound':[" + twentyOne + "]"),
        400,
        "invalid-request",
        "/asFound",
        "20");
  }

  @Test
  void refusesUnknownInstrumentsAndUnits() {
    String members = ",'standard':'weight A','certificate':'C-1','standardValue':10," + GOOD + "}";
    String start = "{'key':'1','checkedAt':'" + AT + "',";
    assertRefused(
        bench.post(start + "'instrument':'NONE','unit':'kg'" + members, bench.station()),
        422,
        "unknown-code",
        "/instrument",
        "NONE");
    assertRefused(
        bench.post(start + "'instrument':'I-#','unit':'KG'" + members, bench.station()),
        422,
        "unknown-code",
        "/unit",
        "'kg'");
    assertRefused(
        bench.post(start + "'instrument':'I-#','unit':'mm'" + members, bench.station()),
        422,
        "unit-mismatch",
        "/unit",
        "mass");
    assertThat(bench.read("/api/v1/instrument-checks/999999999999").problem())
        .isEqualTo("not-found");
    assertThat(bench.read("/api/v1/instruments/NONE/standing").problem()).isEqualTo("not-found");
    assertThat(bench.read("/api/v1/instrument-checks?instrument=NONE").problem())
        .isEqualTo("unknown-code");
  }

  @Test
  void keepsTwentyOfTheLongestIndications() {
    String longest = "-987654321.123456789";
    Answer answer =
        bench
            .check("1", AT, "'asFound':[" + (longest + ",").repeat(19) + longest + "]")
            .expect(201);
    assertThat(numbers(answer.at("/asFound/indications"))).hasSize(20).containsOnly(longest);
  }

  @Test
  void listsTheNewestFirstPageByPage() {
    CheckBench other = CheckBench.withPlannedScale(tarebook, TEN_GRAMS);
    other.check("x", "2026-03-02T08:00:00Z", GOOD).expect(201);
    bench.check("a", "2026-03-02T06:00:00Z", GOOD).expect(201);
    bench.check("b", "2026-03-02T09:00:00Z", GOOD).expect(201);
    bench.check("c", "2026-03-02T09:00:00Z", GOOD).expect(201);
    tarebook.clock().set("2026-03-02T20:00:01Z");
    bench.check("d", "2026-03-02T10:00:00Z", GOOD).expect(201);
    bench.check("e", "2026-03-02T07:00:00Z", GOOD).expect(201);
    String address = "/api/v1/instrument-checks?instrument=I-#&limit=2";
    assertThat(allKeys(address)).containsExactly("d", "c", "b", "e", "a");
    String window = "&checkedFrom=2026-03-02T07:00:00Z&checkedBefore=2026-03-02T10:00:00Z";
    assertThat(allKeys(address + window)).containsExactly("c", "b", "e");
    String late = "=2026-03-02T20:00:01Z";
    assertThat(allKeys(address + "&recordedFrom" + late)).containsExactly("d", "e");
    assertThat(allKeys(address + "&recordedBefore" + late)).containsExactly("c", "b", "a");
    assertThat(allKeys(bench.fill("/api/v1/instrument-checks?limit=1000"))).contains("x", "a");
    String next = bench.read(address).at("/next").asString();
    assertThat(bench.read(next.replace(bench.fill("I-#"), other.fill("I-#"))).problem())
        .isEqualTo("cursor-does-not-fit");
  }

  @Test
  void tellsHowAnInstrumentStands() {
    bench = CheckBench.withPlannedScale(tarebook, TEN_GRAMS + ",'checkEveryMinutes':480");
    assertStanding("UNCHECKED", "checkEvery", "PT8H");
    assertThat(standing().at("/nextDue").isMissingNode()).isTrue();
    bench.check("1", "2026-03-02T13:00:00Z", GOOD);
    assertStanding("IN_ORDER", "lastGoodCheck", "2026-03-02T13:00:00Z");
    assertStanding("IN_ORDER", "nextDue", "2026-03-02T21:00:00Z");
    assertThat(standing().at("/overdueSince").isMissingNode()).isTrue();

    tarebook.clock().set("2026-03-02T21:00:00Z");
    assertStanding("OVERDUE", "overdueSince", "2026-03-02T21:00:00Z");

    bench.check("2", "2026-03-02T20:30:00Z", "'asFound':[10.1]");
    assertStanding("FAILED", "failedSince", "2026-03-02T20:30:00Z");
    assertStanding("FAILED", "lastGoodCheck", "2026-03-02T13:00:00Z");

    bench.check("3", "2026-03-02T20:45:00Z", "'asFound':[10.1],'asLeft':[10]");
    assertStanding("IN_ORDER", "nextDue", "2026-03-03T04:45:00Z");
    assertThat(standing().at("/failedSince").isMissingNode()).isTrue();
  }

  private void assertLimit(String key, String standard, String limit, String from) {
    Answer answer = bench.check(key, AT, standard + "," + GOOD, bench.station()).expect(201);
    assertThat(answer.at("/limit").decimalValue()).isEqualByComparingTo(limit);
    assertThat(answer.at("/limitFrom").asString()).isEqualTo(bench.fill(from));
  }

  private static void assertRefused(
      Answer answer, int status, String problem, String pointer, String words) {
    assertThat(answer.status()).as(answer.text()).isEqualTo(status);
    assertThat(answer.problem()).isEqualTo(problem);
    assertThat(pointers(answer)).as(answer.text()).containsExactly(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words).isNotBlank();
  }

  private JsonNode standing() {
    return bench.read("/api/v1/instruments/I-#/standing").expect(200).json();
  }

  private void assertStanding(String standing, String member, String value) {
    JsonNode shown = standing();
    assertThat(shown.get("standing").asString()).isEqualTo(standing);
    assertThat(shown.get(member).asString()).isEqualTo(value);
    assertThat(shown.get("summary").asString()).isNotBlank();
  }

  private List<String> allKeys(String address) {
    List<String> keys = new ArrayList<>();
    String next = address;
    while (next != null) {
      JsonNode page = bench.read(next).expect(200).json();
      page.get("items").forEach(item -> keys.add(item.get("key").asString()));
      next = page.has("next") ? page.get("next").asString() : null;
    }
    return keys;
  }

  private static List<String> pointers(Answer answer) {
    return StreamSupport.stream(answer.at("/errors").spliterator(), false)
        .map(fault -> fault.get("pointer").asString())
        .toList();
  }

  private static List<String> numbers(JsonNode array) {
    return StreamSupport.stream(array.spliterator(), false)
        .map(JsonNode::decimalValue)
        .map(BigDecimal::toPlainString)
        .toList();
  }
}
