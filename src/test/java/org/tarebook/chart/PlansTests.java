package org.tarebook.chart;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.ShopFloor;
import org.tarebook.storage.MasterVersion;
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

  @Test
  void workThatWaitedMeanwhileTakesTheMastersAsTheyAreNow() {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    tarebook
        .bean(Transactions.class)
        .write(
            () -> {
              plans.forget();
              assertThat(plans.current().lines().require(floor.line(), "").retired()).isFalse();
              CompletableFuture.runAsync(() -> retire(floor.line())).join();
              return plans.current();
            });
    assertThat(plans.held().lines().require(floor.line(), "").retired()).isTrue();
    assertThat(plans.current().lines().require(floor.line(), "").retired()).isTrue();
  }

  @Test
  void aChangeThatIsUndoneLeavesNoPlan() {
    ShopFloor floor = new ShopFloor(tarebook, "kg");
    long before = plans.current().version();
    assertThatThrownBy(
            () ->
                tarebook
                    .bean(Transactions.class)
                    .write(
                        () -> {
                          tarebook.bean(MasterVersion.class).bump();
                          assertThat(plans.current().version()).isEqualTo(before + 1);
                          throw new IllegalStateException("undone");
                        }))
        .hasMessage("undone");
    assertThat(plans.held().version()).isEqualTo(before);
    assertThat(plans.current().lines().require(floor.line(), "").retired()).isFalse();
  }

  private void retire(String line) {
    Answer now = tarebook.quality().get("/api/v1/lines/" + line).expect(200);
    tarebook
        .quality()
        .put(
            "/api/v1/lines/" + line,
            "{\"name\":\"n\",\"kind\":\"TREAD_EXTRUSION\",\"retired\":true}",
            "If-Match",
            now.headers().firstValue("ETag").orElseThrow())
        .expect(200);
  }

  /** Changes master data, looks at it, and gives its version. */
  private long change() {
    ShopFloor unused = new ShopFloor(tarebook, "kg");
    return plans.current().version();
  }
}
