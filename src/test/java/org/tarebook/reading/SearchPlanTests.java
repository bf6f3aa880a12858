package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.CopiedRows;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.json.JsonMapper;

/** A page of readings is read in order from an index, whatever it is narrowed by. */
@OnBothDatabases
class SearchPlanTests {

  private static final int COPIES = 60_000;

  @Test
  void everyFilterHasAnIndexInItsOrder(Vendor vendor) {
    try (RunningTarebook tarebook = RunningTarebook.start(TestDatabase.create(vendor))) {
      ChartBench bench = fill(tarebook);
      fill(tarebook);
      setAside(tarebook);
      tarebook.sql().sql("analyze").update();
      Plan plan = tarebook.bean(Plans.class).current();
      String station = bench.floor().station();
      expect(tarebook, plan, "ix_reading_station", "station", station);
      expect(tarebook, plan, "ix_reading_station", "line", bench.floor().line());
      expect(tarebook, plan, "ix_reading_characteristic", "characteristic", bench.characteristic());
      expect(tarebook, plan, "ix_reading_characteristic", "component", bench.floor().component());
      expect(tarebook, plan, "ix_reading_characteristic", "chart", bench.chart());
      // Half have the instrument and all the lot, so PostgreSQL may as well go by time.
      boolean h2 = vendor == Vendor.H2;
      String byInstrument = h2 ? "ix_reading_instrument" : "ix_reading_";
      expect(tarebook, plan, byInstrument, "instrument", bench.floor().scale());
      expect(tarebook, plan, h2 ? "ix_reading_lot" : "ix_reading_", "lot", "L1");
      expect(tarebook, plan, h2 ? "ix_reading_sample" : "ix_reading_", "sample", "S1");
      expect(tarebook, plan, "ix_reading_measured", "phase", "RUNNING");
      expect(tarebook, plan, "uq_reading_key", "key", "a");
      expect(tarebook, plan, "ix_uncounted_cause", "standing", "NOT_RUNNING");
    }
  }

  /** Half of all readings do not count. */
  private static void setAside(RunningTarebook tarebook) {
    tarebook
        .sql()
        .sql(
            "insert into uncounted (reading_id, cause, since_version, characteristic_id,"
                + " measured_at) select id, 'NOT_RUNNING', lock_version, characteristic_id,"
                + " measured_at from reading where mod(extract(second from measured_at), 2) < 1")
        .update();
  }

  private static ChartBench fill(RunningTarebook tarebook) {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    long id =
        bench
            .post(
                "5",
                java.time.Instant.parse("2024-05-06T00:00:00Z"),
                "lot",
                "L1",
                "sample",
                "S1",
                "key",
                "a")
            .at("/id")
            .asLong();
    CopiedRows.repeatReading(tarebook, id, COPIES);
    return bench;
  }

  private static void expect(
      RunningTarebook tarebook, Plan plan, String index, String filter, String value) {
    for (boolean newestFirst : List.of(true, false)) {
      ReadingQuery query =
          JsonMapper.shared()
              .readValue(
                  "{\"%s\":\"%s\",\"newestFirst\":%s}".formatted(filter, value, newestFirst),
                  ReadingQuery.class);
      SearchStore.Statement statement =
          SearchStore.statement(tarebook.vendor(), plan, query, null, 2).orElseThrow();
      String explained =
          String.join(
              "\n",
              tarebook
                  .sql()
                  .sql("explain " + statement.sql())
                  .params(statement.values())
                  .query(String.class)
                  .list());
      String what = filter + " newest first " + newestFirst;
      assertThat(explained.toLowerCase(java.util.Locale.ROOT))
          .as(what)
          .contains(index)
          .doesNotContain("seq scan on reading", "tablescan", "bitmap");
      if (!filter.equals("key") && !explained.contains("Append")) {
        assertThat(explained).as(what).doesNotContainPattern("(?m)^ *(-> *)?Sort ");
        if (tarebook.vendor() == Vendor.H2) {
          assertThat(explained).as(what).contains("index sorted");
        }
      }
    }
  }
}
