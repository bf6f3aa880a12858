package org.tarebook.demo;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Duration;
import java.time.Instant;
import java.util.Locale;
import java.util.Random;

/**
 * The demo's four presses of four cavities, in the last week of its history. The stories in it:
 * press 1 has air in its dome for half a day; the bag of press 2, cavity 3 leaks; the couple of
 * press 3, cavity 2 is stuck; the last night shift cuts one soak of press 4 short. Beside each runs
 * a healthy twin.
 */
final class DemoPresses {

  private static final int CAVITIES = 4;
  private static final int STEP = 10;
  private static final int SHAPED = 60;
  private static final int SOAKED = 1560;
  private static final int FLUSH = 120;
  private static final int DRAIN = 60;
  private static final int OPEN = 60;
  private static final Duration BUILT_BEFORE = Duration.ofHours(20);

  private final DemoClient quality;
  private final Instant start;
  private final Duration begins;
  private final Random random;
  private long tyres;

  /**
   * The presses.
   *
   * @param weeks how long the history is; they run in its last week
   */
  DemoPresses(DemoClient quality, Instant start, int weeks, long seed) {
    this.quality = quality;
    this.start = start;
    this.begins = Duration.ofDays(7L * (weeks - 1));
    this.random = new Random(seed + 1);
  }

  void makeMasters() {
    String kinetics = DemoClient.resource("kinetics.json");
    for (String compound : new String[] {"K-12", "K-30"}) {
      quality.postJson(
          "compounds/" + compound + "/kinetics",
          kinetics.replaceFirst("\\{", "{\"key\": \"demo-" + compound + "\","));
    }
    quality.postJson(
        "cure-schedules", "{\"code\": \"FT-36-A\", \"name\": \"Cure of field tyre 36\"}");
    quality.postJson(
        "cure-schedules/FT-36-A/revisions",
        """
        {"key": "demo-1", "validFrom": "%s", "reason": "Curing sheet 36", "definition": %s}
        """
            .formatted(start, DemoClient.resource("cure-schedule.json")));
    for (int press = 1; press <= 4; press++) {
      chart(press, "SLOWEST_TO_OPENING", "FT-36-CURE");
      chart(press, "SOAK", "FT-36-SOAK");
      chart(press, "DOME_DEPRESSION", "FT-36-DOME");
    }
  }

  private void chart(int press, String figure, String characteristic) {
    quality.postJson(
        "verdict-charts",
        """
        {"press": "P%d", "figure": "%s", "characteristic": "%s"}
        """
            .formatted(press, figure, characteristic));
  }

  /** Runs the loads that end within the hour that begins at a moment. */
  void makeLoads(Instant hour) {
    Duration since = Duration.between(start, hour).minus(begins);
    if (since.isNegative() || !DemoHistory.works(start, hour) || since.toHours() % 6 != 0) {
      return;
    }
    for (int press = 1; press <= 4; press++) {
      new Load(press, hour.plusSeconds(180L * press), since).run();
    }
  }

  /** One load of one press. */
  private final class Load {
    private final int press;
    private final Instant from;
    private final boolean air;
    private final boolean leak;
    private final boolean stuck;
    private final int soaked;
    private final double barometer = 100.8 + random.nextGaussian() * 0.4;

    Load(int press, Instant from, Duration since) {
      long hours = since.toHours();
      this.press = press;
      this.from = from;
      this.air = press == 1 && hours >= 48 && hours < 66;
      this.leak = press == 2 && hours >= 72 && hours < 84;
      this.stuck = press == 3 && hours >= 96 && hours < 114;
      this.soaked = press == 4 && hours == 162 ? 900 : SOAKED;
    }

    void run() {
      String id = quality.create("cures", cure());
      String key = "P" + press + "-" + from.getEpochSecond();
      quality.postText("cures/" + id + "/samples?key=" + key, "text/csv", csv());
      quality.postJson(
          "cures/" + id + "/closing",
          """
          {"key": "%s", "closedAt": "%s"}
          """
              .formatted(key, from.plusSeconds(end())));
    }

    private int end() {
      return soaked + FLUSH + DRAIN + OPEN;
    }

    private String cure() {
      StringBuilder cavities = new StringBuilder();
      StringBuilder channels = new StringBuilder();
      for (int cavity = 1; cavity <= CAVITIES; cavity++) {
        cavities.append(
            String.format(
                Locale.ROOT,
                """
                %s{"cavity": %d, "mould": "FM-%d%d", "bladder": "BG-%d%d", "bladderCount": %d,
                 "greenTyre": "G%d", "greenTemperature": {"value": %.1f, "unit": "Cel"},
                 "builtAt": "%s"}
                """,
                cavity == 1 ? "" : ",",
                cavity,
                press,
                cavity,
                press,
                cavity,
                100 + tyres % 80,
                360_001 + tyres++,
                24 + random.nextGaussian(),
                from.minus(BUILT_BEFORE).minusSeconds(480L * cavity)));
        channels.append(
            """
            {"code": "TI-%1$d", "measured": "INTERNAL_TEMPERATURE", "circuitEnd": "RETURN",
             "unit": "Cel", "recording": "SAMPLED", "sensorClass": "PT100_A", "serves": [%1$d]},
            {"code": "PI-%1$d", "measured": "INTERNAL_PRESSURE", "circuitEnd": "SUPPLY",
             "unit": "bar", "pressure": "GAUGE", "recording": "SAMPLED", "accuracy": 0.05,
             "serves": [%1$d]},
            """
                .formatted(cavity));
      }
      return String.format(
          Locale.ROOT,
          """
          {"key": "P%d-%d", "press": "P%d", "schedule": "FT-36-A", "startedAt": "%s",
           "barometer": {"value": %.2f, "unit": "kPa"}, "cavities": [%s],
           "channels": [%s
             {"code": "PI", "measured": "INTERNAL_PRESSURE", "circuitEnd": "SUPPLY", "unit": "bar",
              "pressure": "GAUGE", "recording": "SAMPLED", "accuracy": 0.05,
              "serves": [1, 2, 3, 4]},
             {"code": "TD", "measured": "DOME_TEMPERATURE", "unit": "Cel", "recording": "SAMPLED",
              "sensorClass": "PT100_A", "serves": [1, 2, 3, 4]},
             {"code": "PD", "measured": "DOME_PRESSURE", "unit": "bar", "pressure": "GAUGE",
              "recording": "SAMPLED", "accuracy": 0.05, "serves": [1, 2, 3, 4]}]}
          """,
          press,
          from.getEpochSecond(),
          press,
          from,
          barometer,
          cavities,
          channels);
    }

    private String csv() {
      StringBuilder lines =
          new StringBuilder("at,step,PI,TD,PD,TI-1,TI-2,TI-3,TI-4,PI-1,PI-2,PI-3,PI-4\n");
      for (int at = 0; at <= end(); at += STEP) {
        lines.append(from.plusSeconds(at)).append(',').append(mark(at));
        double supply = pressure(at);
        double dome = dome(at);
        lines.append(',').append(shown(supply + noise(0.03), 2));
        lines.append(',').append(shown(dome - (air ? 2.1 : 0) + noise(0.08), 1));
        lines.append(',').append(shown(domePressure(at, dome) + noise(0.008), 2));
        for (int cavity = 1; cavity <= CAVITIES; cavity++) {
          boolean frozen = stuck && cavity == 2 && at > 600;
          double shownAt = internal(frozen ? 600 : at) + 0.15 * cavity;
          lines.append(',').append(shown(shownAt + (frozen ? 0 : noise(0.2)), 1));
        }
        for (int cavity = 1; cavity <= CAVITIES; cavity++) {
          double lost = leak && cavity == 3 ? 0.09 * Math.max(0, at - 300) / 60.0 : 0;
          lines.append(',').append(shown(Math.max(0, supply - lost) + noise(0.03), 2));
        }
        lines.append('\n');
      }
      return lines.toString();
    }

    private String mark(int at) {
      return at == 0
          ? "SHAPE"
          : at == SHAPED
              ? "WATER"
              : at == soaked
                  ? "FLUSH"
                  : at == soaked + FLUSH ? "DRAIN" : at == soaked + FLUSH + DRAIN ? "OPEN" : "";
    }

    private double noise(double sigma) {
      return sigma * random.nextGaussian();
    }

    private double internal(int at) {
      double water = lag(90, 168, at - SHAPED, 20);
      return at < soaked ? water : lag(168, 58, at - soaked, 22);
    }

    private double pressure(int at) {
      if (at < SHAPED) {
        return lag(0, 0.5, at, 4);
      }
      return at < soaked + FLUSH
          ? lag(0.5, 20, at - SHAPED, 8)
          : lag(20, 0, at - soaked - FLUSH, 6);
    }

    private double dome(int at) {
      double steam = lag(142, 150, at - 30, 15);
      return at < soaked + FLUSH ? steam : lag(150, 105, at - soaked - FLUSH, 40);
    }

    /** Gauge pressure of saturated steam of the dome's temperature, near 150 °C. */
    private double domePressure(int at, double celsius) {
      if (at >= soaked + FLUSH) {
        return lag(3.75, 0, at - soaked - FLUSH, 20);
      }
      double above = celsius - 150;
      return 4.7610 + 0.1278 * above + 0.0013 * above * above - barometer / 100;
    }

    private static double lag(double from, double to, double seconds, double constant) {
      return seconds <= 0 ? from : to + (from - to) * Math.exp(-seconds / constant);
    }

    private static BigDecimal shown(double value, int decimals) {
      return new BigDecimal(value).setScale(decimals, RoundingMode.HALF_EVEN);
    }
  }
}
