package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.reading.Flag;
import org.tarebook.reading.Phase;
import org.tarebook.reading.Reading;
import org.tarebook.rejects.Works.Draft;
import org.tarebook.storage.Vendor;

/** Six days around the night on which the clocks go back, at random; counted twice. */
@OnBothDatabases
class RecountTests {

  private static final Instant START = Instant.parse("2026-10-22T16:00:00Z");
  private static final int SECONDS = 6 * 86_400;
  private static final int EVENTS = 900;
  private static final int LOADS = 120;

  private static final Map<Vendor, Works> FILLED = new EnumMap<>(Vendor.class);
  private static final Map<Integer, Map<String, String>> FIRST_ANSWERS = new LinkedHashMap<>();

  private final Works works;

  RecountTests(Vendor vendor) {
    works = FILLED.computeIfAbsent(vendor, RecountTests::fill);
  }

  @AfterAll
  static void stop() {
    FILLED.values().forEach(Works::close);
  }

  private static Works fill(Vendor vendor) {
    Works works = Works.start(vendor);
    try {
      fill(works);
    } catch (Throwable failed) {
      works.close();
      throw failed;
    }
    return works;
  }

  private static void fill(Works works) {
    Random random = new Random(20261025);
    List<Draft> all = new ArrayList<>();
    List<Reading> readings = new ArrayList<>();
    while (all.size() < EVENTS) {
      List<Draft> batch = new ArrayList<>();
      for (int i = 0; i < 30; i++) {
        Draft draft = draft(random, all);
        batch.add(draft);
        all.add(draft);
      }
      readings.addAll(works.record(batch));
    }
    for (Reading reading : readings) {
      happen(works, random, reading);
    }
    new PressLoads(works).fill(random, LOADS, START, SECONDS);
  }

  private static <T> T one(Random random, List<T> of) {
    return of.get(random.nextInt(of.size()));
  }

  private static Draft draft(Random random, List<Draft> earlier) {
    Draft again = !earlier.isEmpty() && random.nextInt(5) == 0 ? one(random, earlier) : null;
    Instant at =
        again != null && random.nextBoolean()
            ? again.at().plusSeconds(random.nextInt(240))
            : START.plusSeconds(random.nextInt(SECONDS));
    Draft draft = new Draft("K" + earlier.size(), at);
    draft.station(
        again != null ? again.station() : one(random, List.of("T1-W1", "T1-W2", "T2-W1")));
    List<String> names = new ArrayList<>();
    names.add(
        again != null && random.nextInt(4) > 0
            ? one(random, again.characteristics())
            : one(random, Works.CHARACTERISTICS));
    for (String other : Works.CHARACTERISTICS) {
      if (!names.contains(other) && random.nextInt(4) == 0) {
        names.add(other);
      }
    }
    for (String name : names) {
      switch (random.nextInt(16)) {
        case 0 -> draft.value(name, "15", Flag.UNSTABLE);
        case 1 -> draft.value(name, null, Flag.OVERLOAD);
        case 2, 3, 4 -> draft.value(name, "25");
        case 5, 6 -> draft.value(name, "9.999");
        default -> draft.value(name, one(random, List.of("10", "15", "20")));
      }
    }
    if (random.nextInt(10) == 0) {
      draft.phase(one(random, List.of(Phase.TRIAL, Phase.START_UP)));
    }
    draft.die(random.nextInt(3) == 0 ? null : "D" + random.nextInt(3));
    if (again != null) {
      draft.remeasures(again.key());
    }
    if (random.nextInt(3) == 0) {
      draft.item("N" + random.nextInt(150));
    } else if (random.nextInt(6) == 0) {
      draft.truck("W" + random.nextInt(40));
    }
    return draft;
  }

  private static void happen(Works works, Random random, Reading reading) {
    switch (random.nextInt(24)) {
      case 0 -> works.voided(reading);
      case 1 -> works.replace(reading, one(random, otherThan(reading)));
      case 2, 3 -> {
        int times = 1 + random.nextInt(2);
        for (int sequence = 1; sequence <= times; sequence++) {
          String result = one(random, List.of("PASS", "FAIL", "CONDITIONAL", "NOT_JUDGED"));
          boolean sided = result.equals("FAIL") || result.equals("CONDITIONAL");
          works.judgeAgain(
              reading, sequence, result, sided ? one(random, List.of("BELOW", "ABOVE")) : null);
        }
      }
      case 4 -> works.keepOut(reading, "INSTRUMENT_SUSPECT");
      case 5 -> {
        works.keepOut(reading, "INSTRUMENT_FAILED");
        if (random.nextBoolean()) {
          works.letIn(reading, "INSTRUMENT_FAILED");
        }
      }
      case 6 -> {
        String item = reading.event().circumstances().item();
        String other = "N" + random.nextInt(150);
        works.renumber(reading, item != null && random.nextInt(4) == 0 ? "" : other);
      }
      default -> {
        // stays as it is
      }
    }
  }

  /** Values below, within and above the limits that an amendment can give this reading. */
  private static List<String> otherThan(Reading reading) {
    BigDecimal value = reading.shown().value();
    return Stream.of("5", "15", "25")
        .filter(other -> value == null || value.compareTo(new BigDecimal(other)) != 0)
        .toList();
  }

  private static RateQuestion question(Random random, int number) {
    Set<Dimension> groupBy = EnumSet.noneOf(Dimension.class);
    for (Dimension dimension : Dimension.values()) {
      if (random.nextInt(4) == 0) {
        groupBy.add(dimension);
      }
    }
    long from = number == 0 ? 0 : random.nextInt(SECONDS);
    long length = number == 0 ? SECONDS : 1 + random.nextInt(3 * 86_400);
    return new RateQuestion(
        START.plusSeconds(from),
        START.plusSeconds(from + length),
        groupBy,
        one(random, List.of(Bucket.values())),
        new RateQuestion.Narrowing(
            maybe(random, "T1", "T2", "C1"),
            maybe(random, "TR-A", "TR-B"),
            random.nextInt(3) == 0 ? maybe(random, "P1") : null,
            maybe(random, "T1-W1", "T1-W2", "T2-W1", "C1-P1"),
            maybe(random, "D0", "D1", "2"),
            maybe(random, "A-MASS", "A-LEN", "B-MASS", "P-RUN"),
            maybe(random, "early", "late", "night")),
        one(random, List.of(0.9, 0.95, 0.99)),
        IntervalMethod.WILSON,
        number % 3 > 0,
        null);
  }

  private static @Nullable String maybe(Random random, String... of) {
    return random.nextInt(8) == 0 ? one(random, List.of(of)) : null;
  }

  private static Map<String, String> told(RateAnswer answer) {
    boolean bySideOnly =
        answer.groupBy().contains(Dimension.DIRECTION)
            && !answer.groupBy().contains(Dimension.REASON);
    Map<String, String> told = new LinkedHashMap<>();
    for (RateAnswer.Row row : answer.rows()) {
      String reason =
          row.direction() == null && row.reason() == null
              ? bySideOnly ? "- -" : ""
              : Objects.requireNonNullElse(row.direction(), "-")
                  + " "
                  + Objects.requireNonNullElse(row.reason(), "-");
      String group =
          Stream.of(
                  row.line(),
                  row.component(),
                  row.product(),
                  row.station(),
                  row.die(),
                  row.shift(),
                  row.bucket() == null ? null : row.bucket().label())
              .map(member -> member == null ? "" : member)
              .collect(Collectors.joining("|"));
      assertThat(told.put(group + " " + reason, tell(row))).as("stands once").isNull();
    }
    told.put("total", tell(answer.total()));
    return told;
  }

  private static String tell(RateAnswer.Row row) {
    return Stream.of(
            row.judged(),
            row.conditional(),
            row.passAfterFail(),
            row.readings(),
            row.remeasured(),
            row.notJudged(),
            row.voided(),
            row.replaced(),
            row.instrumentSuspect(),
            row.notRunning(),
            row.judgedSuspect(),
            row.cavities(),
            row.curedAgain(),
            row.curesNotJudged(),
            row.curesWithoutLog(),
            row.rejected(),
            row.firstPassRejected(),
            row.rejectedSuspect(),
            row.firstPassRejectedSuspect(),
            tell(row.finalRate()),
            tell(row.firstPassRate()))
        .toList()
        .toString();
  }

  private static List<Object> tell(RateAnswer.Rate rate) {
    if (rate.notComputed() == RateAnswer.NotComputed.NOTHING_JUDGED) {
      return List.of("nothing");
    }
    boolean one = rate.notComputed() == RateAnswer.NotComputed.ONE_LOAD;
    List<Object> told = new ArrayList<>(List.of(rate.share(), one ? "one load" : rate.interval()));
    if (one || rate.effectiveItems() != null) {
      told.add(one ? "one load" : rate.effectiveItems());
    }
    if (rate.betweenShifts().notComputed() == null) {
      told.add(rate.betweenShifts().dispersion());
      told.add(rate.betweenShifts().groups());
      told.add(rate.betweenShifts().interval());
    }
    return told;
  }

  @Test
  void everyRowEqualsTheRecount() {
    Recount recount = new Recount(works.tarebook().sql());
    RejectRates rates = works.tarebook().bean(RejectRates.class);
    Random random = new Random(11);
    long rows = 0;
    long rejected = 0;
    long suspect = 0;
    long leftOut = 0;
    long cavities = 0;
    long again = 0;
    for (int number = 0; number < 150; number++) {
      RateQuestion question = question(random, number);
      Map<String, String> told = told(rates.of(question));
      assertThat(told)
          .as(question.toString())
          .containsExactlyInAnyOrderEntriesOf(recount.answer(question));
      assertThat(FIRST_ANSWERS.computeIfAbsent(number, first -> told))
          .as("the same on both databases, in the same order")
          .containsExactlyEntriesOf(told);
      rows += told.size();
      RateAnswer.Row total = rates.of(question).total();
      rejected += total.rejected();
      suspect += total.rejectedSuspect();
      leftOut += total.instrumentSuspect();
      cavities += total.cavities();
      again += total.curedAgain();
    }
    assertThat(rows).isGreaterThan(2000);
    assertThat(rejected).isGreaterThan(2000);
    assertThat(suspect).isGreaterThan(50);
    assertThat(leftOut).isGreaterThan(50);
    assertThat(cavities).isGreaterThan(2000);
    assertThat(again).isGreaterThan(50);
  }

  @Test
  void windowsThatFollowEachOtherCountEveryItemOnce() {
    RejectRates rates = works.tarebook().bean(RejectRates.class);
    Random random = new Random(12);
    long judged = 0;
    long rejected = 0;
    long first = 0;
    Instant from = START.minusSeconds(86_400);
    Instant end = START.plusSeconds(SECONDS + 86_400);
    while (from.isBefore(end)) {
      Instant before = from.plusSeconds(1 + random.nextInt(40_000));
      before = before.isAfter(end) ? end : before;
      RateAnswer.Row part = rates.of(whole(from, before)).total();
      judged += part.judged();
      rejected += part.rejected();
      first += part.firstPassRejected();
      from = before;
    }
    RateAnswer.Row all = rates.of(whole(START.minusSeconds(86_400), end)).total();
    assertThat(List.of(judged, rejected, first))
        .isEqualTo(List.of(all.judged(), all.rejected(), all.firstPassRejected()));
    assertThat(all.judged()).isGreaterThan(400);
  }

  private static RateQuestion whole(Instant from, Instant before) {
    return new RateQuestion(
        from,
        before,
        Set.of(),
        Bucket.NONE,
        RateQuestion.Narrowing.NONE,
        0.95,
        IntervalMethod.WILSON,
        true,
        null);
  }

  @Test
  void asOfTheEndOfTimeAllStandsAsItDoesNow() {
    RejectRates rates = works.tarebook().bean(RejectRates.class);
    Random random = new Random(13);
    for (int number = 0; number < 25; number++) {
      RateQuestion asked = question(random, number);
      RateAnswer now = rates.of(asked);
      works.tarebook().clock().set("2100-01-01T00:00:00Z");
      RateAnswer then =
          rates.of(
              new RateQuestion(
                  asked.measuredFrom(),
                  asked.measuredBefore(),
                  asked.groupBy(),
                  asked.bucket(),
                  asked.narrowing(),
                  asked.confidence(),
                  asked.method(),
                  asked.includeSuspect(),
                  Instant.parse("2100-01-01T00:00:00Z")));
      works.tarebook().clock().run();
      assertThat(then.rows())
          .as(asked.toString())
          .usingRecursiveFieldByFieldElementComparatorIgnoringFields("unverified")
          .containsExactlyElementsOf(now.rows());
      assertThat(then.changedSince()).isZero();
    }
  }

  @Test
  void hourThatComesTwiceStandsTwice() {
    RateAnswer answer =
        works
            .tarebook()
            .bean(RejectRates.class)
            .of(
                new RateQuestion(
                    Instant.parse("2026-10-25T00:00:00Z"),
                    Instant.parse("2026-10-25T02:00:00Z"),
                    Set.of(),
                    Bucket.HOUR,
                    RateQuestion.Narrowing.NONE,
                    0.95,
                    IntervalMethod.WILSON,
                    true,
                    null));
    assertThat(answer.rows())
        .extracting(row -> row.bucket().label())
        .containsExactly("2026-10-25T02:00+02:00", "2026-10-25T02:00+01:00");
    assertThat(answer.rows()).allMatch(row -> row.bucket().whole());
  }
}
