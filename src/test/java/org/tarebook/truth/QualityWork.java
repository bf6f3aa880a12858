package org.tarebook.truth;

import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.ConcurrentLinkedDeque;
import java.util.concurrent.atomic.AtomicLong;
import org.jspecify.annotations.Nullable;

/**
 * A quality engineer gone wild: voids and replaces readings, checks instruments, good and failed
 * and put right, voids checks, records specifications and withdraws them.
 */
final class QualityWork implements Runnable {

  private static final AtomicLong LAST_KEY = new AtomicLong();

  private record Revision(String characteristic, int number) {}

  private final Site site;
  private final Floor floor;
  private final Ledger ledger;
  private final Random random;
  private final ConcurrentLinkedDeque<Revision> revisions = new ConcurrentLinkedDeque<>();
  private final ConcurrentLinkedDeque<String> checks = new ConcurrentLinkedDeque<>();

  QualityWork(Site site, Floor floor, Ledger ledger, long seed) {
    this.site = site;
    this.floor = floor;
    this.ledger = ledger;
    this.random = new Random(seed);
  }

  /** One act. */
  @Override
  public void run() {
    int act = random.nextInt(100);
    if (act < 60) {
      amend();
    } else if (act < 78) {
      check();
    } else if (act < 82) {
      voidCheck();
    } else if (act < 92) {
      specify();
    } else {
      withdraw();
    }
  }

  private Wire.@Nullable Reply send(String path, String key, String body) {
    Ledger.Sent sent =
        new Ledger.Sent(
            "/api/v1/" + path, "application/json", floor.token("QUALITY"), body, List.of(key));
    return ledger.send(site.anyBase(random), sent);
  }

  private void amend() {
    Ledger.Known known = ledger.any(random);
    if (known == null) {
      return;
    }
    String key = "A-" + LAST_KEY.incrementAndGet();
    String path = "readings/" + known.id() + "/amendments";
    String body =
        random.nextBoolean()
            ? "{\"key\":\"%s\",\"kind\":\"VOID\",\"reason\":\"A hand on the scale\"}".formatted(key)
            : """
              {"key":"%s","kind":"REPLACE","reason":"Misread","replacement":{"value":%s%s}}"""
                .formatted(
                    key, replacement(known), random.nextInt(4) == 0 ? ",\"die\":\"D1\"" : "");
    Wire.Reply first = send(path, key, body);
    if (first != null && first.done() && random.nextInt(4) == 0) {
      Wire.Reply repeat = send(path, key, body);
      if (repeat != null && repeat.status() >= 400 && repeat.status() < 500) {
        site.wrong("a repeated amendment was refused: " + body + " " + repeat);
      }
      Wire.Reply other = send(path, key, body.replace("\"reason\":\"", "\"reason\":\"Not "));
      if (other != null && other.done()) {
        site.wrong("another amendment passed under the key " + key);
      }
    }
  }

  private String replacement(Ledger.Known known) {
    String characteristic = known.posting().get("characteristic").asString();
    Floor.Charted chart =
        Floor.CHARTS.stream()
            .filter(each -> each.characteristic().equals(characteristic))
            .findFirst()
            .orElseThrow();
    return StationWork.value(random, chart, known.posting().get("unit").asString()).toPlainString();
  }

  private void check() {
    String key = "C-" + LAST_KEY.incrementAndGet();
    String scale = Floor.SCALES.get(random.nextInt(Floor.SCALES.size()));
    boolean right = random.nextInt(10) < 8;
    boolean adjusted = random.nextInt(10) < (right ? 1 : 6);
    String left = adjusted ? ",\"asLeft\":[%s]".formatted(shown(random.nextInt(5) > 0)) : "";
    String found =
        adjusted && random.nextInt(5) == 0 ? "" : ",\"asFound\":[%s]".formatted(shown(right));
    Wire.Reply reply =
        send(
            "instrument-checks",
            key,
            """
        {"key":"%s","instrument":"%s","checkedAt":"%s","standard":"5 kg","certificate":"N-1",
        "standardValue":5,"unit":"kg"%s%s}"""
                .formatted(key, scale, checkedAt(), found, left));
    if (reply != null && reply.done()) {
      checks.add(reply.json().get("id").asString());
    }
  }

  private void voidCheck() {
    String check = random.nextBoolean() ? checks.pollLast() : checks.pollFirst();
    if (check != null) {
      String key = "V-" + LAST_KEY.incrementAndGet();
      Wire.Reply unused =
          send(
              "instrument-checks/" + check + "/voidings",
              key,
              "{\"key\":\"%s\",\"reason\":\"Typed wrongly\"}".formatted(key));
    }
  }

  /** At any time, sometimes at the very moment of a reading. */
  private Instant checkedAt() {
    Ledger.Known known = random.nextInt(3) == 0 ? ledger.any(random) : null;
    Instant past = Moments.now().minusSeconds(1);
    Instant at =
        known == null
            ? Moments.measured(random, random.nextInt(3) == 0).minusSeconds(40)
            : Instant.parse(known.posting().get("measuredAt").asString());
    return at.isAfter(past) ? past : at;
  }

  private String shown(boolean right) {
    return right
        ? String.format(Locale.ROOT, "5.00%d, 5", random.nextInt(6))
        : String.format(Locale.ROOT, "5.0%d", 10 + random.nextInt(30));
  }

  private void specify() {
    Floor.Charted chart = Floor.CHARTS.get(random.nextInt(Floor.CHARTS.size()));
    String unit = chart.code().equals("D-WIDTH") ? "mm" : random.nextBoolean() ? "kg" : "g";
    double centre = Double.parseDouble(chart.centre()) / Exact.factor(unit).doubleValue();
    String pattern = unit.equals("kg") ? "%.3f" : "%.1f";
    Instant from = Moments.now().plusMillis(700 + random.nextInt(2000));
    String body =
        Floor.limits(
            from.toString(),
            String.format(Locale.ROOT, pattern, centre * (0.985 + random.nextDouble() * 0.01)),
            String.format(Locale.ROOT, pattern, centre * (1.005 + random.nextDouble() * 0.01)),
            unit,
            random.nextInt(3) == 0 ? "ROUNDING" : "ABSOLUTE");
    String path = "characteristics/" + chart.characteristic() + "/specifications";
    Wire.Reply reply = send(path, from.toString(), body);
    if (reply != null && reply.done()) {
      revisions.add(new Revision(chart.characteristic(), reply.json().get("revision").asInt()));
    }
  }

  private void withdraw() {
    Revision last = random.nextBoolean() ? revisions.pollLast() : revisions.pollFirst();
    if (last != null) {
      send(
          "characteristics/"
              + last.characteristic()
              + "/specifications/"
              + last.number()
              + "/withdrawal",
          "once",
          "{\"reason\":\"Wrong drawing\"}");
    }
  }
}
