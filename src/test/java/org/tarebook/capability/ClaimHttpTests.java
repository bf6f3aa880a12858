package org.tarebook.capability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.fixtures.ShopFloor.json;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.Test;
import org.tarebook.fixtures.Answer;
import org.tarebook.fixtures.ChartBench;
import org.tarebook.fixtures.Codes;
import org.tarebook.fixtures.OnBothDatabases;
import org.tarebook.fixtures.RunningTarebook;
import tools.jackson.databind.JsonNode;

/** What may be claimed of a process: Cpm, one-sided intervals, none seen outside, sample sizes. */
@OnBothDatabases
class ClaimHttpTests {

  private static final Instant FROM = Instant.parse("2024-05-06T00:00:00Z");
  private static final Instant BEFORE = Instant.parse("2024-05-07T00:00:00Z");
  private static final Duration STEP = Duration.ofMinutes(5);
  private static final Offset<Double> CLOSE = within(2e-9);

  private final RunningTarebook tarebook;

  ClaimHttpTests(RunningTarebook tarebook) {
    this.tarebook = tarebook;
  }

  /**
   * Of 10 on target with Cpm 0.8, of 50 half a sigma off target with Cpm 1.33; limits by adaptive
   * quadrature of the stated distribution of tau at 20 digits, by another program.
   */
  @Test
  void cpmAndItsIntervalAreThoseOfTheReference() {
    // values 1 below and above 20: s with divisor n is 1
    ChartBench on = bench();
    specify(on, 20 - 2.4, "20", 20 + 2.4);
    postTwoValues(on, 10, "19", "21");
    JsonNode cpm = on.study(FROM, BEFORE, "").at("/cpm");
    assertThat(cpm.at("/value").asDouble()).isCloseTo(0.8, CLOSE);
    assertThat(cpm.at("/lower").asDouble()).isCloseTo(0.432483903054, within(5e-4));
    assertThat(cpm.at("/upper").asDouble()).isCloseTo(1.1883877104, within(5e-4));
    assertThat(cpm.at("/divisor").asString()).isEqualTo("N");
    assertThat(cpm.at("/spread").asDouble()).isCloseTo(1, CLOSE);

    double half = 3 * Math.sqrt(1.25) * 1.33;
    ChartBench off = bench();
    specify(off, 19.5 - half, "19.5", 19.5 + half);
    postTwoValues(off, 50, "19", "21");
    cpm = off.study(FROM, BEFORE, "&evenIfNotInControl=true").at("/cpm");
    assertThat(cpm.at("/value").asDouble()).isCloseTo(1.33, CLOSE);
    assertThat(cpm.at("/lower").asDouble()).isCloseTo(1.07744408704, within(5e-4));
    assertThat(cpm.at("/upper").asDouble()).isCloseTo(1.59349521264, within(5e-4));
    assertThat(cpm.at("/target").asDouble()).isEqualTo(19.5);
  }

  @Test
  void withoutTargetThereIsNoCpmAndTheMiddleIsNotTakenForOne() {
    ChartBench bench = bench();
    bench.specification("15", "25", "kg");
    postTwoValues(bench, 10, "19", "21");
    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(study.has("cpm")).isFalse();
    assertThat(reason(study, "cpm")).isEqualTo("NO_TARGET");
    ChartBench oneSide = bench();
    specify(oneSide, null, "20", 25.0);
    postTwoValues(oneSide, 10, "19", "21");
    assertThat(reason(oneSide.study(FROM, BEFORE, ""), "cpm")).isEqualTo("ONE_SIDED");
    ChartBench same = bench();
    specify(same, 15.0, "20", 25.0);
    postTwoValues(same, 10, "20", "20");
    assertThat(reason(same.study(FROM, BEFORE, ""), "cpm")).isEqualTo("ZERO_SPREAD");
    ChartBench none = new ChartBench(tarebook, "INDIVIDUALS", 1);
    assertThat(reason(none.study(FROM, BEFORE, ""), "cpm")).isEqualTo("NO_SPECIFICATION");
    specify(none, 15.0, "20", 25.0);
    assertThat(reason(none.study(FROM, BEFORE, ""), "cpm")).isEqualTo("TOO_FEW");
  }

  /** Row n = 10, index 1.33 of index_confidence_limits.csv, checked against R 4.2.2. */
  @Test
  void aOneSidedIndexHasTheExactInterval() {
    ChartBench bench = bench();
    specify(bench, null, null, 20 + 3 * 1.33 * Math.sqrt(10 / 9.0));
    postTwoValues(bench, 10, "19", "21");
    JsonNode study = bench.study(FROM, BEFORE, "");
    assertThat(study.at("/ppk/value").asDouble()).isCloseTo(1.33, CLOSE);
    assertThat(study.at("/ppk/lower").asDouble()).isCloseTo(0.6896317972, CLOSE);
    assertThat(study.at("/ppk/upper").asDouble()).isCloseTo(1.9646272108, CLOSE);
    assertThat(study.at("/ppu")).isEqualTo(study.at("/ppk"));
  }

  /** Twenty readings in the mean, ten degrees of freedom of sigma; by scipy 1.17, nct. */
  @Test
  void aOneSidedCpkKnowsItsSigmaByTheDegreesWithin() {
    ChartBench bench = new ChartBench(tarebook, "XBAR_R", 2);
    List<String> values = new ArrayList<>();
    for (int i = 0; i < 10; i++) {
      values.addAll(List.of("19", "21"));
    }
    // each subgroup has variance 2
    specify(bench, null, null, 20 + 3 * 1.2 * Math.sqrt(2));
    bench.postAll(values, "kg", FROM, STEP);
    JsonNode study = bench.study(FROM, BEFORE, "&estimator=POOLED&evenIfNotInControl=true");
    assertThat(study.at("/sigmaWithin/degreesOfFreedom").asDouble()).isEqualTo(10);
    assertThat(study.at("/cpk/value").asDouble()).isCloseTo(1.2, CLOSE);
    assertThat(study.at("/cpk/lower").asDouble()).isCloseTo(0.6610200511915346, within(1e-8));
    assertThat(study.at("/cpk/upper").asDouble()).isCloseTo(1.735741683156341, within(1e-8));
  }

  /** None of 10 seen: the beta quantile is 1 - 0.025^(1/10). */
  @Test
  void noneSeenOutsideStillHasAnUpperLimit() {
    ChartBench bench = bench();
    bench.specification("15", "25", "kg");
    postTwoValues(bench, 10, "19", "21");
    JsonNode total = bench.study(FROM, BEFORE, "").at("/counted/total");
    assertThat(total.at("/readings").asLong()).isZero();
    assertThat(total.at("/lower").asDouble()).isZero();
    assertThat(total.at("/upper").asDouble()).isCloseTo(1 - Math.pow(0.025, 0.1), within(1e-12));
  }

  @Test
  void definitionsNameBothUsagesAndOurs() {
    ChartBench bench = new ChartBench(tarebook, "INDIVIDUALS", 1);
    JsonNode definitions =
        bench
            .engineer()
            .get("/api/v1/capability?chart=" + bench.chart())
            .expect(200)
            .at("/definitions");
    assertThat(definitions.at("/0/words").asString())
        .contains("Here, as in the AIAG manual", "ISO 22514 uses both letters");
    assertThat(definitions.toString()).contains("Boyles", "divided by n", "x99.865 - x0.135");
  }

  /** Numbers by scipy 1.17, nct: 54 reach 1.3308 and 53 only 1.3282; 13 of 5, and 51 of 2. */
  @Test
  void aClaimTakesTheSmallestSampleThatSupportsIt() {
    Answer five = sampleSizes("claim=1.33&expected=1.6&subgroupSize=5").expect(200);
    assertThat(five.at("/readings").asInt()).isEqualTo(54);
    assertThat(five.at("/subgroups").asInt()).isEqualTo(13);
    assertThat(five.at("/confidence").asDouble()).isEqualTo(0.95);
    assertThat(five.at("/smallestIndex").asDouble()).isBetween(1.598, 1.6);
    assertThat(five.at("/words").asString())
        .isEqualTo(
            "To say \"Ppk at least 1.33\" with 95.00 %, 54 readings are needed if they show 1.6."
                + " To say it of Cpk, 13 subgroups of 5 are needed, 65 readings.");
    Answer two = sampleSizes("claim=1.33&expected=1.6&subgroupSize=2").expect(200);
    assertThat(two.at("/subgroups").asInt()).isEqualTo(51);
    Answer none = sampleSizes("claim=1.33&expected=1.6").expect(200);
    assertThat(none.json().has("subgroups")).isFalse();
    assertThat(none.at("/readings").asInt()).isEqualTo(54);
  }

  @Test
  void aClaimThatNothingCanSupportIsRefused() {
    Answer below = sampleSizes("claim=1.33&expected=1.33").expect(422);
    assertThat(below.at("/errors/0/pointer").asString()).isEqualTo("expected");
    assertThat(below.text()).contains("clearly above the claim of 1.33", "at least 1.3353");
    assertThat(sampleSizes("claim=1.33&expected=1.0").expect(422).problem())
        .isEqualTo("rule-broken");
    assertThat(sampleSizes("claim=0&expected=1.6").expect(400).text()).contains("claim");
    assertThat(sampleSizes("claim=1.33&expected=1.6&confidence=0.4").expect(400).text())
        .contains("confidence");
    assertThat(sampleSizes("claim=1.33&expected=1.6&subgroupSize=1").expect(400).text())
        .contains("subgroupSize");
    assertThat(sampleSizes("expected=1.6").expect(400).text()).contains("claim");
  }

  /** By scipy 1.17, nct: of 50 readings that show 1.6 the lower limit of one side is 1.3197. */
  @Test
  void aClaimOfAnIndexIsHeldAgainstItsLowerLimit() {
    ChartBench bench = bench();
    double half = 3 * 1.6 * Math.sqrt(50 / 49.0);
    specify(bench, 20 - half, null, 20 + half);
    postTwoValues(bench, 50, "19", "21");
    JsonNode good = claim(bench, "index=PPK&atLeast=1.3").expect(200).json();
    assertThat(good.at("/value").asDouble()).isCloseTo(1.6, CLOSE);
    assertThat(good.at("/limit").asDouble()).isCloseTo(1.3199446983546441, within(1e-8));
    assertThat(good.at("/supported").asBoolean()).isTrue();
    assertThat(good.at("/words").asString())
        .startsWith(
            "Ppk is 1.600, and at least 1.320 with 95.00 % confidence: the claim of at least 1.3"
                + " is supported.");
    assertThat(good.at("/unit").asString()).isEqualTo("kg");
    JsonNode much = claim(bench, "index=PPK&atLeast=1.33").expect(200).json();
    assertThat(much.at("/supported").asBoolean()).isFalse();
    assertThat(much.at("/words").asString()).contains("not supported");
    // the two-sided 90 % interval of Pp ends at the same figures
    JsonNode study = bench.study(FROM, BEFORE, "&confidence=0.9");
    JsonNode pp = claim(bench, "index=PP&atLeast=1.33").expect(200).json();
    assertThat(pp.at("/limit").asDouble()).isCloseTo(study.at("/pp/lower").asDouble(), CLOSE);
    assertThat(pp.at("/limit").asDouble()).isGreaterThan(much.at("/limit").asDouble());
    ChartBench none = bench();
    JsonNode absent = claim(none, "index=CPK&atLeast=1.33").expect(200).json();
    assertThat(absent.has("supported")).isFalse();
    assertThat(absent.at("/words").asString())
        .isEqualTo(
            "The claim (Cpk at least 1.33) cannot be held against the readings. "
                + absent.at("/notComputed/0/words").asString());
    assertThat(absent.at("/notComputed/0/figure").asString()).isEqualTo("cpk");
    assertThat(claim(none, "index=CPK").expect(422).text()).contains("give index and atLeast");
    assertThat(claim(none, "index=CPK&atLeast=1&outsideBelow=0.1").problem())
        .isEqualTo("rule-broken");
  }

  /** None of 10: 1 - 0.05^(1/10). Two that cannot be judged: by scipy 1.17, beta, 2 of 12. */
  @Test
  void aPromiseIsHeldAgainstTheUpperLimitOfWhatWasSeen() {
    ChartBench bench = bench();
    bench.specification("15", "25", "kg");
    postTwoValues(bench, 10, "19", "21");
    for (int i = 0; i < 2; i++) {
      bench.post("20", FROM.plusSeconds(36_000 + i), "flags", List.of("UNSTABLE"));
    }
    JsonNode wide = claim(bench, "outsideBelow=0.26").expect(200).json();
    assertThat(wide.at("/limit").asDouble()).isCloseTo(1 - Math.pow(0.05, 0.1), within(1e-12));
    assertThat(wide.at("/supported").asBoolean()).isTrue();
    assertThat(wide.at("/value").asDouble()).isZero();
    assertThat(wide.at("/ifLeftOutWereOutside/notJudged").asLong()).isEqualTo(2);
    assertThat(wide.at("/ifLeftOutWereOutside/limit").asDouble())
        .isCloseTo(0.43810543511531136, within(1e-11));
    assertThat(wide.at("/ifLeftOutWereOutside/supported").asBoolean()).isFalse();
    JsonNode narrow = claim(bench, "outsideBelow=0.005").expect(200).json();
    assertThat(narrow.at("/supported").asBoolean()).isFalse();
    // 0.995^598 is the first power below 0.05
    assertThat(narrow.at("/readingsWithoutOne").asLong()).isEqualTo(598);
    assertThat(narrow.at("/words").asString())
        .contains("0 of 10 readings", "at most 25.89 %", "not supported", "it takes 598 readings");
  }

  /** The same question asked of /capability and of /claims has one answer. */
  @Test
  void aClaimSaysThatTheProcessIsNotInControlAndWithholdsWhatItsStudyWithholds() {
    ChartBench bench = bench();
    bench.specification("15", "25", "kg");
    postTwoValues(bench, 100, "19", "21");
    bench.freeze(Codes.fresh("L"), FROM, FROM.plus(STEP.multipliedBy(80))).expect(201);
    for (int i = 0; i < 6; i++) {
      bench.post("24.5", FROM.plus(STEP.multipliedBy(102 + i)));
    }
    JsonNode study = bench.study(FROM, BEFORE, "&confidence=0.9");
    assertThat(study.at("/control/inControl").asBoolean(true)).isFalse();
    JsonNode cpk = claim(bench, "index=CPK&atLeast=0.3").expect(200).json();
    assertThat(cpk.has("supported")).isFalse();
    assertThat(cpk.at("/notComputed/0/reason").asString())
        .isEqualTo(reason(study, "cpk"))
        .isEqualTo("NOT_IN_CONTROL");
    assertThat(cpk.at("/words").asString()).contains("The process is not in control");
    for (String query : List.of("index=PPK&atLeast=0.3", "outsideBelow=0.2")) {
      JsonNode held = claim(bench, query).expect(200).json();
      assertThat(held.at("/supported").asBoolean()).isTrue();
      assertThat(held.at("/control")).isEqualTo(study.at("/control"));
      assertThat(held.at("/flags")).isEqualTo(study.at("/flags"));
      assertThat(held.at("/reservations").toString()).contains("NOT_IN_CONTROL", "DOUBTS");
      assertThat(held.at("/words").asString())
          .contains("is supported", "The process is not in control, so", "The study has doubts (");
    }
    JsonNode share = claim(bench, "outsideBelow=0.2").expect(200).json();
    assertThat(share.at("/reservations").toString()).contains("NOT_INDEPENDENT");
    assertThat(share.at("/words").asString()).contains("takes readings as independent");
  }

  /** Loads of four that share a level: 40 readings say hardly more than ten. */
  @Test
  void aClaimOfAShareSaysThatReadingsOfALoadAreAlike() {
    ChartBench loads = new ChartBench(tarebook, "XBAR_R", 4);
    loads.specification("15", "25", "kg");
    ChartBench mixed = new ChartBench(tarebook, "XBAR_R", 4);
    mixed.specification("15", "25", "kg");
    List<String> alike = new ArrayList<>();
    List<String> apart = new ArrayList<>();
    for (int i = 0; i < 40; i++) {
      alike.add((18 + i / 4 % 5) + "." + i % 4);
      apart.add((18 + i % 4 * 5 / 4 + i / 4 % 2) + "." + i % 3);
    }
    loads.postAll(alike, "kg", FROM, STEP);
    mixed.postAll(apart, "kg", FROM, STEP);
    JsonNode held = claim(loads, "outsideBelow=0.2").expect(200).json();
    assertThat(held.at("/reservations").toString()).contains("NOT_INDEPENDENT");
    assertThat(loads.study(FROM, BEFORE, "").at("/counted/pointsDifferP").asDouble())
        .isLessThan(0.01);
    assertThat(mixed.study(FROM, BEFORE, "").at("/counted/pointsDifferP").asDouble())
        .isGreaterThan(0.01);
  }

  @Test
  void aClaimSaysThatItsScaleHasNoValidCheck() {
    ChartBench bench =
        new ChartBench(tarebook, "kg", "NOT", "INDIVIDUALS", 1, Map.of("checkEveryMinutes", 480));
    bench.specification("15", "25", "kg");
    postTwoValues(bench, 40, "19", "21");
    for (String query : List.of("index=PPK&atLeast=0.3", "outsideBelow=0.2")) {
      JsonNode held = claim(bench, query).expect(200).json();
      assertThat(held.at("/supported").asBoolean()).isTrue();
      assertThat(held.at("/unverified").asLong()).isEqualTo(40);
      assertThat(held.at("/reservations").toString()).contains("UNVERIFIED");
      assertThat(held.at("/words").asString())
          .contains("40 of 40 readings are of an instrument without a valid check.");
    }
  }

  /** Of 10 points nothing shows whether the process is in control. */
  @Test
  void aClaimSaysThatControlIsNotKnown() {
    ChartBench bench = bench();
    bench.specification("15", "25", "kg");
    postTwoValues(bench, 10, "19", "21");
    JsonNode held = claim(bench, "outsideBelow=0.4").expect(200).json();
    assertThat(held.at("/supported").asBoolean()).isTrue();
    assertThat(held.at("/reservations/0/code").asString()).isEqualTo("CONTROL_UNKNOWN");
    assertThat(held.at("/words").asString())
        .contains("It is not known whether the process is in control.");
    JsonNode cpk = claim(bench, "index=CPK&atLeast=0.3").expect(200).json();
    assertThat(cpk.at("/notComputed/0/reason").asString()).isEqualTo("CONTROL_UNKNOWN");
  }

  private static Answer claim(ChartBench bench, String query) {
    return bench
        .engineer()
        .get(
            "/api/v1/claims?chart="
                + bench.chart()
                + "&measuredFrom="
                + FROM
                + "&measuredBefore="
                + BEFORE
                + "&"
                + query);
  }

  private Answer sampleSizes(String query) {
    return tarebook.reader().get("/api/v1/sample-sizes?" + query);
  }

  private ChartBench bench() {
    return new ChartBench(tarebook, "INDIVIDUALS", 1);
  }

  /** Half of an even number of readings have either value, in turns of two. */
  private static void postTwoValues(ChartBench bench, int count, String low, String high) {
    List<String> values = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      values.add(i % 4 == 0 || i % 4 == 3 ? low : high);
    }
    bench.postAll(values, "kg", FROM, STEP);
  }

  private static void specify(ChartBench bench, Double lower, String target, Double upper) {
    bench
        .floor()
        .specification(
            bench.characteristic(),
            json(
                "validFrom",
                "2000-01-01T00:00:00Z",
                "lower",
                nine(lower),
                "target",
                target == null ? null : new BigDecimal(target),
                "upper",
                nine(upper),
                "unit",
                "kg",
                "comparison",
                "ABSOLUTE",
                "reason",
                "drawing"))
        .expect(201);
  }

  private static BigDecimal nine(Double limit) {
    return limit == null ? null : BigDecimal.valueOf(limit).setScale(9, RoundingMode.HALF_EVEN);
  }

  private static String reason(JsonNode study, String figure) {
    return study
        .at("/notComputed")
        .valueStream()
        .filter(each -> each.at("/figure").asString().equals(figure))
        .map(each -> each.at("/reason").asString())
        .findFirst()
        .orElse("");
  }
}
