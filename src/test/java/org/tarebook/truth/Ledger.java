package org.tarebook.truth;

import java.io.IOException;
import java.math.BigDecimal;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Queue;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.atomic.AtomicLong;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** What was sent and what was answered: facts acknowledged, refused, and cut off. */
final class Ledger {

  /** Addresses that take readings. */
  private static final Set<String> READINGS = Set.of("/api/v1/readings", "/api/v1/readings/bulk");

  /** What was sent; for readings as JSON or NDJSON, each line under a key. */
  record Sent(String path, String media, String token, String body, List<String> keys) {}

  /** A reading that was acknowledged. */
  record Known(String key, long id, JsonNode posting) {}

  private final Site site;
  private final Map<String, Known> readings = new ConcurrentHashMap<>();
  private final List<Known> inOrder = new ArrayList<>();
  private final Map<String, String> others = new ConcurrentHashMap<>();
  private final Set<String> refused = ConcurrentHashMap.newKeySet();
  private final Queue<Sent> cutOff = new ConcurrentLinkedQueue<>();
  final AtomicLong posted = new AtomicLong();
  final AtomicLong replays = new AtomicLong();
  final AtomicLong refusals = new AtomicLong();
  final AtomicLong cut = new AtomicLong();

  Ledger(Site site) {
    this.site = site;
  }

  /** A reading acknowledged before; null while there is none. */
  @Nullable Known any(Random random) {
    synchronized (inOrder) {
      return inOrder.isEmpty() ? null : inOrder.get(random.nextInt(inOrder.size()));
    }
  }

  /** Sends to a service and notes what became of it. */
  Wire.@Nullable Reply send(String base, Sent sent) {
    try {
      Wire.Reply reply = new Wire(base, sent.token()).post(sent.path(), sent.media(), sent.body());
      if (reply.status() >= 500) {
        failed(sent, reply.status() + " " + reply.text());
        return reply;
      }
      note(sent, reply);
      return reply;
    } catch (IOException | RuntimeException unanswered) {
      failed(sent, unanswered.toString());
      return null;
    }
  }

  private void failed(Sent sent, String why) {
    if (!site.disturbed()) {
      site.wrong("nothing was killed, and yet " + sent.path() + " " + sent.keys() + ": " + why);
    }
    cut.incrementAndGet();
    cutOff.add(sent);
    try {
      Thread.sleep(300); // nobody posts on and on while the service is away
    } catch (InterruptedException interrupted) {
      Thread.currentThread().interrupt();
    }
  }

  private void note(Sent sent, Wire.Reply reply) {
    if (!READINGS.contains(sent.path())) {
      noteOther(sent, reply);
    } else if (sent.media().equals("application/json")) {
      if (reply.done()) {
        acknowledged(sent.keys().get(0), reply.json().get("id").asString(), sent.body(), reply);
      } else {
        refused(sent.keys().get(0));
      }
    } else {
      noteLines(sent, reply);
    }
  }

  private void noteOther(Sent sent, Wire.Reply reply) {
    String key = sent.path() + " " + sent.keys().get(0);
    if (reply.done()) {
      JsonNode id = reply.json().get("id");
      String now = id == null ? "" : id.asString();
      String before = others.putIfAbsent(key, now);
      (before == null ? posted : replays).incrementAndGet();
      if (before != null && !before.equals(now)) {
        site.wrong(key + " was " + before + " and now is " + now);
      }
    } else {
      refusals.incrementAndGet();
    }
  }

  private void noteLines(Sent sent, Wire.Reply reply) {
    String[] bodies = sent.body().split("\n");
    String[] lines = reply.text().split("\n");
    if (!reply.done()
        || lines.length != bodies.length + 1
        || !lines[bodies.length].contains("\"end\"")) {
      failed(sent, "the bulk answer has no end: " + reply.status() + " " + lines.length + " lines");
      return;
    }
    boolean whole = true;
    for (int i = 0; i < bodies.length; i++) {
      JsonNode line = Wire.JSON.readTree(lines[i]);
      if (!line.get("outcome").asString().equals("refused")) {
        acknowledged(sent.keys().get(i), line.get("id").asString(), bodies[i], reply);
      } else if (line.at("/problem/status").asInt() >= 500) {
        whole = false;
      } else {
        refused(sent.keys().get(i));
      }
    }
    if (!whole) {
      failed(sent, reply.text());
    }
  }

  private void acknowledged(String key, String id, String body, Wire.Reply reply) {
    Known fresh = new Known(key, Long.parseLong(id), Wire.JSON.readTree(body));
    Known before = readings.putIfAbsent(key, fresh);
    if (before == null) {
      posted.incrementAndGet();
      synchronized (inOrder) {
        inOrder.add(fresh);
      }
      return;
    }
    replays.incrementAndGet();
    if (before.id() != fresh.id()) {
      site.wrong(key + " was reading " + before.id() + " and now is " + fresh.id());
    }
    if (!before.posting().equals(fresh.posting())) {
      site.wrong(key + " was acknowledged with other content: " + body);
    }
  }

  private void refused(String key) {
    refusals.incrementAndGet();
    refused.add(key);
  }

  /** Sends what was cut off again, by the same keys, until everything is answered. */
  void repeatCutOff(Random random) {
    for (int round = 0; !cutOff.isEmpty(); round++) {
      if (round == 50) {
        site.wrong("cut off postings are not answered: " + cutOff.size());
        return;
      }
      int waiting = cutOff.size();
      for (int i = 0; i < waiting; i++) {
        Sent sent = cutOff.poll();
        if (sent != null) {
          send(site.anyBase(random), sent);
        }
      }
    }
  }

  private record Stored(String key, long id, int part, String value, @Nullable String unit) {}

  /** Holds the record against what was acknowledged; nothing else is being sent meanwhile. */
  void check() throws SQLException {
    List<Stored> stored =
        site.look(
            sql ->
                Facts.list(
                    sql,
                    "select event_key, id, part, net_value, unit from reading",
                    row ->
                        new Stored(
                            row.getString(1),
                            row.getLong(2),
                            row.getInt(3),
                            String.valueOf(row.getBigDecimal(4)),
                            row.getString(5))));
    Map<String, Stored> first = new HashMap<>();
    Set<String> parts = new HashSet<>();
    for (Stored each : stored) {
      if (!parts.add(each.key() + " " + each.part())) {
        site.wrong("the key " + each.key() + " stands twice");
      }
      if (each.part() == 0) {
        first.put(each.key(), each);
      }
      if (!readings.containsKey(each.key()) && !each.key().startsWith("amendment ")) {
        site.wrong("nobody was told of " + each);
      }
    }
    for (Known known : readings.values()) {
      Stored found = first.get(known.key());
      JsonNode value = known.posting().get("value");
      if (found == null || found.id() != known.id()) {
        site.wrong("acknowledged and not on record: " + known);
      } else if (value != null
          && (new BigDecimal(found.value()).compareTo(value.decimalValue()) != 0
              || !known.posting().get("unit").asString().equals(found.unit()))) {
        site.wrong("altered: " + known + " is " + found);
      }
    }
    for (String key : refused) {
      if (first.containsKey(key) && !readings.containsKey(key)) {
        site.wrong("refused and on record: " + key);
      }
    }
    checkOthers();
  }

  private void checkOthers() throws SQLException {
    Set<String> ids = new HashSet<>();
    for (String table : List.of("amendment", "instrument_check")) {
      ids.addAll(
          site.look(sql -> Facts.list(sql, "select id from " + table, row -> row.getString(1))));
    }
    long withdrawn =
        site.look(
                sql ->
                    Facts.list(
                        sql,
                        "select count(*) from specification where withdrawn_at is not null",
                        row -> row.getLong(1)))
            .get(0);
    long told = others.keySet().stream().filter(key -> key.contains("/withdrawal ")).count();
    if (withdrawn < told) {
      site.wrong(told + " withdrawals were acknowledged and " + withdrawn + " are on record");
    }
    others.forEach(
        (key, id) -> {
          if (!id.isEmpty() && !ids.contains(id)) {
            site.wrong("acknowledged and not on record: " + key);
          }
        });
  }
}
