package org.tarebook.chart;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.storage.Transactions;

@OnBothDatabases
class PlansTests {

  private final RunningTarebook tarebook;
  private final Plans plans;

  PlansTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
    this.plans = tarebook.bean(Plans.class);
  }

  @Test
  void aReportThatBeganBeforeAChangeLeavesTheCurrentPlanInMemory() {
    long[] now = new long[1];
    long then =
        tarebook
            .bean(Transactions.class)
            .snapshot(
                () -> {
                  long before = plans.current().version();
                  now[0] = CompletableFuture.supplyAsync(this::change).join();
                  assertThat(plans.current().version()).isEqualTo(before);
                  return before;
                });
    assertThat(now[0]).isGreaterThan(then);
    assertThat(plans.held().version()).isEqualTo(now[0]);
  }

  /** Changes master data, looks at it, and gives its version. */
  private long change() {
    ShopFloor unused = new ShopFloor(tarebook, "kg");
    return plans.current().version();
  }
}
