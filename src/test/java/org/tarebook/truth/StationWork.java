package org.tarebook.truth;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.atomic.AtomicLong;

/**
 * A weigh station gone wild: single and bulk readings, recent, weeks old and ahead of the clock,
 * sent again with the same and with other content, of items measured again, unsteady, or not to be
 * understood.
 */
final class StationWork implements Runnable {

  private static final AtomicLong LAST_KEY = new AtomicLong();
  private static final String JSON = "application/json";

  private final Site site;
  private final Floor floor;
  private final Ledger ledger;
  private final String station;
  private final Random random;

  StationWork(Site site, Floor floor, Ledger ledger, String station, long seed) {
    this.site = site;
    this.floor = floor;
    this.ledger = ledger;
    this.station = station;
    this.random = new Random(seed);
  }

  /** One act. */
  @Override
  public void run() {
    int act = random.nextInt(100);
    if (act < 52) {
      single(Wire.JSON.writeValueAsString(posting(false)));
    } else if (act < 78) {
      bulk();
    } else if (act < 86) {
      again(false);
    } else if (act < 92) {
      again(true);
    } else {
      senseless();
    }
  }

  private Wire.Reply single(String body) {
    String key = Wire.JSON.readTree(body).get("key").asString();
    return ledger.send(site.anyBase(random), sent(JSON, body, List.of(key)));
  }

  private Ledger.Sent sent(String media, String body, List<String> keys) {
    String path = media.equals(JSON) ? "/api/v1/readings" : "/api/v1/readings/bulk";
    return new Ledger.Sent(path, media, floor.token(station), body, keys);
  }

  private void bulk() {
    boolean late = random.nextBoolean();
    List<String> keys = new ArrayList<>();
    StringBuilder lines = new StringBuilder();
    for (int i = 2 + random.nextInt(50); i > 0; i--) {
      Ledger.Known old = random.nextInt(12) == 0 ? ledger.any(random) : null;
      Map<String, Object> posting = posting(late);
      if (random.nextInt(25) == 0) {
        posting.put("characteristic", "NOBODY-KNOWS");
      }
      boolean repeat = old != null && mine(old);
      keys.add(repeat ? old.key() : (String) posting.get("key"));
      lines.append(repeat ? old.posting() : Wire.JSON.writeValueAsString(posting)).append('\n');
    }
    ledger.send(site.anyBase(random), sent("application/x-ndjson", lines.toString(), keys));
  }

  private boolean mine(Ledger.Known known) {
    return known.posting().get("station").asString().equals(station);
  }

  /** The key of a reading that was acknowledged, with the same or with other content. */
  private void again(boolean altered) {
    Ledger.Known known = ledger.any(random);
    if (known == null || !mine(known)) {
      return;
    }
    String body = known.posting().toString();
    if (altered) {
      String at = known.posting().get("measuredAt").asString();
      body = body.replace(at, Instant.parse(at).plusNanos(1000).toString());
    }
    Wire.Reply reply = single(body);
    if (reply != null && reply.status() < 500 && reply.done() == altered) {
      site.wrong(
          (altered ? "other content passed under the key " : "a repeat was refused: ")
              + known.key()
              + " "
              + reply);
    }
  }

  /** What cannot be understood. */
  private void senseless() {
    Map<String, Object> posting = posting(false);
    switch (random.nextInt(3)) {
      case 0 -> posting.put("unit", "Cel");
      case 1 -> posting.put("characteristic", "NOBODY-KNOWS");
      default -> {
        posting.remove("value");
        posting.remove("flags");
      }
    }
    Wire.Reply reply = single(Wire.JSON.writeValueAsString(posting));
    if (reply != null && reply.done()) {
      site.wrong("was understood: " + posting);
    }
  }

  private Map<String, Object> posting(boolean late) {
    Floor.Charted chart = Floor.CHARTS.get(random.nextInt(Floor.CHARTS.size()));
    Map<String, Object> posting = new LinkedHashMap<>();
    posting.put("key", station + ":" + LAST_KEY.incrementAndGet());
    posting.put("station", station);
    posting.put("characteristic", chart.characteristic());
    String unit = chart.units().get(random.nextInt(chart.units().size()));
    posting.put("value", value(random, chart, unit));
    posting.put("unit", unit);
    posting.put("measuredAt", Moments.measured(random, late).toString());
    posting.put("die", "D" + (1 + random.nextInt(2)));
    if (random.nextInt(3) == 0) {
      posting.put("sample", "S-" + random.nextInt(30));
    }
    if (random.nextInt(2) == 0) {
      posting.put("counter", random.nextInt(1000));
    }
    if (random.nextInt(12) == 0) {
      posting.put("phase", List.of("START_UP", "TRIAL", "CHANGEOVER").get(random.nextInt(3)));
    }
    if (random.nextInt(25) == 0) {
      posting.put("flags", List.of(random.nextBoolean() ? "UNSTABLE" : "STABLE"));
    }
    if (random.nextInt(12) == 0 && !unit.equals("mm") && !unit.equals("[in_i]")) {
      posting.put("instrument", Floor.SCALES.get(random.nextInt(2))); // perhaps another station's
    }
    Ledger.Known old = random.nextInt(8) == 0 ? ledger.any(random) : null;
    if (old != null
        && mine(old)
        && old.posting().has("value")
        && !old.posting().has("item")
        && !posting.containsKey("instrument")) {
      posting.put("remeasures", old.key());
      posting.put("characteristic", old.posting().get("characteristic").asString());
      posting.put("unit", old.posting().get("unit").asString());
      posting.put("value", old.posting().get("value").decimalValue());
    } else if (random.nextInt(8) == 0) {
      posting.put("item", "I-" + random.nextInt(300));
    } else if (random.nextInt(40) == 0) {
      posting.put("flags", List.of("OVERLOAD"));
      posting.remove("value");
    }
    if (chart.code().equals("A-MEANS")
        && !posting.containsKey("remeasures")
        && random.nextInt(4) == 0) {
      Floor.Charted width = Floor.CHARTS.get(3);
      posting.put(
          "together",
          List.of(
              Map.of(
                  "characteristic",
                  width.characteristic(),
                  "value",
                  value(random, width, "mm"),
                  "unit",
                  "mm")));
    }
    return posting;
  }

  /** A value about the centre of a chart, with the decimals an instrument shows. */
  static BigDecimal value(Random random, Floor.Charted chart, String unit) {
    BigDecimal centre = new BigDecimal(chart.centre());
    double relative = 1 + random.nextGaussian() * 0.006 + (random.nextInt(200) == 0 ? 0.02 : 0);
    BigDecimal shown =
        centre.multiply(BigDecimal.valueOf(relative)).divide(Exact.factor(unit), Exact.DIGITS);
    int decimals = unit.equals("g") ? random.nextInt(2) : unit.equals("mm") ? 1 : 3;
    return shown.setScale(decimals, RoundingMode.HALF_EVEN);
  }
}
