package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.PressureKind;
import org.tarebook.schedule.ScheduleDefinition.SetPoint;

/** Expected values are computed by hand from the samples in each test. */
class CourseTests {

  static final double GAP = 30;

  static final SetPoint SET_POINT =
      new SetPoint(
          Measured.INTERNAL_PRESSURE,
          null,
          new BigDecimal("20"),
          new BigDecimal("19"),
          new BigDecimal("21"),
          "bar",
          PressureKind.GAUGE,
          null,
          null,
          null);

  @Test
  void anExcursionBeginsAndEndsWhereTheLineCrossesTheLimit() {
    assertThat(outside(0, 40, 0, 20, 10, 18, 20, 18, 30, 20, 40, 20))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.from()).isEqualTo(5, within(1e-9));
              assertThat(one.until()).isEqualTo(25, within(1e-9));
              assertThat(one.proven()).isEqualTo(20, within(1e-9));
              assertThat(one.possible()).isEqualTo(20, within(1e-9));
              assertThat(one.worst()).isEqualTo(-1, within(1e-9));
              assertThat(one.fromStart() || one.toEnd()).isFalse();
            });
  }

  @Test
  void aLineFromBelowToAboveIsTwiceOutside() {
    assertThat(outside(0, 10, 0, 18, 10, 22))
        .hasSize(2)
        .satisfiesExactly(
            below -> assertThat(below.until()).isEqualTo(2.5, within(1e-9)),
            above -> assertThat(above.from()).isEqualTo(7.5, within(1e-9)));
  }

  @Test
  void theSampleAtTheEndBelongsToTheStepAndOneBehindItDoesNot() {
    assertThat(outside(0, 30, 0, 20, 10, 20, 20, 20, 30, 0))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.from()).isEqualTo(20.5, within(1e-9));
              assertThat(one.toEnd()).isTrue();
              assertThat(one.provenBeyond(5)).isTrue();
            });
    assertThat(outside(0, 29, 0, 20, 10, 20, 20, 20, 30, 0))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.seen()).isFalse();
              assertThat(one.provenBeyond(0)).isFalse();
              assertThat(one.possible()).isEqualTo(9, within(1e-9));
              assertThat(one.possibleBeyond(0)).isTrue();
              assertThat(one.possibleBeyond(9)).isFalse();
            });
    assertThat(outside(0, 29, 0, 20, 10, 20, 20, 20, 30, 20)).isEmpty();
    assertThat(outside(0, 29, 0, 20, 10, 20, 20, 20, 70, 0)).isEmpty();
  }

  @Test
  void aSampleAtTheStartBelongsToTheStepBefore() {
    double[] samples = {0, 0, 10, 20, 20, 20};
    assertThat(course(0, 20, true, Recording.SAMPLED, null, samples).outside(band()))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.seen()).isFalse();
              assertThat(one.fromStart()).isTrue();
              assertThat(one.possible()).isEqualTo(10, within(1e-9));
              assertThat(one.worst()).isEqualTo(-19, within(1e-9));
            });
    assertThat(course(0, 20, false, Recording.SAMPLED, null, samples).outside(band()))
        .singleElement()
        .satisfies(one -> assertThat(one.provenBeyond(9)).isTrue());
    double[] inside = {0, 19.5, 10, 20, 20, 20};
    assertThat(course(0, 20, true, Recording.SAMPLED, null, inside).outside(band())).isEmpty();
  }

  @Test
  void theLineFromAnEarlierSampleOfTheStepReachesIntoIt() {
    ChannelLog log = log(Recording.SAMPLED, null, 10, 15, 29, 15, 49, 20, 60, 20);
    assertThat(new Course(log, 0, 30, 60, false, GAP).outside(band()))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.from()).isEqualTo(30, within(1e-9));
              assertThat(one.until()).isEqualTo(45, within(1e-9));
              assertThat(one.worst()).isEqualTo(-3.75, within(1e-9));
              assertThat(one.fromStart()).isTrue();
            });
    assertThat(new Course(log, 29.5, 30, 60, false, GAP).outside(band()))
        .singleElement()
        .satisfies(one -> assertThat(one.seen()).isFalse());
    assertThat(new Course(log, 0, 30, 60, false, 15).outside(band())).isEmpty();
  }

  @Test
  void whatIsHeldToTheEndIsPossibleAndNotProven() {
    assertThat(outside(0, 18, 0, 20, 5, 20, 10, 18))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.proven()).isEqualTo(2.5, within(1e-9));
              assertThat(one.possible()).isEqualTo(10.5, within(1e-9));
              assertThat(one.provenBeyond(5)).isFalse();
              assertThat(one.possibleBeyond(5)).isTrue();
              assertThat(one.provenBeyond(0)).isTrue();
            });
  }

  @Test
  void aGapBesideAnExcursionIsPossible() {
    assertThat(outside(0, 120, 0, 19.5, 10, 18.5, 100, 19.5, 120, 20))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.proven()).isEqualTo(5, within(1e-9));
              assertThat(one.possible()).isEqualTo(95, within(1e-9));
            });
    assertThat(outside(0, 120, 0, 20, 10, 20, 100, 20, 120, 20)).isEmpty();
  }

  @Test
  void aSampleAloneBetweenGapsIsProvenWhereNothingIsTolerated() {
    assertThat(outside(0, 200, 0, 19.5, 100, 18.5, 200, 19.5))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.provenBeyond(0)).isTrue();
              assertThat(one.provenBeyond(1)).isFalse();
              assertThat(one.possibleBeyond(1)).isTrue();
              assertThat(one.worst()).isEqualTo(-0.5, within(1e-9));
            });
  }

  @Test
  void excursionsAreApartWhereTheLineTouchesTheLimit() {
    assertThat(outside(0, 20, 0, 18.5, 10, 19, 20, 18.5))
        .hasSize(2)
        .allSatisfy(one -> assertThat(one.proven()).isEqualTo(10, within(1e-9)));
  }

  @Test
  void aSpikeIsAMissingSample() {
    double[] samples = {0, 20, 10, 20, 20, 2, 30, 20, 40, 20};
    Course course = course(0, 40, false, Recording.SAMPLED, null, samples);
    assertThat(course.log().setAside()).hasSize(1);
    assertThat(course.outside(band())).isEmpty();
    assertThat(course.medium(20)).isNaN();
    Course strict = new Course(course.log(), 0, 0, 40, false, 15);
    assertThat(strict.medium(20)).isNaN();
    assertThat(strict.medium(5)).isEqualTo(2101.325, within(1e-9));
  }

  @Test
  void aReportHoldsUntilTheNextAndTheOneAtTheEndComesAfterIt() {
    double[] samples = {-100, 20, 10, 18, 25, 20, 60, 0};
    Course course = course(0, 60, true, Recording.ON_CHANGE, Duration.ofSeconds(120), samples);
    assertThat(course.outside(band()))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.from()).isEqualTo(10);
              assertThat(one.until()).isEqualTo(25);
            });
    assertThat(course.inside(band())).isEqualTo(45, within(1e-9));
  }

  @Test
  void behindAnOverdueHeartbeatNothingIsKnown() {
    double[] samples = {0, 20, 10, 18, 200, 20};
    Course course = course(0, 210, false, Recording.ON_CHANGE, Duration.ofSeconds(60), samples);
    assertThat(course.medium(100)).isNaN();
    assertThat(course.outside(band()))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.proven()).isEqualTo(60, within(1e-9));
              assertThat(one.possible()).isEqualTo(190, within(1e-9));
            });
    assertThat(course.medium(69)).isNotNaN();
    assertThat(course.medium(71)).isNaN();
  }

  @Test
  void withoutAHeartbeatAReportIsKnownNoLongerThanTheLargestGap() {
    Course course = course(0, 100, false, Recording.ON_CHANGE, null, 0, 20, 10, 18, 90, 20);
    assertThat(course.medium(39)).isEqualTo(1901.325, within(1e-9));
    assertThat(course.medium(41)).isNaN();
    assertThat(course.log().silences(0, 100, GAP)).hasSize(1);
    assertThat(course.outside(band()))
        .singleElement()
        .satisfies(
            one -> {
              assertThat(one.proven()).isEqualTo(GAP, within(1e-9));
              assertThat(one.known()).isEqualTo(GAP, within(1e-9));
              assertThat(one.possible()).isEqualTo(80, within(1e-9));
            });
  }

  /** However seldom a channel must report, nothing is known of it before it does. */
  @Test
  void beforeItsFirstReportNothingIsKnown() {
    Course course =
        course(0, 600, false, Recording.ON_CHANGE, Duration.ofMinutes(10), 100, 20, 590, 20);
    assertThat(course.medium(99)).isNaN();
    assertThat(course.log().silences(0, 600, GAP))
        .singleElement()
        .satisfies(silence -> assertThat(silence.until()).isEqualTo(100));
    Course never = course(0, 15, false, Recording.ON_CHANGE, Duration.ofMinutes(10));
    assertThat(never.log().silences(0, 15, GAP)).hasSize(1);
    assertThat(course(0, 15, false, Recording.SAMPLED, null).log().silences(0, 15, GAP)).hasSize(1);
  }

  /** A report of which no value stands ends what was reported before it. */
  @Test
  void aReportInConflictEndsWhatWasKnown() {
    ChannelLog log =
        new ChannelLog(
            channel(Recording.ON_CHANGE, Duration.ofMinutes(10)),
            new double[] {0, 400},
            new double[] {20, 20},
            101.325,
            0,
            List.of(
                new ChannelLog.Conflict(
                    60, List.of(new ChannelLog.Said(15, "p1"), new ChannelLog.Said(16, "p2")))),
            List.of(),
            List.of());
    Course course = new Course(log, 0, 0, 600, false, GAP);
    assertThat(course.medium(59)).isNotNaN();
    assertThat(course.medium(61)).isNaN();
    assertThat(course.medium(399)).isNaN();
    assertThat(course.medium(401)).isNotNaN();
    assertThat(log.silences(0, 600, GAP)).containsExactly(new ChannelLog.Silence(60, 400));
    assertThat(log.unknown(0, 600, GAP)).containsExactly(new ChannelLog.Silence(60, 400));
  }

  @Test
  void aHeartbeatShorterThanTheLargestGapEndsWhatIsKnown() {
    Course course =
        course(0, 40, false, Recording.ON_CHANGE, Duration.ofSeconds(10), 0, 20, 10, 20, 35, 20);
    assertThat(course.medium(20)).isNotNaN();
    assertThat(course.medium(21)).isNaN();
    assertThat(course.log().silences(0, 40, GAP))
        .singleElement()
        .satisfies(silence -> assertThat(silence.length()).isEqualTo(25, within(1e-9)));
  }

  @Test
  void aStepWithoutASampleIsUnseen() {
    Course course = course(12, 18, true, Recording.SAMPLED, null, 0, 20, 10, 20, 20, 20);
    assertThat(course.unseen()).isTrue();
    assertThat(course.medium(15)).isNaN();
    assertThat(course.outside(band())).isEmpty();
  }

  /** More samples on the lines between the samples tell nothing new. */
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
  void samplesOnTheLineChangeNothing(int seed) {
    Random random = new Random(seed);
    TreeMap<Double, Double> few = new TreeMap<>();
    for (double at = 0; at <= 600; at += 5 + random.nextInt(20)) {
      few.put(at, 20 + 1.3 * Math.sin(at / 25) + 0.05 * random.nextGaussian());
    }
    TreeMap<Double, Double> many = new TreeMap<>(few);
    List<Double> moments = new ArrayList<>(few.keySet());
    for (int i = 0; i + 1 < moments.size(); i++) {
      double share = random.nextDouble();
      double from = moments.get(i);
      double until = moments.get(i + 1);
      many.put(
          from + share * (until - from),
          few.getOrDefault(from, 0.0)
              + share * (few.getOrDefault(until, 0.0) - few.getOrDefault(from, 0.0)));
    }
    double end = few.lastKey();
    Course course = course(0, end, false, Recording.SAMPLED, null, flat(few));
    Course finer = course(0, end, false, Recording.SAMPLED, null, flat(many));
    List<Excursion> expected = course.outside(band());
    assertThat(course.log().setAside()).isEmpty();
    assertThat(expected).hasSizeGreaterThan(2);
    assertThat(finer.outside(band()))
        .usingRecursiveComparison()
        .withComparatorForType(
            (one, other) -> Math.abs(one - other) < 1e-6 ? 0 : Double.compare(one, other),
            Double.class)
        .isEqualTo(expected);
    assertThat(finer.inside(band())).isEqualTo(course.inside(band()), within(1e-6));
    for (double at = 20; at < 570; at += 7) {
      assertThat(finer.medium(at)).isEqualTo(course.medium(at), within(1e-6));
    }
  }

  static double[] flat(TreeMap<Double, Double> samples) {
    double[] flat = new double[2 * samples.size()];
    int next = 0;
    for (var sample : samples.entrySet()) {
      flat[next++] = sample.getKey();
      flat[next++] = sample.getValue();
    }
    return flat;
  }

  private static List<Excursion> outside(double from, double until, double... samples) {
    return course(from, until, false, Recording.SAMPLED, null, samples).outside(band());
  }

  private static Course course(
      double from,
      double until,
      boolean open,
      Recording recording,
      @Nullable Duration heartbeat,
      double... samples) {
    return new Course(log(recording, heartbeat, samples), from, from, until, open, GAP);
  }

  static ChannelLog log(Recording recording, @Nullable Duration heartbeat, double... samples) {
    double[] seconds = new double[samples.length / 2];
    double[] shown = new double[seconds.length];
    for (int i = 0; i < seconds.length; i++) {
      seconds[i] = samples[2 * i];
      shown[i] = samples[2 * i + 1];
    }
    return new ChannelLog(
        channel(recording, heartbeat),
        seconds,
        shown,
        101.325,
        0,
        Collections.emptyList(),
        Collections.emptyList(),
        Collections.emptyList());
  }

  static Channel channel(Recording recording, @Nullable Duration heartbeat) {
    return new Channel(
        "IP",
        Measured.INTERNAL_PRESSURE,
        null,
        "bar",
        PressureKind.GAUGE,
        recording,
        heartbeat,
        null,
        new BigDecimal("0.05"),
        null,
        null,
        List.of(1));
  }

  static Band band() {
    return new Band(SET_POINT, channel(Recording.SAMPLED, null), 101.325);
  }
}
