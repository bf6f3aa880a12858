package org.tarebook.truth;

import java.io.IOException;
import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.sql.SQLException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.atomic.AtomicLong;
import org.jspecify.annotations.Nullable;
import tools.jackson.databind.JsonNode;

/** Asks random questions and holds every answer against the recomputation. */
final class Asking implements Runnable {

  /** A moment at which nothing was being written, and what was on record then. */
  private record Remembered(Instant moment, long version, Facts.Marks marks) {}

  private final Site site;
  private final Floor floor;
  private final Random random;
  private final List<List<Remembered>> remembered = new ArrayList<>();
  final AtomicLong underLoad = new AtomicLong();
  final AtomicLong notComparable = new AtomicLong();
  final AtomicLong quiet = new AtomicLong();
  final AtomicLong asOf = new AtomicLong();
  final AtomicLong points = new AtomicLong();
  final AtomicLong searches = new AtomicLong();

  Asking(Site site, Floor floor, long seed) {
    this.site = site;
    this.floor = floor;
    this.random = new Random(seed);
    Floor.CHARTS.forEach(chart -> remembered.add(new ArrayList<>()));
  }

  /** Asks once while others write; compares as of the version that the answer names. */
  @Override
  public void run() {
    Floor.Charted chart = Floor.CHARTS.get(random.nextInt(Floor.CHARTS.size()));
    try {
      Facts.Marks marks = site.look(sql -> Facts.marks(sql, chart.code()));
      Question question = question(chart, List.of());
      JsonNode answer = ask(question, "");
      Facts facts = site.look(sql -> Facts.read(sql, chart.code()));
      long version = answer.at("/state/version").asLong();
      if (facts.version() == version || facts.marks().equals(marks)) {
        Recomputed then = new Recomputed(facts.asOf(version, facts.marks(), Instant.MAX));
        compare(question, answer, then, "under load");
        underLoad.incrementAndGet();
      } else {
        notComparable.incrementAndGet();
      }
    } catch (IOException | SQLException | RuntimeException failure) {
      if (!site.disturbed()) {
        site.wrong("nothing was killed, and yet a question failed: " + failure);
      }
    }
  }

  private record Question(
      Floor.Charted chart, Moments.Window window, String estimator, @Nullable String stratum) {
    String query() {
      return "measuredFrom="
          + window.from()
          + "&measuredBefore="
          + window.before()
          + (stratum == null
              ? ""
              : "&stratum=" + URLEncoder.encode(stratum, StandardCharsets.UTF_8));
    }
  }

  private Question question(Floor.Charted chart, List<Facts.Row> rows) {
    return new Question(
        chart,
        Moments.window(random, rows),
        chart.estimators().get(random.nextInt(chart.estimators().size())),
        random.nextInt(4) > 0 ? null : chart.strata().get(random.nextInt(chart.strata().size())));
  }

  private JsonNode ask(Question question, String more) throws IOException {
    return read(
            "/api/v1/capability?chart="
                + question.chart().code()
                + "&estimator="
                + question.estimator()
                + "&evenIfNotInControl=true&mixture=true&"
                + question.query()
                + more,
            "application/json")
        .json()
        .at("/studies/0");
  }

  private Wire.Reply read(String path, String accept) throws IOException {
    Wire.Reply reply = new Wire(site.anyBase(random), floor.token("READER")).get(path, accept);
    if (!reply.done()) {
      throw new IOException(path + " was answered " + reply);
    }
    return reply;
  }

  /** Asks about every chart while nothing is written, of now and of moments remembered. */
  void whileQuiet(int questions) throws IOException, SQLException {
    for (int i = 0; i < Floor.CHARTS.size(); i++) {
      Floor.Charted chart = Floor.CHARTS.get(i);
      Facts facts = site.look(sql -> Facts.read(sql, chart.code()));
      Recomputed now = new Recomputed(facts);
      for (int j = 0; j < questions; j++) {
        Question question = question(chart, facts.rows());
        JsonNode answer = ask(question, "");
        if (answer.at("/state/version").asLong() != facts.version()) {
          site.wrong(chart.code() + " is at " + facts.version() + " and answers " + answer);
        }
        compare(question, answer, now, "quiet");
        quiet.incrementAndGet();
      }
      for (int j = 0; j < 4; j++) {
        comparePoints(question(chart, facts.rows()), now, "");
        searches(question(chart, facts.rows()), now);
      }
      List<Remembered> moments = remembered.get(i);
      for (int j = 0; j < questions && !moments.isEmpty(); j++) {
        asOf(chart, facts, moments.get(random.nextInt(moments.size())));
      }
    }
  }

  /**
   * Remembers how every chart stands, while nothing is written.
   *
   * @param moment in whose minute, and in those since the last fact, nothing is written before it
   */
  void remember(Instant moment) throws SQLException {
    for (int i = 0; i < Floor.CHARTS.size(); i++) {
      String code = Floor.CHARTS.get(i).code();
      Facts facts = site.look(sql -> Facts.read(sql, code));
      remembered.get(i).add(new Remembered(moment, facts.version(), facts.marks()));
    }
  }

  private void asOf(Floor.Charted chart, Facts facts, Remembered then) throws IOException {
    Question question = question(chart, facts.rows());
    JsonNode answer = ask(question, "&asOf=" + then.moment());
    long version = answer.at("/state/version").asLong();
    if (version < then.version()) {
      site.wrong(chart.code() + " at " + then.moment() + " forgets versions since " + version);
    } else if (version > then.version()) {
      site.wrong(chart.code() + " at " + then.moment() + " was at " + then + ", not at " + version);
    } else {
      Facts earlier = facts.asOf(version, then.marks(), then.moment());
      Recomputed truth = new Recomputed(earlier);
      compare(question, answer, truth, "as of " + then.moment());
      if (random.nextInt(3) == 0) {
        comparePoints(question, truth, "&asOf=" + then.moment());
      }
      asOf.incrementAndGet();
    }
  }

  private void compare(Question question, JsonNode answer, Recomputed truth, String when) {
    Recomputed.Study wanted =
        truth.study(
            question.window().from(),
            question.window().before(),
            question.estimator(),
            question.stratum());
    List<String> differences = StudyComparison.differences(wanted, question.estimator(), answer);
    if (!differences.isEmpty()) {
      site.wrong(
          "%s %s %s, version %s: %s"
              .formatted(
                  question.chart().code(),
                  question.estimator() + " " + question.query(),
                  when,
                  answer.at("/state/version"),
                  String.join("; ", differences)));
    }
  }

  private void comparePoints(Question question, Recomputed truth, String more) throws IOException {
    JsonNode answer =
        read(
                "/api/v1/charts/" + question.chart().code() + "/points?" + question.query() + more,
                "application/json")
            .json();
    List<Recomputed.Shown> wanted = new ArrayList<>();
    for (Recomputed.Shown each :
        truth.points(question.window().from(), question.window().before())) {
      if (question.stratum() == null || each.stratum().equals(question.stratum())) {
        wanted.add(each);
      }
    }
    List<Recomputed.Shown> told = new ArrayList<>();
    for (JsonNode each : answer.get("points")) {
      told.add(
          new Recomputed.Shown(
              Instant.parse(each.get("at").asString()),
              each.get("stratum").asString(),
              each.get("firstReading").asLong(),
              each.get("lastReading").asLong(),
              each.get("value").doubleValue(),
              each.hasNonNull("spread") ? (Double) each.get("spread").doubleValue() : null));
    }
    if (!told.equals(wanted)) {
      int i = 0;
      while (i < told.size() && i < wanted.size() && told.get(i).equals(wanted.get(i))) {
        i++;
      }
      site.wrong(
          "points of %s %s: %d told, %d wanted; the first that differs is %s, wanted %s"
              .formatted(
                  question.chart().code(),
                  question.query() + more,
                  told.size(),
                  wanted.size(),
                  i < told.size() ? told.get(i) : "none",
                  i < wanted.size() ? wanted.get(i) : "none"));
    }
    points.addAndGet(wanted.size());
  }

  private void searches(Question question, Recomputed truth) throws IOException {
    Moments.Window window = question.window();
    boolean byResult = question.chart().code().equals("D-WIDTH") && random.nextBoolean();
    String result = List.of("PASS", "FAIL", "NOT_JUDGED").get(random.nextInt(3));
    int kind = random.nextInt(1 + Standing.Cause.values().length);
    Standing.Cause cause = kind == 0 ? null : Standing.Cause.values()[kind - 1];
    String which = byResult ? "&result=" + result : cause == null ? "" : "&standing=" + cause;
    String text =
        read(
                "/api/v1/readings?chart=%s&measuredFrom=%s&measuredBefore=%s%s"
                    .formatted(question.chart().code(), window.from(), window.before(), which),
                "application/x-ndjson")
            .text();
    long told = text.lines().filter(line -> line.contains("\"measuredAt\"")).count();
    long wanted =
        byResult
            ? truth.judged(window.from(), window.before(), result)
            : truth.found(window.from(), window.before(), cause);
    if (told != wanted) {
      site.wrong(
          "a search of %s%s in %s finds %d, wanted %d"
              .formatted(question.chart().code(), which, window, told, wanted));
    }
    searches.incrementAndGet();
  }
}
