package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.support.SqlArrayValue;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.rejects.RejectSql.Look;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/** How a few hours of many cures are read. */
@OnBothDatabases
class CurePlanTests {

  private static final String CURES = "cure|cure_cavity|cure_verdict|cure_reason";
  private static final Instant DAY = Instant.parse("2020-10-21T00:00:00Z");

  @Test
  void hoursAreReadByIndexesOnlyAndCountedRight(Vendor vendor) {
    try (Works works = Works.start(vendor)) {
      works.fill(1000);
      new PressLoads(works).fillMany(30_000);
      for (Look look : List.of(Look.NOW, Look.of(DAY, vendor))) {
        assertByIndexes(plan(works, RejectSql.readingsAndCures("", "", look)));
        assertByIndexes(
            plan(works, RejectSql.readingsAndCures("", " and c.press_id in (1, 2)", look)));
        assertByIndexes(plan(works, RejectSql.otherCures("", look)));
      }
      assertThat(plan(works, RejectSql.readingsAndCures("", "", Look.NOW)))
          .contains("ix_cure_press_closed")
          .containsPattern("ix_cure_(started|press)\\b");
      assertByIndexes(plan(works, RejectSql.changedCures("", false)));
      assertByIndexes(plan(works, RejectSql.changedCures("", true)));
      assertThat(plan(works, RejectSql.loaded(vendor))).contains("ix_cure_cavity_green_tyre");

      RateAnswer.Row total =
          works
              .tarebook()
              .bean(RejectRates.class)
              .of(
                  new RateQuestion(
                      DAY,
                      DAY.plusSeconds(86_400),
                      Set.of(),
                      Bucket.NONE,
                      RateQuestion.Narrowing.NONE,
                      0.95,
                      IntervalMethod.WILSON,
                      true,
                      null))
              .total();
      // Loads 28222 to 28317 ended in the day, without 28250 and 28300, which run. Each has a tyre
      // without a number, and of the numbered ones each third is the first of its number: 32.
      assertThat(total.cavities()).isEqualTo(2 * 96);
      assertThat(total.curesWithoutLog()).isEqualTo(2 * 2);
      assertThat(total.judged()).isEqualTo(94 + 32);
      assertThat(total.curedAgain()).isEqualTo(94 - 32);
      // A leak in loads 28231, 28241 … 28311, of which those divisible by 3 are firsts.
      assertThat(total.firstPassRejected()).isEqualTo(firsts(28_231, 28_311));
    }
  }

  /** Of every tenth load, how many are the first cure of their number. */
  private static long firsts(int from, int until) {
    return IntStream.rangeClosed(from, until)
        .filter(load -> (load - from) % 10 == 0 && load % 3 == 0)
        .count();
  }

  private static void assertByIndexes(String plan) {
    assertThat(plan)
        .doesNotContainPattern("seq scan on (" + CURES + ")\\b")
        .doesNotContainPattern("public\\.(" + CURES + ")\\.tablescan")
        .doesNotContain("fk_cure_press"); // would read all cures of a press
  }

  private static String plan(Works works, String sql) {
    return String.join(
            "\n",
            works
                .tarebook()
                .sql()
                .sql("explain " + sql)
                .param("from", SqlTime.of(DAY))
                .param("before", SqlTime.of(DAY.plusSeconds(7200)))
                .param("asOf", SqlTime.of(DAY))
                .param("names", new SqlArrayValue("varchar", "a", "b"))
                .param("cures", new SqlArrayValue("bigint", 1L, 2L))
                .query(String.class)
                .list())
        .toLowerCase(Locale.ROOT);
  }
}
