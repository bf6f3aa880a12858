package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.support.SqlArrayValue;
import org.tarebook.fixtures.CopiedRows;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.Vendor;

/**
 * How PostgreSQL finds many keys while the table is empty, and when it has grown since it was small
 * and plans for it were made. H2 keeps no plan for long.
 */
@Tag("service")
class KeyLookupPlanTests {

  private static RunningTarebook tarebook;

  @BeforeAll
  static void start() {
    tarebook = RunningTarebook.start(Vendor.POSTGRESQL);
  }

  @AfterAll
  static void stop() {
    tarebook.close();
  }

  private static List<String> keys() {
    String[] keys = new String[500];
    Arrays.setAll(keys, i -> "k-" + i);
    return List.of(keys);
  }

  @Test
  void byTheIndexOfKeysAlone() {
    assertThat(plan()).contains("uq_reading_key").doesNotContain("ix_reading_station", "Seq Scan");
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    floor.specification(floor.mass(), "5.0", "6.0", "kg");
    CopiedRows.repeatReading(tarebook, post(floor, "k-0"), 60);
    tarebook.sql().sql("analyze reading").update();
    long last = post(floor, "last");
    long station =
        tarebook.sql().sql("select max(station_id) from reading").query(Long.class).single();
    ReadingStore store = tarebook.bean(ReadingStore.class);
    long scans =
        tarebook
            .bean(Transactions.class)
            .write(
                () -> {
                  for (int i = 0; i < 20; i++) { // so often that a plan is kept
                    assertThat(store.findByKeys(Map.of(station, keys()))).hasSize(1);
                  }
                  CopiedRows.repeatReading(tarebook, last, 30_000);
                  long before = scans();
                  assertThat(store.findByKeys(Map.of(station, keys()))).hasSize(1);
                  return scans() - before;
                });
    assertThat(scans).isZero();
  }

  private static String plan() {
    return String.join(
        "\n",
        tarebook
            .sql()
            .sql("explain " + ReadingStore.sqlByKeys(Vendor.POSTGRESQL))
            .param(new SqlArrayValue("bigint", Collections.nCopies(500, 7L).toArray()))
            .param(new SqlArrayValue("varchar", keys().toArray()))
            .query(String.class)
            .list());
  }

  private static long post(ShopFloor floor, String key) {
    return floor
        .post(floor.posting(new BigDecimal("5.6"), "kg", "2026-01-21T06:00:00Z", "key", key))
        .expect(201)
        .at("/id")
        .asLong();
  }

  /** How often this transaction has read the table of readings from end to end. */
  private static long scans() {
    return tarebook
        .sql()
        .sql("select seq_scan from pg_stat_xact_user_tables where relname = 'reading'")
        .query(Long.class)
        .single();
  }
}
