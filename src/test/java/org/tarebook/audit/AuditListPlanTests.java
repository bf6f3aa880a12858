package org.tarebook.audit;

import java.time.Clock;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.ListPlans;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.json.JsonMapper;

/** A page of changes is read in order from an index. */
@OnBothDatabases
class AuditListPlanTests {

  private static final Instant AT = Instant.parse("2030-01-01T00:00:00Z");

  @Test
  void everyFilterHasAnIndexInItsOrder(Vendor vendor) {
    try (ListPlans plans =
        new ListPlans(
            vendor,
            "audit_entry (id, at, actor, actor_kind, action, subject, code, detail)",
            "-n.i, timestamp with time zone '2024-01-01 00:00:00+00'"
                + " + n.i * interval '1' minute, 'p', 'PERSON', 'change',"
                + " 'S' || mod(n.i, 50), 'L' || mod(n.i, 40), '{}'")) {
      expect(plans, "ix_audit_entry_at", null, null);
      expect(plans, "ix_audit_entry_subject_time", "S3", null);
      expect(plans, "ix_audit_entry_code_time", null, "L3");
      expect(plans, "_time", "S3", "L3"); // both give the order
    }
  }

  private static void expect(
      ListPlans plans, String index, @Nullable String subject, @Nullable String code) {
    plans.expectOfClient(
        index,
        jdbc ->
            new Audit(
                    jdbc, plans.tarebook().bean(Ids.class), Clock.systemUTC(), JsonMapper.shared())
                .page(subject, code, Instant.EPOCH, AT, Long.MAX_VALUE, 2));
  }
}
