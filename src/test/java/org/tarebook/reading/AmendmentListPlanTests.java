package org.tarebook.reading;

import java.time.Instant;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.ListPlans;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.storage.Vendor;

/** A page of amendments is read in order from an index. */
@OnBothDatabases
class AmendmentListPlanTests {

  private static final Instant AT = Instant.parse("2024-02-01T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2030-01-01T00:00:00Z");

  @Test
  void thoseRecordedSinceAMomentComeFromAnIndexInItsOrder(Vendor vendor) {
    try (ListPlans plans =
        new ListPlans(
            vendor,
            "amendment (id, reading_id, kind, fact_key, reason, person, recorded_at)",
            "n.i, n.i, 'VOID', 'k' || n.i, 'r', 'p',"
                + " timestamp with time zone '2024-01-01 00:00:00+00'"
                + " + n.i * interval '1' minute")) {
      plans.expectOfClient(
          "ix_amendment_recorded",
          jdbc -> new AmendmentStore(jdbc).page(AT, BEFORE, Instant.EPOCH, 0, 2));
    }
  }
}
