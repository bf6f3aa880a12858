package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.rejects.Works.Draft;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** Two reject rates held against each other, and the yield of several steps, on the wire. */
@OnBothDatabases
class RejectComparisonHttpTests {

  private static final long DAY = 86_400;
  private static final Map<Vendor, Works> STARTED = new EnumMap<>(Vendor.class);
  private static long keys = 0;

  private final Works works;

  RejectComparisonHttpTests(Vendor vendor) {
    works = STARTED.computeIfAbsent(vendor, Works::start);
  }

  @AfterAll
  static void stop() {
    STARTED.values().forEach(Works::close);
  }

  private void judge(String station, Instant at, int rejected, int judged) {
    List<Draft> drafts = new ArrayList<>();
    for (int i = 0; i < judged; i++) {
      drafts.add(
          new Draft("K" + ++keys, at.plusSeconds(i))
              .station(station)
              .die(station.equals("T1-W1") ? "D1" : "D2")
              .value("A-MASS", i < rejected ? "25" : "15"));
    }
    works.record(drafts);
  }

  private Answer compare(String query) {
    return works.tarebook().reader().get("/api/v1/reject-rates/comparison?" + query);
  }

  private static String window(String from, int days) {
    Instant start = Instant.parse(from).minusSeconds(3600);
    return "measuredFrom=%s&measuredBefore=%s".formatted(start, start.plusSeconds(days * DAY));
  }

  private static void close(JsonNode figure, double wanted, double tolerance) {
    assertThat(figure.asDouble()).isCloseTo(wanted, within(tolerance));
  }

  @Test
  void twoLinesOfAWindowAreCompared() {
    Instant at = Instant.parse("2027-01-06T10:00:00Z");
    judge("T1-W1", at, 56, 70);
    judge("T2-W1", at, 48, 80);
    String window = window("2027-01-06T10:00:00Z", 1);
    JsonNode found = compare(window + "&by=LINE&first=T1&second=T2").expect(200).json();
    assertThat(found.at("/first/name").asString()).isEqualTo("T1");
    assertThat(found.at("/second/judged").asInt()).isEqualTo(80);
    JsonNode firstPass = found.get("firstPass");
    close(firstPass.get("difference"), 0.2, 1e-15);
    // Newcombe, Statistics in Medicine 17 (1998) 873-890, table II, method 10.
    close(firstPass.at("/interval/lower"), 0.0524, 5e-5);
    close(firstPass.at("/interval/upper"), 0.3339, 5e-5);
    close(firstPass.get("ratio"), 4.0 / 3, 1e-14);
    assertThat(firstPass.at("/ratioInterval/lower").asDouble()).isBetween(1.0, 4.0 / 3);
    assertThat(firstPass.at("/notComputed/0/figure").asString()).isEqualTo("betweenShifts");
    assertThat(firstPass.at("/notComputed/0/reason").asString()).isEqualTo("TOO_FEW");
    JsonNode swapped = compare(window + "&by=STATION&first=T2-W1&second=T1-W1").expect(200).json();
    close(swapped.at("/firstPass/difference"), -0.2, 1e-15);
    close(
        swapped.at("/firstPass/ratioInterval/upper"),
        1 / firstPass.at("/ratioInterval/lower").asDouble(),
        1e-12);
    assertThat(
            compare(window + "&by=DIE&first=D1&second=D2").expect(200).at("/firstPass").toString())
        .isEqualTo(firstPass.toString());
  }

  @Test
  void fewItemsAreComparedExactly() {
    Instant at = Instant.parse("2027-02-06T10:00:00Z");
    judge("T1-W1", at, 10, 13);
    judge("T2-W1", at, 2, 17);
    JsonNode found =
        compare(window("2027-02-06T10:00:00Z", 1) + "&by=LINE&first=T1&second=T2")
            .expect(200)
            .json();
    // The table of Fisher's criminal twins; two-sided 0.0005367 in the manual of R, fisher.test.
    close(found.at("/finalRate/exactP"), 0.0005367, 5e-8);
    assertThat(found.at("/finalRate/words").asString()).contains("differ by more than chance");
  }

  @Test
  void spreadBetweenShiftsIsAllowedFor() {
    Instant at = Instant.parse("2027-03-06T10:00:00Z");
    judge("T1-W1", at, 2, 20);
    judge("T1-W1", at.plusSeconds(DAY), 8, 20);
    judge("T2-W1", at, 10, 20);
    judge("T2-W1", at.plusSeconds(DAY), 4, 20);
    JsonNode between =
        compare(window("2027-03-06T10:00:00Z", 2) + "&by=LINE&first=T1&second=T2")
            .expect(200)
            .at("/firstPass/betweenShifts");
    // By hand: chi-square 2 x 9 / 3.75 + 2 x 9 / 4.55 over 2; F = (0.01 / 0.0105) / dispersion.
    double dispersion = (18 / 3.75 + 18 / 4.55) / 2;
    close(between.get("dispersion"), dispersion, 1e-12);
    close(between.get("degreesOfFreedom"), 2, 0);
    double t = Math.sqrt(0.01 / 0.0105 / dispersion);
    close(between.get("p"), 1 - t / Math.sqrt(t * t + 2), 1e-12);
    assertThat(between.at("/interval/lower").asDouble()).isLessThan(-0.1);
    assertThat(between.at("/interval/upper").asDouble()).isGreaterThan(-0.1);
  }

  @Test
  void twoWindowsAreCompared() {
    judge("T1-W1", Instant.parse("2027-04-06T10:00:00Z"), 4, 20);
    judge("T1-W1", Instant.parse("2027-04-08T10:00:00Z"), 0, 20);
    String windows =
        window("2027-04-06T10:00:00Z", 1)
            + "&line=T1&secondFrom=2027-04-08T04:00:00Z&secondBefore=2027-04-09T04:00:00Z";
    JsonNode found = compare(windows).expect(200).json();
    assertThat(found.at("/second/measuredFrom").asString()).isEqualTo("2027-04-08T04:00:00Z");
    assertThat(found.at("/second").has("name")).isFalse();
    close(found.at("/firstPass/difference"), 0.2, 1e-15);
    assertThat(found.at("/firstPass").has("ratio")).isFalse();
    assertThat(found.at("/firstPass/notComputed/0/reason").asString())
        .isEqualTo("NOTHING_REJECTED");
    JsonNode none = compare(windows + "&station=T1-W2").expect(200).json();
    assertThat(none.at("/firstPass/notComputed/0/reason").asString()).isEqualTo("NOTHING_JUDGED");
    assertThat(none.at("/firstPass").has("p")).isFalse();
  }

  private void refused(String more, int status, String pointer, String words) {
    Answer answer = compare(window("2027-01-06T10:00:00Z", 1) + more).expect(status);
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words);
  }

  @Test
  void whatIsNoComparisonIsRefused() {
    refused("", 422, "by", "either by, first and second, or secondFrom");
    refused("&by=LINE&first=T1", 422, "second", "is needed");
    refused("&by=LINE&second=T1", 422, "first", "is needed");
    refused("&first=T1&second=T2", 422, "by", "is needed");
    refused("&by=LINE&first=T1&second=T1", 422, "second", "again");
    refused("&by=LINE&first=T1&second=T9", 422, "line", "There is no line 'T9'");
    refused("&by=REASON&first=a&second=b", 422, "by", "tells failures apart");
    refused("&by=WEATHER&first=a&second=b", 400, "by", "WEATHER");
    refused("&by=LINE&first=T1&second=T2&line=T1", 422, "by", "narrowed already to T1");
    refused("&by=LINE&first=T1&second=T2&groupBy=DIE", 422, "groupBy", "does not go");
    refused("&by=LINE&first=T1&second=T2&bucket=DAY", 422, "bucket", "does not go");
    refused("&secondFrom=2027-01-08T00:00:00Z", 422, "secondBefore", "two ends");
    refused("&secondBefore=2027-01-08T00:00:00Z", 422, "secondFrom", "two ends");
    String share = "&secondFrom=2027-01-06T12:00:00Z&secondBefore=2027-01-08T00:00:00Z";
    refused(share, 422, "secondFrom", "share time");
    refused(share + "&by=LINE&first=T1&second=T2", 422, "by", "not both");
    refused(
        "&secondFrom=2027-01-09T00:00:00Z&secondBefore=2027-01-08T00:00:00Z",
        400,
        "measuredBefore",
        "must lie after");
  }

  /** The spread between shifts is that of the first-pass rate of the same items. */
  @Test
  void aYieldAllowsForShiftsThatDifferAsTheRateDoes() {
    for (String line : List.of("T1", "T2")) {
      judge(line + "-W1", Instant.parse("2027-05-11T10:00:00Z"), 2, 50);
      judge(line + "-W1", Instant.parse("2027-05-12T10:00:00Z"), 20, 50);
      judge(line + "-W1", Instant.parse("2027-05-13T10:00:00Z"), 6, 50);
    }
    String window = window("2027-05-11T00:00:00Z", 4);
    JsonNode yield =
        works
            .tarebook()
            .reader()
            .get("/api/v1/first-pass-yield?" + window + "&line=T1&line=T2")
            .expect(200)
            .json();
    JsonNode rate =
        works
            .tarebook()
            .reader()
            .get("/api/v1/reject-rates?" + window + "&line=T1")
            .expect(200)
            .at("/total/firstPassRate/betweenShifts");
    JsonNode step = yield.at("/steps/0/betweenShifts");
    close(step.at("/dispersion"), rate.at("/dispersion").asDouble(), 1e-12);
    close(step.at("/interval/lower"), 1 - rate.at("/interval/upper").asDouble(), 1e-12);
    close(step.at("/interval/upper"), 1 - rate.at("/interval/lower").asDouble(), 1e-12);
    assertThat(yield.at("/betweenShifts/lower").asDouble())
        .isLessThan(yield.at("/interval/lower").asDouble());
    assertThat(yield.at("/betweenShifts/upper").asDouble())
        .isGreaterThan(yield.at("/interval/upper").asDouble());
  }

  @Test
  void yieldOfTwoStepsIsRolledTogether() {
    Instant at = Instant.parse("2027-05-06T10:00:00Z");
    judge("T1-W1", at, 5, 50);
    judge("T2-W1", at, 10, 50);
    String address = "/api/v1/first-pass-yield?" + window("2027-05-06T10:00:00Z", 1);
    JsonNode found = works.tarebook().reader().get(address + "&line=T1&line=T2").expect(200).json();
    close(found.at("/steps/0/yield"), 0.9, 0);
    close(found.at("/steps/1/yield"), 0.8, 0);
    assertThat(found.at("/steps/1/passed").asInt()).isEqualTo(40);
    // the scale of T2 was never checked, as /reject-rates says too
    assertThat(found.at("/steps/0/unverified").asInt(-1)).isZero();
    assertThat(found.at("/steps/1/unverified").asInt()).isEqualTo(50);
    assertThat(found.at("/steps/1/notJudged").asInt(-1)).isZero();
    String rates = "/api/v1/reject-rates%s?" + window("2027-05-06T10:00:00Z", 1);
    for (String[] same :
        new String[][] {
          {"", "/total"}, {"/chart", ""}, {"/comparison", "/second"},
        }) {
      String only = same[0].equals("/comparison") ? "&by=LINE&first=T1&second=T2" : "&line=T2";
      assertThat(
              works
                  .tarebook()
                  .reader()
                  .get(rates.formatted(same[0]) + only)
                  .expect(200)
                  .at(same[1] + "/unverified")
                  .asInt())
          .as(same[0])
          .isEqualTo(50);
    }
    close(found.get("yield"), 0.72, 1e-15);
    assertThat(found.at("/steps/0/betweenShifts/notComputed").asString()).isEqualTo("ONE_SHIFT");
    assertThat(found.has("betweenShifts")).isFalse();
    // By hand: 45.5/51 and 40.5/51 give 55.205 items; Wilson's interval of 0.72 among these.
    close(found.at("/interval/lower"), 0.59027, 1e-5);
    close(found.at("/interval/upper"), 0.82110, 1e-5);
    assertThat(found.get("assumption").asString()).contains("unrelated");
    JsonNode empty =
        works
            .tarebook()
            .reader()
            .get(
                "/api/v1/first-pass-yield?line=T1,T2&"
                    + window("2027-06-06T10:00:00Z", 1)
                    + "&method=JEFFREYS")
            .expect(200)
            .json();
    assertThat(empty.get("notComputed")).hasSize(2);
    assertThat(empty.at("/notComputed/0/reason").asString()).isEqualTo("NOTHING_JUDGED");
    assertThat(empty.has("yield")).isFalse();
    assertThat(works.tarebook().reader().get(address + "&line=T1&line=T9").expect(422).problem())
        .isEqualTo("unknown-code");
    assertThat(works.tarebook().reader().get(address + "&line=T1&line=T1").expect(422).text())
        .contains("names a line twice");
    assertThat(works.tarebook().reader().get(address).expect(400).text()).contains("line");
    assertThat(works.tarebook().reader().get(address + "&line=T1&confidence=95").expect(400).text())
        .contains("between 0.5 and 0.999");
  }
}
