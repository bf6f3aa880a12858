package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

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

@OnBothDatabases
class RejectRatesRefusalTests {

  private static final String WINDOW =
      "measuredFrom=2027-01-01T00:00:00Z&measuredBefore=2027-02-01T00:00:00Z";

  private static final Map<Vendor, Works> STARTED = new EnumMap<>(Vendor.class);

  private final Works works;

  RejectRatesRefusalTests(Vendor vendor) {
    works = STARTED.computeIfAbsent(vendor, Works::start);
  }

  @AfterAll
  static void stop() {
    STARTED.values().forEach(Works::close);
  }

  private Answer ask(String query) {
    return works.tarebook().reader().get("/api/v1/reject-rates?" + query);
  }

  private void refused(String query, int status, String pointer, String... words) {
    Answer answer = ask(query).expect(status);
    assertThat(answer.problem())
        .isEqualTo(
            status == 400
                ? "invalid-request"
                : pointer.equals("groupBy") ? "rule-broken" : "unknown-code");
    assertThat(answer.at("/errors/0/pointer").asString()).isEqualTo(pointer);
    assertThat(answer.at("/errors/0/detail").asString()).contains(words);
  }

  @Test
  void windowIsNeeded() {
    Answer answer = ask("groupBy=LINE").expect(400);
    assertThat(answer.text()).contains("measuredFrom", "measuredBefore", "is needed");
  }

  @Test
  void windowMustBeInOrderAndNotTooLong() {
    refused(
        "measuredFrom=2027-02-01T00:00:00Z&measuredBefore=2027-02-01T00:00:00Z",
        400,
        "measuredBefore",
        "must lie after measuredFrom");
    refused(
        "measuredFrom=2027-01-01T00:00:00Z&measuredBefore=2028-02-05T00:00:01Z",
        400,
        "measuredBefore",
        "400 days",
        "in parts");
    ask("measuredFrom=2027-01-01T00:00:00Z&measuredBefore=2028-02-05T00:00:00Z").expect(200);
  }

  @Test
  void timesNeedTheirOffset() {
    refused(
        "measuredFrom=2027-01-01T00:00:00&measuredBefore=2027-02-01T00:00:00Z",
        400,
        "measuredFrom",
        "with its offset");
  }

  @Test
  void confidenceLiesWhereTheIntervalsHold() {
    for (String wrong : List.of("0", "1", "-1", "95", "1e-300", "0.49", "0.9999")) {
      refused(WINDOW + "&confidence=" + wrong, 400, "confidence", "between 0.5 and 0.999", "0.95");
    }
    for (String wrong : List.of("high", "NaN")) {
      refused(WINDOW + "&confidence=" + wrong, 400, "confidence", "must be a number", wrong);
    }
  }

  @Test
  void membersAndBucketsAreTheKnownOnes() {
    refused(WINDOW + "&groupBy=LINE,WEATHER", 400, "groupBy", "WEATHER", "COMPONENT");
    refused(WINDOW + "&bucket=MONTH", 400, "bucket", "'MONTH' is none of", "WEEK");
    refused(WINDOW + "&lines=T1", 400, "lines", "is not a parameter here");
  }

  @Test
  void namesMustBeKnown() {
    for (String name : List.of("line", "component", "product", "station", "characteristic")) {
      refused(WINDOW + "&" + name + "=NONE", 422, name, "There is no " + name + " 'NONE'");
    }
    refused(WINDOW + "&shift=tea", 422, "shift", "There is no shift 'tea'", "early, late, night");
  }

  @Test
  void dieThatNobodyNamedIsNoFault() {
    assertThat(ask(WINDOW + "&die=NONE").expect(200).at("/total/judged").asInt()).isZero();
  }

  @Test
  void tokenIsNeeded() {
    works.tarebook().anonymous().get("/api/v1/reject-rates?" + WINDOW).expect(401);
    works.tarebook().station("T1-W1").get("/api/v1/reject-rates?" + WINDOW).expect(403);
    works.tarebook().reader().get("/api/v1/reject-rates?" + WINDOW).expect(200);
  }

  @Test
  void tooManyRowsAreRefusedWithTheWayOut() {
    Instant start = Instant.parse("2027-01-05T12:00:00Z");
    List<Draft> drafts = new ArrayList<>();
    for (int die = 0; die <= 5000; die++) {
      drafts.add(
          new Draft("many-" + die, start.plusMillis(die)).die("D" + die).value("A-MASS", "25"));
    }
    works.record(drafts);
    refused(WINDOW + "&groupBy=DIE", 422, "groupBy", "more than 5000 rows", "shorter window");
    assertThat(ask(WINDOW + "&groupBy=LINE").expect(200).at("/total/judged").asInt())
        .isEqualTo(5001);
    Instant end = start.plusMillis(5000);
    Answer most =
        ask("measuredFrom=2027-01-01T00:00:00Z&measuredBefore=" + end + "&groupBy=DIE").expect(200);
    assertThat(most.at("/rows").size()).isEqualTo(5000);
    works.record(new Draft("other-reason", start).value("A-MASS", "5").die("D1"));
    refused(
        "measuredFrom=2027-01-01T00:00:00Z&measuredBefore=" + end + "&groupBy=DIE,REASON",
        422,
        "groupBy",
        "more than 5000 rows");
  }
}
