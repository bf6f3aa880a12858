package org.tarebook.plantbench;

import java.sql.Timestamp;
import java.time.Instant;
import java.util.HashMap;
import java.util.Map;
import java.util.concurrent.atomic.AtomicLong;
import org.springframework.boot.SpringApplication;
import org.springframework.boot.SpringBootConfiguration;
import org.springframework.boot.autoconfigure.EnableAutoConfiguration;
import org.springframework.context.annotation.Import;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.reading.Posting;

/**
 * The least that an endpoint of the same stack can do with a posting: parse it, insert one row of the
 * same table by JDBC, commit, answer. It knows no token, key, lock, specification, chart rule or
 * retry.
 */
@SpringBootConfiguration
@EnableAutoConfiguration(
    excludeName = {
      "org.springframework.boot.flyway.autoconfigure.FlywayAutoConfiguration",
      "org.springframework.boot.hibernate.autoconfigure.HibernateJpaAutoConfiguration",
      "org.springframework.boot.data.jpa.autoconfigure.DataJpaRepositoriesAutoConfiguration",
      "org.springframework.boot.security.autoconfigure.SecurityAutoConfiguration",
      "org.springframework.boot.security.autoconfigure.UserDetailsServiceAutoConfiguration",
      "org.springframework.boot.security.autoconfigure.web.servlet.ServletWebSecurityAutoConfiguration",
      "org.springframework.boot.security.autoconfigure.web.servlet.SecurityFilterAutoConfiguration",
      "org.springframework.boot.security.autoconfigure.actuate.web.servlet.ManagementWebSecurityAutoConfiguration"
    })
@Import(BareEndpoint.Endpoint.class)
public class BareEndpoint {

  /** The row that every bare insert writes; ids and keys differ. */
  static final String INSERT =
      "insert into reading (id, event_id, station_id, event_key, part, instrument_id,"
          + " characteristic_id, chart_id, lock_version, measured_at, recorded_at, net_value,"
          + " decimals, unit, phase, root_event_id, result, specification_id, posted_by)"
          + " values (?, ?, ?, ?, 0, ?, ?, ?, 1, ?, ?, ?, 3, ?, 'RUNNING', ?, 'PASS', ?, 'bench')";

  /** Runs it. */
  public static void main(String[] args) {
    SpringApplication.run(BareEndpoint.class, args);
  }

  /** Ids of what postings name. */
  record Names(long station, long instrument, long characteristic, long chart, long specification) {

    static Map<String, Names> all(JdbcTemplate jdbc) {
      Map<String, Names> names = new HashMap<>();
      jdbc.query(
          "select c.code, s.id as station, i.id as instrument, c.id as characteristic,"
              + " h.id as chart, p.id as specification from characteristic c"
              + " join chart h on h.characteristic_id = c.id"
              + " join specification p on p.characteristic_id = c.id"
              + " join station s on s.line_id = h.line_id join instrument i on i.station_id = s.id",
          row -> {
            names.put(
                row.getString("code"),
                new Names(
                    row.getLong("station"),
                    row.getLong("instrument"),
                    row.getLong("characteristic"),
                    row.getLong("chart"),
                    row.getLong("specification")));
          });
      return names;
    }
  }

  /** What it answers. */
  record Stored(long id, String result) {}

  /** The endpoint. */
  @RestController
  static class Endpoint {

    private final JdbcTemplate jdbc;
    private final Map<String, Names> names;
    private final AtomicLong ids = new AtomicLong(1L << 60);

    Endpoint(JdbcTemplate jdbc) {
      this.jdbc = jdbc;
      this.names = Names.all(jdbc);
    }

    @PostMapping("/api/v1/readings")
    Stored post(@RequestBody Posting posting) {
      long id = ids.incrementAndGet();
      Names of = names.get(posting.characteristic());
      jdbc.update(
          INSERT,
          id,
          id,
          of.station(),
          "bare-" + posting.key(),
          of.instrument(),
          of.characteristic(),
          of.chart(),
          Timestamp.from(posting.measuredAt()),
          Timestamp.from(Instant.now()),
          posting.value(),
          posting.unit(),
          id,
          of.specification());
      return new Stored(id, "PASS");
    }
  }
}
