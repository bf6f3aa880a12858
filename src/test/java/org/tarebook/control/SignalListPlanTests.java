package org.tarebook.control;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.fixtures.ListPlans;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.storage.Vendor;

/** A page of signals is read in order from an index. */
@OnBothDatabases
class SignalListPlanTests {

  @Test
  void everyFilterHasAnIndexInItsOrder(Vendor vendor) {
    try (ListPlans plans =
        new ListPlans(
            vendor,
            "signal (id, chart_id, limit_set_id, stratum, rule, side, began_at, completed_by,"
                + " completed_at, point, raised_at)",
            "n.i, 1 + mod(n.i, 40), 1, '', 'NELSON_1', 'ABOVE',"
                + " timestamp with time zone '2024-01-01 00:00:00+00', n.i,"
                + " timestamp with time zone '2024-01-01 00:00:00+00'"
                + " + n.i * interval '1' minute, 1,"
                + " timestamp with time zone '2024-01-01 00:00:00+00'")) {
      for (Boolean open : new Boolean[] {null, true, false}) {
        expect(plans, vendor, "ix_signal_completed_at", null, open, null);
        expect(plans, vendor, "ix_signal_chart_time", 3L, open, null);
      }
      SignalStore.Place place =
          new SignalStore.Place(Instant.parse("2024-02-01T00:00:00Z"), 1_000_000);
      expect(plans, vendor, "ix_signal_completed_at", null, null, place);
      expect(plans, vendor, "ix_signal_chart_time", 3L, null, place);
    }
  }

  private static void expect(
      ListPlans plans,
      Vendor vendor,
      String index,
      @Nullable Long chart,
      @Nullable Boolean open,
      SignalStore.@Nullable Place place) {
    SignalStore.Filter filter = new SignalStore.Filter(chart, null, open, null, null, false);
    plans.expect(
        index,
        jdbc -> new SignalStore(jdbc, JdbcClient.create(jdbc), vendor).page(filter, place, 2));
  }
}
