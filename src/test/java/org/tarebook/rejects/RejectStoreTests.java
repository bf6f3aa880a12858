package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/** What a question costs where the record is large. */
@OnBothDatabases
class RejectStoreTests {

  private static final Instant START = Instant.parse("2026-01-01T00:00:00Z");

  private static final Map<Vendor, Works> FILLED = new EnumMap<>(Vendor.class);

  private final Vendor vendor;
  private final Works works;

  RejectStoreTests(Vendor vendor) {
    this.vendor = vendor;
    works = FILLED.computeIfAbsent(vendor, RejectStoreTests::fill);
  }

  /** A reading a minute; of a hundred, ten bear a number of three readings, one is remeasured. */
  private static Works fill(Vendor vendor) {
    Works works = Works.start(vendor);
    boolean h2 = vendor == Vendor.H2;
    works
        .tarebook()
        .sql()
        .sql(
            """
            insert into reading (id, event_id, station_id, event_key, part, characteristic_id,
              lock_version, measured_at, recorded_at, net_value, decimals, unit, phase, item_label,
              remeasures_id, remeasures_key, root_event_id, result, direction, posted_by)
            select 1000000 + n, 1000000 + n, s.id, 'k' || n, 0, c.id, 1,
              cast('2026-01-01 00:00:00+00:00' as timestamp with time zone) + n * interval '1' minute,
              current_timestamp, 15, 0,
              'kg', 'RUNNING', case when n % 10 = 0 then 'N' || n / 30 end,
              case when n % 100 = 7 then 1000000 + n - 1 end,
              case when n % 100 = 7 then 'k' || n - 1 end,
              1000000 + n - case when n % 100 = 7 then 1 else 0 end,
              case when n % 20 = 3 then 'FAIL' else 'PASS' end,
              case when n % 20 = 3 then 'BELOW' end, 'test'
            from (NUMBERS) numbers, station s, characteristic c
            where s.code = 'T1-W1' and c.code = 'A-MASS'
            """
                .replace(
                    "NUMBERS",
                    h2
                        ? "select x as n from system_range(1, 50000)"
                        : "select generate_series(1, 50000) as n"))
        .update();
    works.tarebook().sql().sql("analyze").update();
    return works;
  }

  @AfterAll
  static void stop() {
    FILLED.values().forEach(Works::close);
  }

  private String plan(String narrowed) {
    List<String> lines =
        works
            .tarebook()
            .sql()
            .sql("explain " + RejectStore.sql(narrowed))
            .param("from", SqlTime.of(START.plusSeconds(20 * 86_400)))
            .param("before", SqlTime.of(START.plusSeconds(21 * 86_400)))
            .query(String.class)
            .list();
    return String.join("\n", lines);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        " and r.station_id in (select id from station where code = 'T1-W1')",
        " and r.characteristic_id in (select id from characteristic where code = 'A-MASS')"
      })
  void dayOfALargeRecordIsReadByIndexesOnly(String narrowed) {
    if (vendor == Vendor.H2) {
      return; // its plan is checked by the clock alone, below
    }
    String plan = plan(narrowed);
    assertThat(plan).doesNotContainPattern("Seq Scan on reading");
    assertThat(plan)
        .contains("pk_reading", "ix_reading_item", "ix_reading_root_event")
        .containsPattern("ix_reading_(measured|characteristic|station)");
  }

  @Test
  void dayOfALargeRecordIsCounted() {
    long begin = System.nanoTime();
    RateAnswer answer =
        works
            .tarebook()
            .bean(RejectRates.class)
            .of(
                new RateQuestion(
                    START.plusSeconds(20 * 86_400),
                    START.plusSeconds(21 * 86_400),
                    java.util.Set.of(),
                    Bucket.HOUR,
                    RateQuestion.Narrowing.NONE,
                    0.95));
    System.out.println(vendor + " ms " + (System.nanoTime() - begin) / 1_000_000);
    assertThat(answer.rows()).hasSize(24);
    // Minutes 28800 to 30239: 1440 readings, 96 of them the second or third of a number, 14 or 15
    // of each hundred minutes remeasured once.
    assertThat(answer.total().readings()).isEqualTo(1440);
    assertThat(answer.total().remeasured()).isEqualTo(96 + 15);
    assertThat(answer.total().judged()).isEqualTo(1440 - 96 - 15);
    assertThat(answer.total().rejected()).isEqualTo(72);
  }
}
