package org.tarebook.plantbench;

import java.net.http.HttpRequest;
import java.time.Duration;
import java.time.Instant;
import java.util.Locale;
import java.util.Map;
import org.springframework.jdbc.core.JdbcTemplate;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

/** Capability and points of charts with long histories against the plain SQL aggregate. */
final class Reports {

  private static final int TIMES = 15;
  private static final Duration WARM_UP = Duration.ofSeconds(10);
  private static final Duration YEAR = Duration.ofDays(390);

  private final Table table;
  private final int most;

  Reports(Table table, int most) {
    this.table = table;
    this.most = most;
  }

  void run() throws InterruptedException {
    TestDatabase database = TestDatabase.create(Vendor.POSTGRESQL);
    JdbcTemplate jdbc = new JdbcTemplate(database.dataSource());
    Instant from = Instant.now().minus(YEAR);
    Instant before = from.plus(YEAR.minusDays(1));
    try (Service tarebook = Service.tarebook(database, "--tarebook.segments-every=PT1S")) {
      Plant plant = Plant.make(tarebook, 200, 200);
      for (int chart = 3; chart < 200; chart++) {
        fill(jdbc, chart, 1000, 10, from, before);
      }
      int[] sizes = {100_000, most / 10, most};
      for (int i = 0; i < sizes.length; i++) {
        fill(jdbc, i, sizes[i], 1, from, before);
      }
      jdbc.execute("analyze reading");
      freeze(plant, from);
      waitForSegments(jdbc, from.plus(YEAR.minusDays(8))); // all but the last burst
      String window = "&measuredFrom=" + from + "&measuredBefore=" + before;
      double[] millis = new double[sizes.length];
      for (int i = 0; i < sizes.length; i++) {
        millis[i] = compare(plant.engineer(), jdbc, i, sizes[i], window, from, before);
      }
      table.atMost(
          "capability, growth from %,d to %,d readings".formatted(sizes[0], most),
          millis(millis[2]),
          millis(millis[0]),
          millis[2] / millis[0],
          1.3);
      get(plant.engineer(), "capability?line=L0" + window);
      double one = time(() -> fetch(plant.engineer(), "capability?chart=H5" + window));
      double all = time(() -> fetch(plant.engineer(), "capability?line=L0" + window));
      table.atMost("capability of a line of 200 charts", millis(all), millis(one), all / one, 3);
      rates(plant.engineer(), jdbc, sizes[0], from, before);
      search(tarebook.base(), plant, jdbc);
    }
  }

  /** Reject rates of a year by shift, of one characteristic among all. */
  private void rates(Client client, JdbcTemplate jdbc, int size, Instant from, Instant before) {
    long scans = scans(jdbc);
    String asked =
        "reject-rates?groupBy=SHIFT&characteristic=C0&measuredFrom="
            + from
            + "&measuredBefore="
            + before;
    Answer answer = get(client, asked);
    long judged = answer.at("/total/judged").asLong();
    if (judged < size - 1L) {
      throw new IllegalStateException(judged + " items of " + size + ": " + answer.text());
    }
    double own = time(() -> fetch(client, asked));
    double plain = time(() -> aggregate(jdbc, 0, from, before));
    table.beside(
        "reject rates of %,d readings in a year by shift".formatted(size),
        millis(own),
        "SQL count and mean " + millis(plain),
        own / plain);
    noScan("reject rates", jdbc, scans);
  }

  /** Readings of one item, among all. */
  private void search(String base, Plant plant, JdbcTemplate jdbc) {
    String posting = plant.posting("item", 0, Instant.now());
    new Client(base, plant.token())
        .post("/api/v1/readings", posting.replace("}", ",\"item\":\"BENCH-1\"}"))
        .expect(201);
    long scans = scans(jdbc);
    String asked = "readings?item=BENCH-1";
    require(get(plant.engineer(), asked), "BENCH-1");
    double own = time(() -> fetch(plant.engineer(), asked));
    double one = time(() -> fetch(plant.engineer(), "lines/L0"));
    table.beside("readings of one item", millis(own), "one line " + millis(one), own / one);
    noScan("search by item", jdbc, scans);
  }

  private void noScan(String part, JdbcTemplate jdbc, long before) {
    long scans = scans(jdbc) - before;
    table.atMost(
        "sequential scans of all readings by " + part, Long.toString(scans), "none", scans, 0);
  }

  /** How often PostgreSQL has read the table of readings from end to end. */
  private static long scans(JdbcTemplate jdbc) {
    try {
      Thread.sleep(2000); // a connection tells its counts when it has been idle for a second
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
    }
    Long scans =
        jdbc.queryForObject(
            "select seq_scan from pg_stat_user_tables where relname = 'reading'", Long.class);
    return scans == null ? 0 : scans;
  }

  private double compare(
      Client client,
      JdbcTemplate jdbc,
      int chart,
      int size,
      String window,
      Instant from,
      Instant before) {
    String capability = "capability?chart=H" + chart + window;
    Answer answer = get(client, capability);
    double own = time(() -> fetch(client, capability));
    String charted = "charts/H" + chart + "/points?" + window.substring(1);
    get(client, charted);
    double points = time(() -> fetch(client, charted));
    Map<String, Object> sql = aggregate(jdbc, chart, from, before);
    double plain = time(() -> aggregate(jdbc, chart, from, before));
    same(answer.at("/studies/0/mean").asDouble(), sql.get("mean"));
    same(answer.at("/studies/0/sigmaTotal/sigma").asDouble(), sql.get("sd"));
    if (answer.at("/studies/0/counts/readings").asLong() != ((Number) sql.get("n")).longValue()) {
      throw new IllegalStateException(answer.text());
    }
    String part = "%,d readings, PostgreSQL".formatted(size);
    table.atLeast(
        "capability of a year, " + part, millis(own), "SQL " + millis(plain), plain / own, 100);
    table.atLeast(
        "10,000 points of a year, " + part,
        millis(points),
        "SQL " + millis(plain),
        plain / points,
        100);
    return own;
  }

  private static void same(double own, Object sql) {
    double plain = ((Number) sql).doubleValue();
    if (Math.abs(own - plain) > 4e-15 * Math.abs(plain)) {
      throw new IllegalStateException(own + " is not " + plain);
    }
  }

  private static Map<String, Object> aggregate(
      JdbcTemplate jdbc, int chart, Instant from, Instant before) {
    return jdbc.queryForMap(
        "select count(*) as n, avg(net_value) as mean, stddev_samp(net_value) as sd,"
            + " min(net_value), max(net_value) from reading r where r.characteristic_id ="
            + " (select id from characteristic where code = ?) and r.measured_at >= ?::timestamptz"
            + " and r.measured_at < ?::timestamptz",
        "C" + chart,
        from.toString(),
        before.toString());
  }

  /**
   * Writes readings of a chart in the shape in which the service stores them, spread evenly in
   * bursts of one a minute.
   */
  private static void fill(
      JdbcTemplate jdbc, int chart, int size, int burst, Instant from, Instant before) {
    BareEndpoint.Names of = BareEndpoint.Names.all(jdbc).get("C" + chart);
    double step = Duration.between(from, before).toMillis() / 1000.0 / size;
    jdbc.update(
        String.format(
            Locale.ROOT,
            "insert into reading (id, event_id, station_id, event_key, part, instrument_id,"
                + " characteristic_id, chart_id, lock_version, measured_at, recorded_at, counter,"
                + " net_value, decimals, unit, phase, root_event_id, result, specification_id,"
                + " posted_by) select %1$d + i, %1$d + i, %2$d, 'f%3$d-' || i, 0, %4$d, %5$d, %6$d,"
                + " 1, timestamptz '%7$s' + (i / %11$d * %11$d * %8$f"
                + " + mod(i, %11$d) * 60) * interval '1 second', now(), i,"
                + " 4.4 + floor((random() + random() + random() - 1.5) * 30) / 1000, 3, 'kg',"
                + " 'RUNNING', %1$d + i, 'PASS', %9$d, 'bench' from generate_series(1, %10$d) i",
            1_000_000_000_000L * (chart + 1),
            of.station(),
            chart,
            of.instrument(),
            of.characteristic(),
            of.chart(),
            from,
            step,
            of.specification(),
            size - 1,
            burst));
    jdbc.update("update write_lock set version = 1 where id = ?", of.chart());
  }

  /** Freezes limits from the first days, as a plant does for a chart that it runs for a year. */
  private static void freeze(Plant plant, Instant from) {
    for (int chart = 0; chart < 6; chart++) {
      plant
          .engineer()
          .post(
              "/api/v1/limit-sets",
              ("{\"key\":\"f%1$d\",\"code\":\"F%1$d\",\"chart\":\"H%1$d\",\"measuredFrom\":\"%2$s\","
                      + "\"measuredBefore\":\"%3$s\",\"inForceFrom\":\"%4$s\",\"reason\":\"bench\"}")
                  .formatted(
                      chart,
                      from,
                      from.plus(Duration.ofDays(chart > 2 ? 100 : 10)),
                      from.plus(Duration.ofDays(380))))
          .expect(201);
    }
  }

  private static void waitForSegments(JdbcTemplate jdbc, Instant until)
      throws InterruptedException {
    System.out.println("Waiting until the service has built its segments");
    while (true) {
      Long behind =
          jdbc.queryForObject(
              "select count(*) from write_lock w join chart c on c.id = w.id"
                  + " where coalesce(w.summed_before, timestamptz 'epoch') < ?::timestamptz",
              Long.class,
              until.toString());
      if (behind != null && behind == 0) {
        return;
      }
      Thread.sleep(500);
    }
  }

  private static void require(Answer answer, String text) {
    if (!answer.text().contains(text)) {
      throw new IllegalStateException(text + " is not in " + answer.text());
    }
  }

  /** Gets an answer and holds it against the API document, which takes a while. */
  private static Answer get(Client client, String path) {
    return client.get("/api/v1/" + path).expect(200);
  }

  /** Gets an answer and nothing else, so that only the service is timed. */
  private static void fetch(Client client, String path) {
    client.send("GET", "/api/v1/" + path, HttpRequest.BodyPublishers.noBody()).expect(200);
  }

  /** The median of some times of doing something, in milliseconds, after a while to warm up. */
  private static double time(Runnable work) {
    long warm = System.nanoTime() + WARM_UP.toNanos();
    while (System.nanoTime() < warm) {
      work.run();
    }
    double[] millis = new double[TIMES];
    for (int i = 0; i < TIMES; i++) {
      long begin = System.nanoTime();
      work.run();
      millis[i] = (System.nanoTime() - begin) / 1e6;
    }
    return Load.median(millis);
  }

  private static String millis(double time) {
    return String.format(Locale.ROOT, "%.1f ms", time);
  }
}
