package org.tarebook.cure;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.ListPlans;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.json.JsonMapper;

/** A page of cures is read in order from an index. */
@OnBothDatabases
class CureListPlanTests {

  private static final Instant FROM = Instant.parse("2000-01-01T00:00:00Z");
  private static final Instant AT = Instant.parse("2030-01-01T00:00:00Z");

  @Test
  void everyFilterHasAnIndexInItsOrder(Vendor vendor) {
    try (ListPlans plans =
        new ListPlans(
            vendor,
            "cure (id, fact_key, posted_by, press_id, schedule_id, channel_set_id, started_at,"
                + " recorded_at, judge_again, version)",
            "n.i, 'k' || n.i, 'p', 1 + mod(n.i, 80), 1 + mod(n.i, 40), 1,"
                + " timestamp with time zone '2024-01-01 00:00:00+00'"
                + " + n.i * interval '1' minute,"
                + " timestamp with time zone '2024-01-01 00:00:00+00', false, 0")) {
      expect(plans, "ix_cure_started", null, null);
      expect(plans, "ix_cure_press", 3L, null);
      expect(plans, "ix_cure_schedule", null, 3L);
      expect(plans, "ix_cure_press", 3L, 3L);
    }
  }

  private static void expect(
      ListPlans plans, String index, @Nullable Long press, @Nullable Long schedule) {
    CureStore.Asked asked =
        new CureStore.Asked(press, schedule, null, null, null, null, null, FROM, AT, null, null);
    plans.expectOfClient(
        index,
        jdbc ->
            new CureStore(
                    jdbc,
                    JsonMapper.shared(),
                    plans.tarebook().bean(Ids.class),
                    plans.tarebook().vendor())
                .page(asked, AT, Long.MAX_VALUE, 2));
  }
}
