package org.tarebook.check;

import java.time.Instant;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.ListPlans;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.storage.Vendor;

/** A page of checks is read in order from an index. */
@OnBothDatabases
class CheckListPlanTests {

  private static final Instant FROM = Instant.parse("2000-01-01T00:00:00Z");
  private static final Instant AT = Instant.parse("2030-01-01T00:00:00Z");

  @Test
  void everyFilterHasAnIndexInItsOrder(Vendor vendor) {
    try (ListPlans plans =
        new ListPlans(
            vendor,
            "instrument_check (id, instrument_id, fact_key, checked_at, recorded_at, standard,"
                + " certificate, standard_value, unit, as_found, as_found_result,"
                + " on_verification, permissible_error, permissible_error_unit, limit_from,"
                + " posted_by)",
            "n.i, 1 + mod(n.i, 40), 'k' || n.i,"
                + " timestamp with time zone '2024-01-01 00:00:00+00'"
                + " + n.i * interval '1' minute,"
                + " timestamp with time zone '2024-01-01 00:00:00+00', 's', 'c', 1, 'kg', '1',"
                + " 'PASS', false, 1, 'kg', 'l', 'p'")) {
      plans.expectOfClient(
          "ix_instrument_check_checked",
          jdbc -> new CheckStore(jdbc, vendor).page(null, FROM, null, null, AT, Long.MAX_VALUE, 2));
      plans.expectOfClient(
          "ix_instrument_check_instrument",
          jdbc -> new CheckStore(jdbc, vendor).page(3L, FROM, null, null, AT, Long.MAX_VALUE, 2));
    }
  }
}
