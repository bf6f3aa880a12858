package org.tarebook.item;

import java.time.Instant;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.ListPlans;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.storage.Vendor;

/** A page of items is read in order from an index. */
@OnBothDatabases
class ItemListPlanTests {

  private static final Instant FROM = Instant.parse("2024-01-01T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2030-01-01T00:00:00Z");

  @Test
  void everyFilterHasAnIndexInItsOrder(Vendor vendor) {
    try (ListPlans plans =
        new ListPlans(
            vendor,
            "item (number, component_id, product_id, lot, recorded_at, registered_by)",
            "'n' || n.i, case when mod(n.i, 2) = 0 then mod(n.i, 40) end,"
                + " case when mod(n.i, 2) = 1 then mod(n.i, 40) end, 'l' || mod(n.i, 100),"
                + " timestamp with time zone '2024-01-01 00:00:00+00'"
                + " + n.i * interval '1' minute, 'p'")) {
      expect(plans, "ix_item_recorded", null, null, null);
      expect(plans, "ix_item_component_recorded", 4L, null, null);
      expect(plans, "ix_item_product_recorded", null, 5L, null);
      expect(plans, "ix_item_lot_recorded", null, null, "l7");
    }
  }

  private static void expect(
      ListPlans plans, String index, Long component, Long product, String lot) {
    plans.expectOfClient(
        index,
        jdbc ->
            new ItemStore(jdbc)
                .page(
                    new ItemStore.Asked(component, product, lot, FROM, BEFORE),
                    new ItemStore.Place(Instant.parse("2024-02-01T00:00:00Z"), ""),
                    2));
  }
}
