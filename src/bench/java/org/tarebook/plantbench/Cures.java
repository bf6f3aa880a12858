package org.tarebook.plantbench;

import static org.tarebook.fixtures.ScheduleFloor.object;
import static org.tarebook.fixtures.ScheduleFloor.quantity;

import java.math.BigDecimal;
import java.net.http.HttpRequest;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.IntStream;
import org.springframework.jdbc.core.JdbcTemplate;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.Client;
import org.tarebook.fixtures.CopiedRows;
import org.tarebook.fixtures.PressLoad;
import org.tarebook.fixtures.ScheduleFloor;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;
import tools.jackson.databind.json.JsonMapper;

/**
 * The full load, 28 cavities and 32 channels at a sample a second for an hour, posted in pieces of
 * a minute, closed and judged; and whether it takes longer where many cures are stored.
 */
final class Cures {

  private static final int CAVITIES = 28;
  private static final int SHAPED = 60;
  private static final int SOAKED = 3360;
  private static final int FLUSHED = 3480;
  private static final int DRAINED = 3540;
  private static final int OPENED = 3600;
  private static final int PIECE = 60;
  private static final int WARM_UP = 12;
  private static final int LOADS = 7;

  private static final JsonMapper JSON = new JsonMapper();

  private final Table table;
  private final int stored;
  private Client controller;
  private ScheduleFloor floor;
  private int loads;

  /**
   * Plays presses.
   *
   * @param stored so many cures are stored for the second half
   */
  Cures(Table table, int stored) {
    this.table = table;
    this.stored = stored;
  }

  /** How long a piece and a verdict take, in milliseconds. */
  private record Times(double piece, double verdict) {}

  void run(Vendor vendor) {
    TestDatabase database = TestDatabase.create(vendor);
    try (Service tarebook = Service.tarebook(database)) {
      Plant plant = Plant.make(tarebook, 1);
      makePress(plant.engineer());
      controller = new Client(tarebook.base(), plant.token());
      Times few = play();
      store(new JdbcTemplate(database.dataSource()));
      Times many = play();
      String beside = "%s with %%s cures stored".formatted(vendor);
      compare("a minute of 32 channels at 1 Hz, " + beside, many.piece(), few.piece());
      compare("closing and judging an hour of 28 cavities, " + beside, many.verdict(), few.verdict());
    }
  }

  private void compare(String part, double many, double few) {
    table.atMost(
        part.formatted(String.format(Locale.ROOT, "%,d", stored)),
        millis(many),
        "with a few " + millis(few),
        many / few,
        1.2);
  }

  private static String millis(double time) {
    return String.format(Locale.ROOT, "%.1f ms", time);
  }

  @SuppressWarnings("unchecked")
  private void makePress(Client quality) {
    floor = new ScheduleFloor(quality);
    Map<String, Object> definition = floor.definition();
    Map<String, Object> water = ((List<Map<String, Object>>) definition.get("steps")).get(1);
    water.putAll(Map.of("least", "PT54M", "target", "PT55M", "most", "PT56M"));
    ((List<Map<String, Object>>) definition.get("wanted"))
        .get(1)
        .put("maximum", new BigDecimal(200));
    floor.revision("r1", "2000-01-01T00:00:00Z", definition).expect(201);
    post(quality, "lines", object("code", "CURING", "name", "Curing", "kind", "CURING"));
    post(quality, "stations", object("code", "PC", "name", "Controller", "line", "CURING"));
    post(
        quality,
        "presses",
        object(
            "code",
            "P1",
            "name",
            "Press",
            "station",
            "PC",
            "cavities",
            CAVITIES,
            "altitude",
            0,
            "altitudeUnit",
            "m"));
  }

  private static Answer post(Client client, String what, Map<String, Object> json) {
    return client.post("/api/v1/" + what, JSON.writeValueAsString(json)).expect(201);
  }

  /** Plays some loads and tells the middle of their times. */
  private Times play() {
    List<Double> pieces = new ArrayList<>();
    List<Double> verdicts = new ArrayList<>();
    for (int i = 0; i < WARM_UP + LOADS; i++) {
      List<Double> own = new ArrayList<>();
      double verdict = load(Instant.now().minusSeconds(OPENED + 60), own);
      if (i >= WARM_UP) {
        pieces.addAll(own);
        verdicts.add(verdict);
      }
    }
    return new Times(median(pieces), median(verdicts));
  }

  private static double median(List<Double> millis) {
    return Load.median(millis.stream().mapToDouble(Double::doubleValue).toArray());
  }

  /** Plays one load, and tells how long the verdict took. */
  private double load(Instant start, List<Double> pieces) {
    String key = "load-" + ++loads;
    String id =
        post(
                controller,
                "cures",
                object(
                    "key",
                    key,
                    "press",
                    "P1",
                    "schedule",
                    floor.schedule(),
                    "startedAt",
                    start.toString(),
                    "barometer",
                    quantity("1013.25", "mbar"),
                    "cavities",
                    cavities(start),
                    "channels",
                    PressLoad.channels(CAVITIES)))
            .at("/id")
            .asString();
    for (int from = 0; from < OPENED + PIECE; from += PIECE) {
      String csv = piece(start, from);
      long begin = System.nanoTime();
      send("cures/" + id + "/samples?key=" + from, "text/csv", csv);
      pieces.add((System.nanoTime() - begin) / 1e6);
    }
    long begin = System.nanoTime();
    Answer answer =
        send(
            "cures/" + id + "/closing",
            "application/json",
            "{\"key\":\"%s\",\"closedAt\":\"%s\"}".formatted(key, start.plusSeconds(OPENED)));
    double millis = (System.nanoTime() - begin) / 1e6;
    if (answer.text().split("\"verdict\":\"GOOD\"", -1).length != CAVITIES + 1) {
      throw new IllegalStateException(answer.text());
    }
    return millis;
  }

  /** Posts without holding the answer against the API document, so that only the service is timed. */
  private Answer send(String what, String mediaType, String body) {
    return controller
        .send(
            "POST",
            "/api/v1/" + what,
            HttpRequest.BodyPublishers.ofString(body),
            "Content-Type",
            mediaType)
        .expect(201);
  }

  private List<Map<String, Object>> cavities(Instant start) {
    String builtAt = start.minus(Duration.ofHours(4)).toString();
    return IntStream.rangeClosed(1, CAVITIES)
        .mapToObj(
            cavity -> PressLoad.cavity(cavity, loads, "G" + loads + "-" + cavity, builtAt))
        .toList();
  }

  private static String piece(Instant start, int from) {
    StringBuilder csv = new StringBuilder("at,step,IP,RP,DT,DP");
    IntStream.rangeClosed(1, CAVITIES).forEach(cavity -> csv.append(",IT-").append(cavity));
    for (int at = from; at < from + PIECE && at <= OPENED; at++) {
      csv.append('\n').append(start.plusSeconds(at)).append(',').append(step(at));
      double steam = at < FLUSHED ? lag(142, 150, at - 30, 15) : lag(150, 105, at - FLUSHED, 40);
      double dome = steam + Math.sin(at / 9.0) / 10;
      append(csv, pressure(at, 20));
      append(csv, pressure(at, 19));
      append(csv, dome);
      append(csv, domePressure(at, dome));
      double water =
          at < SOAKED ? lag(90, 168, at - SHAPED, 20) : lag(168, 58, at - SOAKED, 22);
      for (int cavity = 1; cavity <= CAVITIES; cavity++) {
        append(csv, water + 0.02 * cavity + Math.sin((at + cavity) / 7.0) / 5);
      }
    }
    return csv.toString();
  }

  private static void append(StringBuilder csv, double value) {
    csv.append(',').append(Math.round(100 * value) / 100.0);
  }

  private static String step(int at) {
    return switch (at) {
      case 0 -> "SHAPE";
      case SHAPED -> "WATER";
      case SOAKED -> "FLUSH";
      case FLUSHED -> "DRAIN";
      case DRAINED -> "OPEN";
      default -> "";
    };
  }

  private static double lag(double from, double to, double seconds, double constant) {
    return seconds <= 0 ? from : to + (from - to) * Math.exp(-seconds / constant);
  }

  private static double pressure(int at, double full) {
    if (at < SHAPED) {
      return lag(0, 0.5, at, 4);
    }
    double filled = lag(0.5, full, at - SHAPED, 8) + Math.sin(at / 5.0) / 20;
    return at < FLUSHED ? filled : lag(full, 0, at - FLUSHED, 6);
  }

  /** Gauge pressure of saturated steam near 150 °C. */
  private static double domePressure(int at, double celsius) {
    double above = celsius - 150;
    return at < FLUSHED
        ? 4.7610 + 0.1278 * above + 0.0013 * above * above - 1.01325
        : lag(3.748, 0, at - FLUSHED, 20);
  }

  /**
   * Stores copies of the last load further back in time, under other ids, with their cavities, one
   * piece and the verdict.
   */
  private void store(JdbcTemplate jdbc) {
    System.out.printf("Storing %,d cures%n", stored);
    long id = jdbc.queryForObject("select max(id) from cure", Long.class);
    String copies = " cross join generate_series(1, " + stored + ") as g(n)";
    CopiedRows.write(jdbc, "cure", copies + " where t.id = " + id,
        Map.of("id", "t.id + g.n * 1000000000000", "fact_key", "'copy-' || g.n",
            "started_at", "t.started_at - g.n * interval '5 minutes'"));
    CopiedRows.write(jdbc, "cure_cavity", copies + " where t.cure_id = " + id,
        Map.of("cure_id", "t.cure_id + g.n * 1000000000000"));
    CopiedRows.write(jdbc, "cure_piece", copies + " where t.fact_key = '600' and t.cure_id = " + id,
        Map.of("id", "t.id + g.n * 1000000000000",
            "cure_id", "t.cure_id + g.n * 1000000000000"));
    CopiedRows.write(jdbc, "cure_verdict", copies + " where t.cure_id = " + id,
        Map.of("id", "t.id + g.n * 1000000000000",
            "cure_id", "t.cure_id + g.n * 1000000000000"));
    jdbc.execute("analyze");
  }
}
