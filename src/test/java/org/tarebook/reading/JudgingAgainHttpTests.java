package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.CopiedRows;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.storage.CatchUp;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** What is answered while readings are judged again, and when that has finished. */
@OnBothDatabases
class JudgingAgainHttpTests {

  /** Before all ids that the service gives. */
  private static final AtomicLong HOLDS = new AtomicLong(-1_000_000);

  /** More than one page. */
  private static final int COPIES = 1_200;

  private static final String FROM = "2026-02-01T00:00:00Z";
  private static final String BEFORE = "2026-03-01T00:00:00Z";

  private final RunningTarebook tarebook;
  private final JdbcClient sql;
  private final Client quality;
  private final ShopFloor floor;
  private final long characteristic;
  private final String specifications;
  private final long hold = HOLDS.incrementAndGet();

  JudgingAgainHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.sql = tarebook.sql();
    this.quality = tarebook.quality();
    tarebook.clock().set("2026-03-02T06:00:00Z");
    this.floor = new ShopFloor(tarebook, "kg");
    floor.chart(floor.mass(), "INDIVIDUALS", 1);
    this.characteristic =
        sql.sql("select id from characteristic where code = ?")
            .param(floor.mass())
            .query(Long.class)
            .single();
    this.specifications = "/api/v1/characteristics/" + floor.mass() + "/specifications";
  }

  @BeforeEach
  void specify() {
    floor.specification(floor.mass(), "5", "6", "kg");
    revision(FROM, "5.6", "6");
  }

  @AfterEach
  void letGo() {
    release();
    tarebook.caughtUp();
  }

  private void revision(String from, String lower, String upper) {
    floor
        .specification(
            floor.mass(),
            json(
                "validFrom",
                from,
                "lower",
                new BigDecimal(lower),
                "upper",
                new BigDecimal(upper),
                "unit",
                "kg",
                "comparison",
                "ABSOLUTE",
                "reason",
                "drawing"))
        .expect(201);
  }

  /** An earlier catch-up of the same characteristic that cannot be done holds up all later ones. */
  private void hold() {
    sql.sql(
            "insert into catch_up (id, what, scope, asked_by, task, done, changed, recorded_at)"
                + " values (?, 'judging readings again', ?, 'nothing', 'unreadable', 0, 0, ?)")
        .params(hold, characteristic, SqlTime.of(tarebook.clock().instant()))
        .update();
  }

  private void release() {
    sql.sql("update catch_up set task = ? where id = ?")
        .params("2026-01-01T00:00:00Z 2026-01-01T00:00:00Z - nothing", hold)
        .update();
  }

  private long filled() {
    Answer posted = post("5.5", "2026-02-02T00:00:00Z");
    long id = posted.at("/id").asLong();
    CopiedRows.repeatReading(tarebook, id, COPIES);
    assertThat(posted.at("/result").asString()).isEqualTo("FAIL");
    return id;
  }

  private Answer post(String value, String at) {
    return floor.post(floor.posting(new BigDecimal(value), "kg", at)).expect(201);
  }

  private Answer withdraw(int revision) {
    return quality
        .post(specifications + "/" + revision + "/withdrawal", json("reason", "Wrong drawing"))
        .expect(200);
  }

  private JsonNode again(int revision) {
    return quality.get(specifications + "/" + revision).expect(200).at("/judgingAgain");
  }

  private Answer rates(String more) {
    return tarebook
        .reader()
        .get(
            "/api/v1/reject-rates?characteristic=%s&measuredFrom=%s&measuredBefore=%s%s"
                .formatted(floor.mass(), FROM, BEFORE, more))
        .expect(200);
  }

  private Answer read(long id) {
    return tarebook.reader().get("/api/v1/readings/" + id).expect(200);
  }

  private JsonNode withResult(String result) {
    return tarebook
        .reader()
        .get("/api/v1/readings?limit=5&characteristic=" + floor.mass() + "&result=" + result)
        .expect(200)
        .at("/items");
  }

  /** Does the first page of the catch-up of a revision, as a copy that dies before its commit. */
  private CatchUp.Piece firstPage(int revision) {
    long id =
        sql.sql(
                "select max(c.id) from catch_up c join specification s"
                    + " on c.asked_by = 'specification ' || cast(s.id as varchar)"
                    + " where s.characteristic_id = ? and s.revision = ?")
            .params(characteristic, revision)
            .query(Long.class)
            .single();
    String task =
        sql.sql("select task from catch_up where id = ?").param(id).query(String.class).single();
    return tarebook
        .bean(Transactions.class)
        .write(
            () ->
                tarebook
                    .bean(JudgeAgain.class)
                    .next(new CatchUp.Task(id, characteristic, task, null)));
  }

  @Test
  void earlierResultsStandUntilAllSuccessorsCountAtOnce() {
    long id = filled();
    Answer then = rates("");
    tarebook.clock().forward(Duration.ofMinutes(1));
    Instant moment = tarebook.clock().instant();
    tarebook.clock().forward(Duration.ofMinutes(3));
    hold();

    Answer withdrawn = withdraw(2);
    assertThat(withdrawn.at("/withdrawnReason").asString()).isEqualTo("Wrong drawing");
    assertThat(withdrawn.at("/judgingAgain/state").asString()).isEqualTo("WAITING");
    CatchUp.Piece page = firstPage(2);
    assertThat(page.changed()).isEqualTo(1000).isEqualTo(page.done());
    assertThat(page.next()).isNotNull();
    assertThat(read(id).at("/result").asString()).isEqualTo("FAIL");
    assertThat(read(id).at("/successors").asInt()).isZero();
    assertThat(read(id).at("/judgingAgain").asBoolean()).isTrue();
    assertThat(withResult("PASS")).isEmpty();
    assertThat(withResult("FAIL")).hasSize(5);
    Answer meanwhile = rates("");
    assertThat(meanwhile.at("/unsettled/judgingAgain/0").asString()).isEqualTo(floor.mass());
    assertThat(meanwhile.at("/total")).isEqualTo(then.at("/total"));
    Answer fresh = post("5.5", "2026-02-02T00:00:10.01Z");
    assertThat(fresh.at("/result").asString()).isEqualTo("PASS");
    assertThat(fresh.at("/specification/revision").asInt()).isEqualTo(1);
    assertThat(fresh.json().has("judgingAgain")).isFalse();

    tarebook.clock().forward(Duration.ofMinutes(3));
    release();
    tarebook.caughtUp();
    assertThat(again(2).at("/state").asString()).isEqualTo("FINISHED");
    assertThat(again(2).at("/done").asInt()).isEqualTo(COPIES + 2);
    assertThat(again(2).at("/total").asInt()).isEqualTo(COPIES + 2);
    assertThat(read(id).at("/result").asString()).isEqualTo("PASS");
    assertThat(read(id).at("/successors").asInt()).isEqualTo(1);
    assertThat(read(id).json().has("judgingAgain")).isFalse();
    assertThat(withResult("FAIL")).isEmpty();
    Answer now = rates("");
    assertThat(now.json().has("unsettled")).isFalse();
    assertThat(now.at("/total/rejected").asInt()).isZero();
    assertThat(now.at("/total/judged").asInt()).isEqualTo(then.at("/total/judged").asInt() + 1);
    Answer before = rates("&asOf=" + moment);
    assertThat(before.at("/total/rejected")).isEqualTo(then.at("/total/rejected"));
    assertThat(before.at("/total/judged")).isEqualTo(then.at("/total/judged"));
    assertThat(before.at("/changedSince").asInt()).isEqualTo(COPIES + 2);
    assertThat(before.json().has("unsettled")).isFalse();
    Answer between = rates("&asOf=" + moment.plus(Duration.ofMinutes(4)));
    assertThat(between.at("/total/rejected")).isEqualTo(then.at("/total/rejected"));
    assertThat(between.at("/unsettled/judgingAgain/0").asString()).isEqualTo(floor.mass());
    tarebook.clock().forward(Duration.ofMinutes(1));
    assertThat(rates("&asOf=" + tarebook.clock().instant()).at("/total/rejected").asInt()).isZero();
  }

  @Test
  void aSecondWithdrawalWaitsAndBothFinishTogether() {
    revision("2026-02-01T12:00:00Z", "5.9", "6");
    long id = filled();
    hold();
    withdraw(3);
    assertThat(firstPage(3).changed()).isEqualTo(1000);
    withdraw(2);
    assertThat(again(3).at("/state").asString()).isEqualTo("WAITING");
    assertThat(again(2).at("/state").asString()).isEqualTo("WAITING");
    assertThat(withResult("PASS")).isEmpty();
    release();
    tarebook.caughtUp();
    assertThat(withResult("FAIL")).isEmpty();
    assertThat(read(id).at("/specification/revision").asInt()).isEqualTo(1);
    assertThat(
            sql.sql("select count(distinct version) from catch_up where scope = ? and id > 0")
                .param(characteristic)
                .query(Long.class)
                .single())
        .isEqualTo(1);
  }

  @Test
  void aPageReadsNoMoreThanItsRows() {
    CopiedRows.repeatReading(
        tarebook, post("5.5", "2026-02-20T00:00:00Z").at("/id").asLong(), 9_000);
    ShopFloor beside = new ShopFloor(tarebook, "kg");
    Answer other = beside.post(beside.posting(5.5, "kg", "2026-02-20T00:00:00Z")).expect(201);
    CopiedRows.repeatReading(tarebook, other.at("/id").asLong(), 60_000);
    sql.sql("analyze").update();
    String plan =
        String.join(
            "\n",
            sql.sql("explain analyze " + JudgeAgain.PAGE)
                .param("characteristic", characteristic)
                .param("at", SqlTime.of(Instant.parse("2026-02-20T00:05:00Z")))
                .param("id", 17L)
                .param("before", SqlTime.of(Instant.parse(BEFORE)))
                .param("rows", 100)
                .query(String.class)
                .list());
    assertThat(plan).containsIgnoringCase("ix_reading_characteristic");
    if (tarebook.vendor() == Vendor.H2) {
      assertThat(plan).contains("/* index sorted */", "scanCount: 100 ");
    } else {
      assertThat(plan).doesNotContain("Sort", "Seq Scan");
    }
  }
}
