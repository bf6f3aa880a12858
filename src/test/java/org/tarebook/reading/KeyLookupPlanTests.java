package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.support.SqlArrayValue;
import org.tarebook.fixtures.ManyReadings;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.Vendor;

/** How many keys are found while the table is empty, and when it has grown since it was small. */
@OnBothDatabases
class KeyLookupPlanTests {

  private final RunningTarebook tarebook;

  KeyLookupPlanTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  private static Long[] stations(int keys) {
    Long[] stations = new Long[keys];
    Arrays.setAll(stations, i -> (long) (i % 8));
    return stations;
  }

  private static String[] keys(int keys) {
    String[] all = new String[keys];
    Arrays.setAll(all, i -> "k-" + i);
    return all;
  }

  @Test
  void inAnEmptyTableByTheIndexOfKeys() {
    List<String> lines =
        tarebook
            .sql()
            .sql("explain " + ReadingStore.byKeys(tarebook.vendor()))
            .param(new SqlArrayValue("bigint", (Object[]) stations(500)))
            .param(new SqlArrayValue("varchar", (Object[]) keys(500)))
            .query(String.class)
            .list();
    assertThat(String.join("\n", lines).toLowerCase(Locale.ROOT))
        .contains("uq_reading_key")
        .doesNotContain("ix_reading_station", "seq scan", "tablescan");
  }

  @Test
  void inATableThatHasGrownSinceItWasAnalyzedWithoutReadingAllOfIt() {
    if (tarebook.vendor() != Vendor.POSTGRESQL) {
      return; // H2 keeps no plan made for another size
    }
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    floor.specification(floor.mass(), "5.0", "6.0", "kg");
    floor
        .post(floor.posting(new BigDecimal("5.6"), "kg", "2026-01-21T06:00:00Z", "key", "k-0"))
        .expect(201);
    ManyReadings.repeat(tarebook, 60);
    tarebook.sql().sql("analyze reading").update();
    long station =
        tarebook.sql().sql("select max(station_id) from reading").query(Long.class).single();
    ReadingStore store = tarebook.bean(ReadingStore.class);
    Map<Long, List<String>> wanted = Map.of(station, List.of(keys(500)));
    long scans =
        tarebook
            .bean(Transactions.class)
            .write(
                () -> {
                  for (int i = 0; i < 20; i++) { // so often that a plan is kept
                    assertThat(store.findByKeys(wanted)).hasSize(1);
                  }
                  ManyReadings.repeat(tarebook, 30_000);
                  long before = scans();
                  assertThat(store.findByKeys(wanted)).hasSize(1);
                  return scans() - before;
                });
    assertThat(scans).isZero();
  }

  /** How often this transaction has read the table of readings from end to end. */
  private long scans() {
    return tarebook
        .sql()
        .sql("select seq_scan from pg_stat_xact_user_tables where relname = 'reading'")
        .query(Long.class)
        .single();
  }
}
