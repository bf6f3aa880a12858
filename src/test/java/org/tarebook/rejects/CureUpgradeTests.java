package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.temporal.ChronoUnit;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.JsonNode;

/** Cures of a plant whose presses had no locks yet. */
@OnBothDatabases
class CureUpgradeTests {

  private static final String WINDOW =
      "measuredFrom=2026-03-02T00:00:00Z&measuredBefore=2026-03-03T00:00:00Z";

  @Test
  void standAsSoonAsTheyAreKnownAndNotBefore(Vendor vendor) {
    TestDatabase database = TestDatabase.create(vendor);
    database.flyway().target("24").load().migrate();
    for (String statement :
        """
        insert into line (id, code, name, kind, row_version) values (1, 'C', 'n', 'CURING', 0);
        insert into station (id, code, name, line_id, row_version) values (2, 'CP', 'n', 1, 0);
        insert into press (id, code, name, station_id, cavities, altitude, row_version)
          values (3, 'OLD', 'n', 2, 2, 0, 0), (4, 'IDLE', 'n', 2, 2, 0, 0);
        insert into cure_schedule (id, code, name, row_version) values (5, 'CS', 'n', 0);
        insert into channel_set (id, content_hash, channels) values (6, 'none', '[]');
        insert into cure (id, fact_key, posted_by, press_id, schedule_id, channel_set_id, started_at,
          recorded_at, closed_at, close_key, closed_by, judge_again, version)
          values (7, 'k', 'p', 3, 5, 6, timestamp with time zone '2026-03-02 06:00:00+00',
          timestamp with time zone '2026-03-02 06:00:00+00',
          timestamp with time zone '2026-03-02 07:00:00+00', 'c', 'p', false, 1);
        insert into cure_cavity (cure_id, cavity, mould) values (7, 1, 'M'), (7, 2, 'M');
        insert into cure_verdict (id, cure_id, number, because, reached_at, reached_by,
          cure_version, samples, changed, findings) values (8, 7, 1, 'CLOSED',
          timestamp with time zone '2026-03-02 07:00:00+00', 'p', 1, 100, '[]', '[]');
        insert into cure_reason (verdict_id, position, cavity, code, weight, words, shared)
          values (8, 0, 2, 'LEAK', 'BREACH', 'w', false)
        """
            .split(";")) {
      database.sql().sql(statement).update();
    }
    Instant now = Instant.now().truncatedTo(ChronoUnit.SECONDS);
    try (RunningTarebook tarebook = RunningTarebook.start(database)) {
      String rates = "/api/v1/reject-rates?" + WINDOW;
      JsonNode total = tarebook.reader().get(rates + "&line=C").expect(200).at("/total");
      assertThat(total.get("judged").asInt()).isEqualTo(2);
      assertThat(total.get("rejected").asInt()).isEqualTo(1);
      tarebook.clock().set(now.plusSeconds(601));
      JsonNode then =
          tarebook.reader().get(rates + "&line=C&asOf=" + now.plusSeconds(600)).expect(200).json();
      assertThat(then.at("/total/rejected").asInt()).isEqualTo(1);
      assertThat(then.at("/changedSince").asInt()).isZero();
      Answer refused = tarebook.reader().get(rates + "&asOf=" + now.minusSeconds(3600)).expect(422);
      assertThat(refused.at("/errors/0/detail").asString()).contains("how all cures stood");
      assertThat(
              tarebook
                  .sql()
                  .sql("select version from write_lock where id in (3, 4) order by id")
                  .query(Long.class)
                  .list())
          .containsExactly(1L, 0L);
    }
  }
}
