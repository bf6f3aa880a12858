package org.tarebook.reading;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.springframework.jdbc.support.SqlArrayValue;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;

/** How keys are found while the table is still empty; PostgreSQL keeps such a plan for long. */
@OnBothDatabases
class KeyLookupPlanTests {

  private final RunningTarebook tarebook;

  KeyLookupPlanTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  @Test
  void manyKeysAreLookedUpByTheIndexOfKeysEvenInAnEmptyTable() {
    Long[] stations = new Long[500];
    String[] keys = new String[500];
    for (int i = 0; i < keys.length; i++) {
      stations[i] = (long) (i % 8);
      keys[i] = "k-" + i;
    }
    List<String> lines =
        tarebook
            .sql()
            .sql("explain " + ReadingStore.byKeys(tarebook.vendor()))
            .param(new SqlArrayValue("bigint", (Object[]) stations))
            .param(new SqlArrayValue("varchar", (Object[]) keys))
            .query(String.class)
            .list();
    assertThat(String.join("\n", lines).toLowerCase())
        .contains("uq_reading_key")
        .doesNotContain("ix_reading_station", "seq scan", "tablescan");
  }
}
