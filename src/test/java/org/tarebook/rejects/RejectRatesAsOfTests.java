package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.databind.node.ObjectNode;

/** Reject rates as they stood. */
@OnBothDatabases
class RejectRatesAsOfTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(5);
  private static final Duration LATER = Duration.ofMinutes(10);
  private static final JsonMapper JSON = new JsonMapper();

  private final RunningTarebook tarebook;

  RejectRatesAsOfTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  private Answer ask(ChartBench bench, String what, String more) {
    return tarebook
        .reader()
        .get(
            "/api/v1/%s?characteristic=%s&measuredFrom=%s&measuredBefore=%s%s"
                .formatted(what, bench.characteristic(), FROM, BEFORE, more));
  }

  /** An answer without what differs by asking as of a moment. */
  private static JsonNode comparable(Answer answer) {
    ObjectNode copy = (ObjectNode) JSON.readTree(answer.text());
    copy.remove(List.of("asOf", "changedSince"));
    copy.findParents("unverified").forEach(row -> ((ObjectNode) row).remove("unverified"));
    copy.findParents("changedSince")
        .forEach(side -> ((ObjectNode) side).remove(List.of("asOf", "changedSince")));
    return copy;
  }

  private ChartBench filled() {
    tarebook.clock().set("2026-03-02T06:00:00Z");
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 2);
    bench.specification("4.35", "4.45", "kg");
    bench.postAll(
        List.of("4.40", "4.46", "4.41", "4.34", "4.40", "4.42", "4.47", "4.39"), "kg", FROM, STEP);
    tarebook.clock().forward(LATER);
    return bench;
  }

  @Test
  void everyFigureIsThatOfThen() {
    ChartBench bench = filled();
    Answer then = ask(bench, "reject-rates", "&groupBy=REASON&bucket=SHIFT").expect(200);
    assertThat(then.at("/total/rejected").asLong()).isEqualTo(3);
    assertThat(then.at("/changedSince").isMissingNode()).isTrue();
    Answer chartThen = ask(bench, "reject-rates/chart", "").expect(200);
    Instant moment = tarebook.clock().instant();
    tarebook.clock().forward(LATER);

    String failed =
        tarebook
            .reader()
            .get(
                "/api/v1/readings?characteristic="
                    + bench.characteristic()
                    + "&result=FAIL&limit=1")
            .expect(200)
            .at("/items/0/id")
            .asString();
    tarebook
        .quality()
        .post(
            "/api/v1/readings/" + failed + "/amendments",
            json("key", Codes.fresh("a"), "kind", "VOID", "reason", "A hand lay on the scale"))
        .expect(201);
    bench.post("4.500", FROM.plusSeconds(30));
    Answer voided = ask(bench, "reject-rates", "").expect(200);
    assertThat(voided.at("/total/voided").asLong()).isEqualTo(1);
    assertThat(voided.at("/total/judged").asLong()).isEqualTo(8);
    Answer two = ask(bench, "reject-rates", "&asOf=" + moment).expect(200);
    assertThat(two.at("/changedSince").asLong()).isEqualTo(2);
    bench
        .engineer()
        .post(
            "/api/v1/characteristics/" + bench.characteristic() + "/specifications/1/withdrawal",
            json("reason", "Wrong drawing"))
        .expect(200);
    tarebook.caughtUp();
    assertThat(ask(bench, "reject-rates", "").at("/total/judged").asLong()).isZero();

    Answer again =
        ask(bench, "reject-rates", "&groupBy=REASON&bucket=SHIFT&asOf=" + moment).expect(200);
    assertThat(comparable(again)).isEqualTo(comparable(then));
    assertThat(again.at("/asOf").asString()).isEqualTo(moment.toString());
    assertThat(again.at("/changedSince").asLong()).isEqualTo(9);
    assertThat(again.at("/total/unverified").isMissingNode()).isTrue();
    assertThat(comparable(ask(bench, "reject-rates/chart", "&asOf=" + moment).expect(200)))
        .isEqualTo(comparable(chartThen));
  }

  @Test
  void comparisonsAndYieldsAreThoseOfThen() {
    ChartBench bench = filled();
    String halves = "&secondFrom=" + BEFORE + "&secondBefore=" + BEFORE.plus(Duration.ofDays(1));
    bench.postAll(List.of("4.40", "4.41", "4.46"), "kg", BEFORE.plus(STEP), STEP);
    tarebook.clock().forward(LATER);
    Answer then = ask(bench, "reject-rates/comparison", halves).expect(200);
    assertThat(then.at("/second/rejected").asLong()).isEqualTo(1);
    String yields =
        "/api/v1/first-pass-yield?line=%s&measuredFrom=%s&measuredBefore=%s"
            .formatted(bench.floor().line(), FROM, BEFORE);
    Answer yieldThen = tarebook.reader().get(yields).expect(200);
    assertThat(yieldThen.at("/steps/0/passed").asLong()).isEqualTo(5);
    Instant moment = tarebook.clock().instant();
    tarebook.clock().forward(LATER);
    bench.post("4.500", FROM.plusSeconds(30));
    bench.post("4.500", BEFORE.plusSeconds(30));

    Answer again = ask(bench, "reject-rates/comparison", halves + "&asOf=" + moment).expect(200);
    assertThat(comparable(again)).isEqualTo(comparable(then));
    assertThat(again.at("/first/changedSince").asLong()).isEqualTo(1);
    assertThat(again.at("/second/changedSince").asLong()).isEqualTo(1);
    Answer yieldAgain = tarebook.reader().get(yields + "&asOf=" + moment).expect(200);
    assertThat(comparable(yieldAgain)).isEqualTo(comparable(yieldThen));
    assertThat(yieldAgain.at("/changedSince").asLong()).isEqualTo(1);
  }

  @Test
  void nothingStoodBeforeTheChartWasMade() {
    ChartBench bench = filled();
    Answer answer =
        ask(bench, "reject-rates", "&asOf=" + Instant.parse("2001-01-01T00:00:00Z")).expect(200);
    assertThat(answer.at("/total/readings").asLong()).isZero();
    assertThat(answer.at("/changedSince").asLong()).isEqualTo(8);
  }

  @Test
  void aMomentOfWhichNothingIsKnownIsRefused() {
    ChartBench bench = filled();
    long lock =
        tarebook
            .sql()
            .sql("select id from chart where code = ?")
            .param(bench.chart())
            .query(Long.class)
            .single();
    Instant moment = tarebook.clock().instant().minus(Duration.ofDays(1));
    tarebook
        .sql()
        .sql("update lock_moment set version = version + 1000000 where lock_id = ?")
        .param(lock)
        .update();
    try {
      Answer refused = ask(bench, "reject-rates", "&asOf=" + moment).expect(422);
      assertThat(refused.text()).contains("asOf", "before anything is known", "a later moment");
    } finally {
      tarebook
          .sql()
          .sql("update lock_moment set version = version - 1000000 where lock_id = ?")
          .param(lock)
          .update();
    }
  }
}
