package org.tarebook.plantbench;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.springframework.jdbc.core.JdbcTemplate;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

/** Single readings against a bare endpoint of the same stack, and against pgbench. */
final class Singles {

  private static final int[] CONNECTIONS = {1, 8, 32};
  private static final Duration WARM_UP = Duration.ofSeconds(40);
  private static final int ROUNDS = 3;

  private final Table table;
  private final int charts;
  private final Duration time;

  Singles(Table table, int charts, Duration time) {
    this.table = table;
    this.charts = charts;
    this.time = time;
  }

  void run(Vendor vendor) throws IOException {
    TestDatabase database = TestDatabase.create(vendor);
    TestDatabase bare = vendor == Vendor.H2 ? TestDatabase.create(vendor) : database;
    AtomicLong number = new AtomicLong();
    if (vendor == Vendor.H2) {
      try (Service made = Service.tarebook(bare)) {
        Plant.make(made, charts); // an H2 file belongs to one process, so the other has its own
      }
    }
    try (Service tarebook = Service.tarebook(database)) {
      Plant plant = Plant.make(tarebook, charts);
      try (Service endpoint = Service.bare(bare)) {
        Load.play(tarebook, plant, "w", number, 8, WARM_UP);
        Load.play(endpoint, plant, "w", number, 8, WARM_UP);
        long posted = 0;
        for (int connections : CONNECTIONS) {
          double[][] rates = new double[3][ROUNDS];
          double[][] slowest = new double[2][ROUNDS];
          for (int round = 0; round < ROUNDS; round++) {
            Load own = Load.play(tarebook, plant, "k", number, connections, time);
            Load other = Load.play(endpoint, plant, "k", number, connections, time);
            posted += own.posted();
            rates[0][round] = own.rate();
            rates[1][round] = other.rate();
            slowest[0][round] = own.p99();
            slowest[1][round] = other.p99();
            rates[2][round] = vendor == Vendor.H2 ? 0 : pgbench(database, connections).orElse(0.0);
          }
          tell(vendor, connections, rates, slowest);
        }
        if (vendor == Vendor.POSTGRESQL) {
          requireStored(database, posted);
        }
      }
    }
  }

  private void tell(Vendor vendor, int connections, double[][] rates, double[][] slowest) {
    double own = Load.median(rates[0]);
    double bare = Load.median(rates[1]);
    double pgbench = Load.median(rates[2]);
    String part = "single readings, %s, %d connections".formatted(vendor, connections);
    table.atLeast(part, perSecond(own), "bare endpoint " + perSecond(bare), own / bare, 0.7);
    double p99 = Load.median(slowest[0]);
    double bareP99 = Load.median(slowest[1]);
    table.atMost(
        part + ", p99",
        millis(p99),
        "bare endpoint " + millis(bareP99),
        p99 / bareP99,
        3);
    if (pgbench > 0) {
      table.atLeast(part, perSecond(own), "pgbench " + perSecond(pgbench), own / pgbench, 0.25);
    }
  }

  private static String perSecond(double rate) {
    return String.format(Locale.ROOT, "%,.0f/s", rate);
  }

  private static String millis(double time) {
    return String.format(Locale.ROOT, "%.1f ms", time);
  }

  private static void requireStored(TestDatabase database, long posted) {
    Long stored =
        new JdbcTemplate(database.dataSource())
            .queryForObject("select count(*) from reading where event_key like 'k%'", Long.class);
    if (stored == null || stored != posted) {
      throw new IllegalStateException(posted + " readings were acknowledged, " + stored + " stored");
    }
  }

  /** Transactions a second of pgbench that insert the same row; empty where it is not installed. */
  private Optional<Double> pgbench(TestDatabase database, int connections) throws IOException {
    Path script = Files.createTempFile("pgbench", ".sql");
    JdbcTemplate jdbc = new JdbcTemplate(database.dataSource());
    jdbc.execute("create sequence if not exists bench_id start 4000000000000000000");
    BareEndpoint.Names of = BareEndpoint.Names.all(jdbc).get("C0");
    String insert = BareEndpoint.INSERT;
    for (String value :
        new String[] {
          "currval('bench_id')",
          "nextval('bench_id')",
          "" + of.station(),
          "'pg-' || currval('bench_id')",
          "" + of.instrument(),
          "" + of.characteristic(),
          "" + of.chart(),
          "now()",
          "now()",
          "4.400",
          "'kg'",
          "currval('bench_id')",
          "" + of.specification()
        }) {
      insert = insert.replaceFirst("\\?", Matcher.quoteReplacement(value));
    }
    Files.writeString(
        script,
        insert
            .replaceFirst("currval", "nextval")
            .replaceFirst("nextval\\('bench_id'\\), nextval", "nextval('bench_id'), currval"));
    Matcher url =
        Pattern.compile("jdbc:postgresql://([^:/]+):(\\d+)/([^?]+).*").matcher(database.url());
    if (!url.matches()) {
      return Optional.empty();
    }
    try {
      ProcessBuilder command =
          new ProcessBuilder(
              "pgbench",
              "-n",
              "-M",
              "prepared",
              "-c",
              "" + connections,
              "-T",
              "" + Math.max(1, time.toSeconds()),
              "-f",
              script.toString(),
              "-h",
              url.group(1),
              "-p",
              url.group(2),
              "-U",
              database.user(),
              url.group(3));
      command.environment().put("PGPASSWORD", database.password());
      Process process = command.redirectErrorStream(true).start();
      String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      Matcher tps = Pattern.compile("tps = ([0-9.]+)").matcher(said);
      if (!tps.find()) {
        throw new IllegalStateException(said);
      }
      return Optional.of(Double.valueOf(tps.group(1)));
    } catch (IOException notInstalled) {
      System.out.println("pgbench is not installed; that row is left out");
      return Optional.empty();
    }
  }
}
