package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.CopiedRows;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.CatchUpByHand;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** A doubt that reaches back over many readings is applied to them in pieces. */
@OnBothDatabases
class DoubtingTests {

  private static final Instant FROM = Instant.parse("2026-01-01T00:00:00Z");
  private static final Instant COPIED_FROM = FROM.plus(Duration.ofDays(10));

  /** One every ten minutes, and a day is a shift. */
  private static final int COPIES = 2500;

  private static final int A_DAY = 144;
  private static final Instant FAILED_AT = COPIED_FROM.plus(Duration.ofDays(18));

  private final RunningTarebook tarebook;
  private final JdbcClient sql;
  private final ChartBench bench;

  DoubtingTests(Vendor vendor) {
    tarebook = RunningTarebook.start(TestDatabase.create(vendor), CatchUpByHand.SETTING);
    tarebook.clock().set(FAILED_AT.plus(Duration.ofDays(1)).toString());
    sql = JdbcClient.create(tarebook.dataSource());
    bench =
        new ChartBench(
            tarebook,
            "kg",
            "NOT",
            "INDIVIDUALS",
            1,
            Map.of("permissibleError", 0.01, "permissibleErrorUnit", "kg"));
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 30; i++) {
      values.add("4.3" + (i * 37 % 89 + 10));
    }
    bench.postAll(values, "kg", FROM, Duration.ofHours(1));
    bench.freeze(Codes.fresh("L"), FROM, FROM.plus(Duration.ofDays(2))).expect(201);
    check("good", COPIED_FROM.minusSeconds(1), "5");
    long id = bench.post("4.9", COPIED_FROM).at("/id").asLong();
    CopiedRows.repeatReading(tarebook, id, COPIES, "10' minute");
  }

  @AfterEach
  void close() {
    tarebook.close();
  }

  @Test
  void takesTheNewestOutWithTheCheckAndTheOthersAfterIt() {
    tarebook.clock().forward(Duration.ofMinutes(2)); // what was posted stood a while
    Answer failed = check("bad", FAILED_AT, "6");
    assertThat(failed.at("/suspectReadings").isMissingNode()).isTrue();
    assertThat(failed.at("/applyingDoubts/state").asString()).isEqualTo("WAITING");
    long atOnce = suspect();
    assertThat(failed.at("/applyingDoubts/done").asLong()).isEqualTo(atOnce);
    assertThat(failed.at("/applyingDoubts/changed").asLong()).isEqualTo(atOnce);
    assertThat(atOnce).isBetween((long) Doubting.ROWS - A_DAY, (long) Doubting.ROWS);
    Instant oldest =
        sql.sql("select min(measured_at) from uncounted where cause = 'INSTRUMENT_SUSPECT'")
            .query(OffsetDateTime.class)
            .single()
            .toInstant();
    assertThat(oldest).isEqualTo(COPIED_FROM.plus(Duration.ofDays(11))); // whole shifts

    assertApplying(applying(""));

    assertThat(
            bench
                .freeze(Codes.fresh("L"), FROM, FAILED_AT, "inForceFrom", COPIED_FROM.toString())
                .expect(409)
                .text())
        .contains(bench.floor().scale() + " are being taken out");
    Answer kept = bench.keep(Codes.fresh("K"), FROM, FAILED_AT);
    assertThat(kept.expect(409).text()).contains("Nothing was kept");
    Answer claims =
        bench
            .engineer()
            .get(
                "/api/v1/claims?outsideBelow=0.5&chart="
                    + bench.chart()
                    + "&measuredFrom="
                    + FROM
                    + "&measuredBefore="
                    + FAILED_AT)
            .expect(200);
    assertThat(claims.text()).contains("APPLYING_DOUBTS");

    bench.post("4.9", COPIED_FROM.plusSeconds(1)); // one that comes late is suspect from the start
    assertThat(suspect()).isEqualTo(atOnce + 1);
    tarebook.clock().forward(Duration.ofMinutes(2));
    CatchUpByHand.run(tarebook);
    Instant finished = tarebook.clock().instant();
    assertSettled(applying(""));
    tarebook.clock().forward(Duration.ofMinutes(2));
    assertSettled(applying("&asOf=" + finished.minus(Duration.ofMinutes(3))));
    assertApplying(applying("&asOf=" + finished.minus(Duration.ofMinutes(1))));
    assertSettled(applying("&asOf=" + finished.plus(Duration.ofMinutes(1))));

    assertThat(suspect()).isEqualTo(COPIES + 2);
    Answer shown =
        tarebook.quality().get("/api/v1/instrument-checks/" + failed.at("/id").asString());
    assertThat(shown.at("/applyingDoubts/state").asString()).isEqualTo("FINISHED");
    assertThat(shown.at("/applyingDoubts/total").asLong()).isEqualTo(COPIES + 2);
    assertThat(shown.at("/applyingDoubts/done")).isEqualTo(shown.at("/applyingDoubts/total"));
    assertThat(shown.at("/applyingDoubts/changed").asLong()).isEqualTo(COPIES + 1);
    assertThat(shown.at("/suspectReadings").asLong()).isEqualTo(COPIES + 2);
    assertThat(points()).isZero();
    assertThat(bench.signals("&limit=1000")).isEmpty();
  }

  @Test
  void goesByTheDoubtsThatStandWhenAPieceIsDone() {
    check("bad", FAILED_AT, "6");
    Instant since = COPIED_FROM.plus(Duration.ofDays(1));
    Answer late = check("late", since, "5");
    assertThat(late.at("/suspectReadings").asLong()).isZero(); // in the day before it
    CatchUpByHand.run(tarebook);
    assertThat(suspect()).isEqualTo(COPIES + 1 - A_DAY);
    assertThat(points()).isEqualTo(A_DAY);

    check("later", FAILED_AT.minusSeconds(1), "5");
    CatchUpByHand.run(tarebook);
    assertThat(suspect()).isZero();
    assertThat(points()).isEqualTo(COPIES + 1);
    assertThat(
            sql.sql("select count(*) from signal where withdrawn_at is null")
                .query(Long.class)
                .single())
        .isPositive();
  }

  @Test
  void theVoidingOfACheckIsAppliedInPiecesToo() {
    Answer failed = check("bad", FAILED_AT, "6");
    CatchUpByHand.run(tarebook);
    assertThat(suspect()).isEqualTo(COPIES + 1);
    String address = "/api/v1/instrument-checks/" + failed.at("/id").asString();
    Answer voided =
        tarebook
            .quality()
            .post(address + "/voidings", json("key", "v", "reason", "6 typed for 5"))
            .expect(201);
    assertThat(voided.at("/voiding/applyingDoubts/state").asString()).isEqualTo("WAITING");
    assertThat(voided.at("/voiding/suspectReadings").isMissingNode()).isTrue();
    assertThat(voided.at("/suspectReadings").asLong()).isEqualTo(COPIES + 1);
    assertThat(suspect()).isBetween(COPIES + 1 - (long) Doubting.ROWS, (long) COPIES);
    CatchUpByHand.run(tarebook);
    assertThat(suspect()).isZero();
    assertThat(points()).isEqualTo(COPIES + 1);
    Answer shown = tarebook.quality().get(address);
    assertThat(shown.at("/voiding/applyingDoubts/state").asString()).isEqualTo("FINISHED");
    assertThat(shown.at("/voiding/applyingDoubts/changed").asLong()).isEqualTo(COPIES + 1);
    assertThat(shown.at("/voiding/suspectReadings").asLong()).isZero();
  }

  private Answer check(String key, Instant at, String indication) {
    return tarebook
        .quality()
        .post(
            "/api/v1/instrument-checks",
            bench.floor().check(key, at.toString(), new BigDecimal(indication)))
        .expect(201);
  }

  /** The instruments to whose readings doubts are being applied, as every figure says them. */
  private Map<String, JsonNode> applying(String asOf) {
    String window = "measuredFrom=" + FROM + "&measuredBefore=" + FAILED_AT + asOf;
    String line = "line=" + bench.floor().line();
    String chart = "charts/" + bench.chart();
    Map<String, String> pointers = new LinkedHashMap<>();
    pointers.put(chart + "/points?", "");
    pointers.put(chart + "/preview?", "");
    pointers.put(chart + "/ewma?", "/basis");
    pointers.put(chart + "/cusum?", "/basis");
    pointers.put(chart + "/shape?", "/basis");
    pointers.put(chart + "/change-points?", "/basis");
    pointers.put("capability?" + line + "&", "/studies/0/state");
    pointers.put("reject-rates?" + line + "&", "");
    pointers.put("reject-rates/chart?" + line + "&", "");
    pointers.put("first-pass-yield?" + line + "&", "");
    pointers.put("claims?outsideBelow=0.5&chart=" + bench.chart() + "&", "");
    if (asOf.isEmpty()) {
      pointers.put("limit-sets/preview?chart=" + bench.chart() + "&", "");
      pointers.put("charts?" + line, "/items/0");
    }
    Map<String, JsonNode> found = new LinkedHashMap<>();
    pointers.forEach(
        (path, pointer) ->
            found.put(
                path,
                tarebook
                    .reader()
                    .get("/api/v1/" + path + (path.matches(".*[?&]") ? window : ""))
                    .expect(200)
                    .at(pointer + "/unsettled")));
    return found;
  }

  private void assertApplying(Map<String, JsonNode> found) {
    String scale = bench.floor().scale();
    assertThat(found)
        .allSatisfy(
            (path, unsettled) ->
                assertThat(unsettled.toString())
                    .as(path)
                    .isEqualTo("{\"applyingDoubts\":[\"" + scale + "\"]}"));
  }

  private void assertSettled(Map<String, JsonNode> found) {
    assertThat(found)
        .allSatisfy((path, unsettled) -> assertThat(unsettled.isMissingNode()).as(path).isTrue());
  }

  private long suspect() {
    return sql.sql(
            "select count(*) from uncounted where cause = 'INSTRUMENT_SUSPECT'"
                + " and until_version is null")
        .query(Long.class)
        .single();
  }

  /** Of readings that were copied. */
  private long points() {
    return bench.points(COPIED_FROM, FAILED_AT).at("/points").size();
  }
}
