package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.reading.Posting;
import tools.jackson.databind.JsonNode;

@OnBothDatabases
class SignalWatchTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant END = FROM.plus(Duration.ofDays(60));

  private final RunningTarebook tarebook;

  SignalWatchTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /**
   * Whatever the order in which readings come, singly or together, voided or not, and whatever
   * limits are frozen and withdrawn meanwhile: the standing signals are those of all points judged
   * at once.
   */
  @Test
  void signalsAreThoseOfAllPointsJudgedAtOnce() {
    for (long seed = 1; seed <= 4; seed++) {
      Random random = new Random(seed);
      String kind = seed % 2 == 0 ? "XBAR_S" : "INDIVIDUALS";
      ChartBench bench = new ChartBench(tarebook, "kg", "NOT", kind, seed % 2 == 0 ? 2 : 1, "DIE");
      bench.record(postings(bench, random, 40, 2));
      bench.freeze(Codes.fresh("L"), FROM, FROM.plus(Duration.ofDays(2))).expect(201);
      bench
          .freeze(
              Codes.fresh("L"),
              FROM,
              FROM.plus(Duration.ofDays(2)),
              "stratum",
              "DIE=D2",
              "inForceFrom",
              FROM.plus(Duration.ofDays(9)).toString())
          .expect(201);
      List<Posting> later = postings(bench, random, 140, 30);
      Collections.shuffle(later, random);
      List<String> sets = new ArrayList<>();
      for (int i = 0; i < later.size(); ) {
        int size = Math.min(later.size() - i, 1 + random.nextInt(8));
        bench.record(later.subList(i, i + size));
        i += size;
        if (random.nextInt(6) == 0) {
          voidOne(bench, random);
        }
        if (random.nextInt(6) == 0) {
          freezeOrWithdrawOne(bench, random, sets);
        }
      }
      assertThat(ComparedSignals.stored(tarebook, bench, FROM, END))
          .isEqualTo(ComparedSignals.recomputed(tarebook, bench, FROM, END))
          .isNotEmpty();
      for (JsonNode set : standing(bench)) {
        bench.withdraw(set.at("/code").asString()).expect(201);
        assertThat(ComparedSignals.stored(tarebook, bench, FROM, END))
            .isEqualTo(ComparedSignals.recomputed(tarebook, bench, FROM, END));
      }
      assertThat(bench.signals("")).isEmpty();
      assertThat(listed(bench)).isEmpty();
    }
  }

  /** Freezes a set at one of a few moments, or withdraws one of those. */
  private static void freezeOrWithdrawOne(ChartBench bench, Random random, List<String> sets) {
    if (!sets.isEmpty() && random.nextBoolean()) {
      bench.withdraw(sets.remove(random.nextInt(sets.size()))).expect(201);
    } else {
      String code = Codes.fresh("L");
      Answer frozen =
          bench.freeze(
              code,
              FROM,
              FROM.plus(Duration.ofDays(2)),
              "stratum",
              random.nextBoolean() ? "DIE=D1" : "",
              "inForceFrom",
              FROM.plus(Duration.ofDays(3 + 6L * random.nextInt(3))).toString());
      if (frozen.status() != 409) { // another stands that begins then
        frozen.expect(201);
        sets.add(code);
      }
    }
  }

  private static List<JsonNode> standing(ChartBench bench) {
    List<JsonNode> standing = new ArrayList<>();
    String path = "/api/v1/limit-sets?chart=" + bench.chart();
    for (JsonNode set : bench.engineer().get(path).expect(200).at("/items")) {
      if (!set.has("withdrawal")) {
        standing.add(set);
      }
    }
    return standing;
  }

  private static List<Posting> postings(ChartBench bench, Random random, int count, int days) {
    List<Posting> postings = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      int value = 4385 + (int) Math.round(random.nextGaussian() * 8) + (days > 2 ? 6 : 0);
      postings.add(
          new Posting(
              Codes.fresh("K"),
              bench.floor().station(),
              bench.characteristic(),
              BigDecimal.valueOf(value, 3),
              null,
              "kg",
              FROM.plus(Duration.ofMinutes(random.nextInt(days * 1440 / 30) * 30L)),
              null,
              null,
              null,
              null,
              null,
              random.nextBoolean() ? "D1" : "D2",
              null,
              random.nextBoolean() ? null : "S-" + random.nextInt(3),
              null,
              random.nextInt(3) == 0 ? (Long) (long) random.nextInt(100) : null,
              null,
              null,
              null,
              null,
              null));
    }
    return postings;
  }

  private static void voidOne(ChartBench bench, Random random) {
    JsonNode points = bench.points(FROM, END).at("/points");
    long id = points.get(random.nextInt(points.size())).at("/lastReading").asLong();
    bench
        .engineer()
        .post(
            "/api/v1/readings/" + id + "/amendments",
            "{\"key\":\"" + Codes.fresh("V") + "\",\"kind\":\"VOID\",\"reason\":\"test\"}")
        .expect(201);
  }

  /** However many rules and points: one row a stratum and shift, and none for shifts without. */
  @Test
  void judgedShiftsAreListedOnce() {
    ChartBench bench = new ChartBench(tarebook, "kg", "NOT", "INDIVIDUALS", 1, "DIE");
    Random random = new Random(3);
    bench.record(postings(bench, random, 40, 2));
    bench.freeze(Codes.fresh("L"), FROM, FROM.plus(Duration.ofDays(2))).expect(201);
    List<String> listed = listed(bench);
    assertThat(listed).hasSize(4).doesNotHaveDuplicates();
    assertThat(listed.stream().flatMap(row -> Stream.of(row.split(" ")[0])))
        .containsOnly("DIE=D1", "DIE=D2");
  }

  private List<String> listed(ChartBench bench) {
    return tarebook
        .sql()
        .sql(
            "select stratum || ' ' || cast(shift_from as varchar) from judged_shift j"
                + " join chart c on c.id = j.chart_id where c.code = ?")
        .param(bench.chart())
        .query(String.class)
        .list();
  }
}
