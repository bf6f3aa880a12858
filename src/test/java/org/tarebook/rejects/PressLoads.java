package org.tarebook.rejects;

import java.sql.Types;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.tarebook.audit.Actor;
import org.tarebook.fixtures.Client;
import org.tarebook.reading.Readings;
import org.tarebook.rejects.Works.Draft;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/**
 * A curing line C1 with two presses and two schedules, one of them for a product, and loads with
 * verdicts as the database holds them.
 */
final class PressLoads {

  private static final List<String> BREACHES = List.of("SET_POINT", "LEAK", "STEP_SHORT");

  private final Works works;
  private final JdbcClient sql;
  private long ids = 500_000_000;

  PressLoads(Works works) {
    this.works = works;
    this.sql = works.tarebook().sql();
    Client quality = works.tarebook().quality();
    make(quality, "lines", "{'code':'C1','name':'n','kind':'CURING'}");
    for (String press : List.of("P1", "P2")) {
      make(quality, "stations", "{'code':'C1-%s','name':'n','line':'C1'}".formatted(press));
      make(
          quality,
          "presses",
          "{'code':'%s','name':'n','station':'C1-%s','cavities':4,'altitude':0,'altitudeUnit':'m'}"
              .formatted(press, press));
    }
    make(quality, "cure-schedules", "{'code':'CS1','name':'n','product':'P1'}");
    make(quality, "cure-schedules", "{'code':'CS2','name':'n'}");
    sql.sql("insert into channel_set (id, content_hash, channels) values (1, 'none', '[]')")
        .update();
  }

  private static void make(Client client, String path, String json) {
    client.post("/api/v1/" + path, json.replace('\'', '"')).expect(201);
  }

  /** Adds a load of cavities with these tyres, a null for one without a number; its id. */
  long load(
      String press,
      String schedule,
      Instant startedAt,
      @Nullable Instant closedAt,
      List<@Nullable String> tyres) {
    long id = ids++;
    sql.sql(
            """
            insert into cure (id, fact_key, posted_by, press_id, schedule_id, channel_set_id,
              started_at, recorded_at, closed_at, close_key, closed_by, judge_again, version,
              lock_version)
            select :id, :key, 'test', p.id, s.id, 1, :started, :started, :closed, :close, :by, false,
              1, 0 from press p, cure_schedule s where p.code = :press and s.code = :schedule
            """)
        .param("id", id)
        .param("key", "load-" + id)
        .param("started", SqlTime.of(startedAt))
        .param("closed", SqlTime.ofNullable(closedAt), Types.TIMESTAMP_WITH_TIMEZONE)
        .param("close", closedAt == null ? null : "close", Types.VARCHAR)
        .param("by", closedAt == null ? null : "test", Types.VARCHAR)
        .param("press", press)
        .param("schedule", schedule)
        .update();
    for (int cavity = 1; cavity <= tyres.size(); cavity++) {
      sql.sql("insert into cure_cavity (cure_id, cavity, mould, green_tyre) values (?, ?, 'M', ?)")
          .param(id)
          .param(cavity)
          .param(3, tyres.get(cavity - 1), Types.VARCHAR)
          .update();
    }
    return id;
  }

  /** Adds a verdict on a load; its id. */
  long verdict(long load, int number, int samples) {
    long id = ids++;
    sql.sql(
            """
            insert into cure_verdict (id, cure_id, number, because, reached_at, reached_by,
              cure_version, samples, changed, findings, lock_version)
            values (?, ?, ?, 'CLOSED', ?, 'test', 1, ?, '[]', '[]', 0)
            """)
        .params(id, load, number, SqlTime.of(Instant.now()), samples)
        .update();
    return id;
  }

  /** Adds a reason of a verdict for a cavity. */
  void reason(long verdict, int position, int cavity, String code, String weight) {
    sql.sql(
            "insert into cure_reason (verdict_id, position, cavity, code, weight, words, shared)"
                + " values (?, ?, ?, ?, ?, 'w', false)")
        .params(verdict, position, cavity, code, weight)
        .update();
  }

  /** Adds random loads: numbers that readings bear too, cured again, verdicts that succeed. */
  void fill(Random random, int loads, Instant start, int seconds) {
    for (int i = 0; i < loads; i++) {
      Instant started = start.plusSeconds(random.nextInt(seconds));
      boolean open = random.nextInt(15) == 0;
      Instant closed = open ? null : started.plusSeconds(600 + random.nextInt(3600));
      List<@Nullable String> tyres = new ArrayList<>();
      for (int cavity = 0; cavity < 4; cavity++) {
        tyres.add(random.nextInt(4) == 0 ? null : "N" + (cavity * 60 + random.nextInt(60)));
      }
      long load =
          load(
              random.nextBoolean() ? "P1" : "P2",
              i % 3 == 0 ? "CS1" : "CS2",
              started,
              closed,
              tyres);
      if (closed != null) {
        for (int number = 1; number <= 1 + random.nextInt(2); number++) {
          judge(random, load, number);
        }
        figures(random, load, closed, tyres);
      }
    }
  }

  private void judge(Random random, long load, int number) {
    int samples = random.nextInt(12) == 0 ? 0 : 1000;
    long verdict = verdict(load, number, samples);
    int position = 0;
    boolean bad = random.nextInt(5) == 0;
    for (int cavity = 1; cavity <= 4; cavity++) {
      if (samples == 0) {
        reason(verdict, position++, cavity, "NO_LOG", "DOUBT");
      }
      if (bad || random.nextInt(12) == 0) {
        for (String code : BREACHES) {
          if (random.nextInt(2) == 0) {
            reason(verdict, position++, cavity, code, "BREACH");
          }
        }
      }
      if (random.nextInt(8) == 0) {
        reason(verdict, position++, cavity, "GAP", "DOUBT");
      }
      reason(verdict, position++, cavity, "STEPS_BY_SCHEDULE", "REMARK");
    }
  }

  /** Figures of the verdict that became readings, as verdict charts post them. */
  private void figures(Random random, long load, Instant closed, List<@Nullable String> tyres) {
    String station =
        sql.sql(
                "select s.code from cure c join press p on p.id = c.press_id"
                    + " join station s on s.id = p.station_id where c.id = ?")
            .param(load)
            .query(String.class)
            .single();
    for (int cavity = 1; cavity <= 4; cavity++) {
      if (random.nextInt(3) == 0) {
        Draft draft =
            new Draft("cure:" + load + ":1:SOAK:" + cavity, closed.plusNanos(1000L * cavity))
                .station(station)
                .die(String.valueOf(cavity))
                .item(tyres.get(cavity - 1))
                .value("P-RUN", random.nextInt(4) == 0 ? "25" : "15");
        works.tarebook().bean(Readings.class).record(List.of(draft.posting()), Actor.TAREBOOK);
      }
    }
  }

  /**
   * Stores a load a quarter of an hour from 2020 on, of two tyres, one with a number that comes
   * again, each with two verdicts; the last of every tenth found a leak, one in fifty runs.
   */
  void fillMany(int count) {
    String numbers =
        works.tarebook().vendor() == Vendor.H2
            ? "(select x as n from system_range(1, %d)) m".formatted(count)
            : "(select generate_series(1, %d) as n) m".formatted(count);
    String began =
        "cast('2020-01-01 00:00:00+00:00' as timestamp with time zone) + n * interval '15' minute";
    sql.sql(
            """
            insert into cure (id, fact_key, posted_by, press_id, schedule_id, channel_set_id,
              started_at, recorded_at, closed_at, close_key, closed_by, judge_again, version,
              lock_version)
            select 700000000 + n, 'many-' || n, 'test', p.id, s.id, 1, BEGAN, current_timestamp,
              case when mod(n, 50) > 0 then BEGAN + interval '30' minute end,
              case when mod(n, 50) > 0 then 'close' end, case when mod(n, 50) > 0 then 'test' end,
              false, 1, 0
            from NUMBERS, press p, cure_schedule s where p.code = 'P1' and s.code = 'CS1'
            """
                .replace("BEGAN", began)
                .replace("NUMBERS", numbers))
        .update();
    sql.sql(
            """
            insert into cure_cavity (cure_id, cavity, mould, green_tyre)
            select 700000000 + n, c.k, 'M', case when c.k = 1 then 'N' || n / 3 end
            from NUMBERS, (select 1 as k union all select 2 as k) c
            """
                .replace("NUMBERS", numbers))
        .update();
    sql.sql(
            """
            insert into cure_verdict (id, cure_id, number, because, reached_at, reached_by,
              cure_version, samples, changed, findings, lock_version)
            select 800000000 + 2 * n + c.k, 700000000 + n, c.k, 'CLOSED', current_timestamp, 'test',
              1, 1000, '[]', '[]', 0
            from NUMBERS, (select 1 as k union all select 2 as k) c where mod(n, 50) > 0
            """
                .replace("NUMBERS", numbers))
        .update();
    sql.sql(
            """
            insert into cure_reason (verdict_id, position, cavity, code, weight, words, shared)
            select 800000000 + 2 * n + 2, 0, 1, 'LEAK', 'BREACH', 'w', false
            from NUMBERS where mod(n, 50) > 0 and mod(n, 10) = 1
            """
                .replace("NUMBERS", numbers))
        .update();
    sql.sql("analyze").update();
  }
}
