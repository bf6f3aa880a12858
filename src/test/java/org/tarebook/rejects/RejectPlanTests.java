package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.springframework.jdbc.support.SqlArrayValue;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/** How PostgreSQL reads a small part of a large record. */
class RejectPlanTests {

  private static final Instant DAY = Instant.parse("2026-01-21T00:00:00Z");

  private static Works works;

  @BeforeAll
  static void fill() {
    works = Works.start(Vendor.POSTGRESQL);
    works.fill(400_000);
  }

  @AfterAll
  static void stop() {
    works.close();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        " and r.station_id in (select id from station where code = 'T1-W1')",
        " and r.characteristic_id in (select id from characteristic where code = 'A-MASS')"
      })
  void twoHoursAreReadByIndexesOnly(String narrowed) {
    assertThat(plan(RejectSql.readings(RejectSql.INSIDE, narrowed, RejectSql.Look.NOW)))
        .contains("pk_reading")
        .containsPattern("ix_reading_(measured|characteristic|station)");
  }

  @Test
  void readingsOutsideTheWindowAreReadByIndexesOnly() {
    assertThat(plan(RejectSql.named(Vendor.POSTGRESQL))).contains("ix_reading_item");
    assertThat(plan(RejectSql.remeasuring(Vendor.POSTGRESQL))).contains("ix_reading_root_event");
    assertThat(plan(RejectSql.FIRSTS)).contains("pk_reading", "uq_reading_key");
  }

  private static String plan(String sql) {
    List<String> lines =
        works
            .tarebook()
            .sql()
            .sql("explain " + sql)
            .param("from", SqlTime.of(DAY))
            .param("before", SqlTime.of(DAY.plusSeconds(7200)))
            .param("names", new SqlArrayValue("varchar", "a", "b"))
            .param("roots", new SqlArrayValue("bigint", 1L, 2L))
            .param("firsts", new SqlArrayValue("bigint", 1L, 2L))
            .query(String.class)
            .list();
    String plan = String.join("\n", lines);
    assertThat(plan).doesNotContain("Seq Scan on reading");
    return plan;
  }
}
