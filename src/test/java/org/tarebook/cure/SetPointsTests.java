package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tarebook.cure.CourseTests.GAP;
import static org.tarebook.cure.CourseTests.SET_POINT;
import static org.tarebook.cure.CourseTests.band;
import static org.tarebook.cure.CourseTests.flat;
import static org.tarebook.cure.CourseTests.log;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.schedule.ScheduleDefinition.Step;
import org.tarebook.schedule.StepKind;

/** How long a channel was out of its band, where its log has gaps. */
class SetPointsTests {

  /** The expected times are sums over the lines between samples that are close enough together. */
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
  void aGapAddsToThePossibleTimeAndNotToTheKnownOne(int seed) {
    Random random = new Random(seed);
    TreeMap<Double, Double> samples = new TreeMap<>();
    for (double at = 0; at <= 2400; at += random.nextInt(6) == 0 ? 31 + random.nextInt(60) : 5) {
      samples.put(at, 20 + 1.3 * Math.sin(at / 150));
    }
    List<Double> moments = new ArrayList<>(samples.keySet());
    double known = 0;
    double unknown = 0;
    for (int i = 0; i + 1 < moments.size(); i++) {
      double length = moments.get(i + 1) - moments.get(i);
      if (length > GAP) {
        unknown += length;
        continue;
      }
      double first = samples.getOrDefault(moments.get(i), 0.0);
      double last = samples.getOrDefault(moments.get(i + 1), 0.0);
      int parts = 20_000;
      for (int part = 0; part < parts; part++) {
        double value = first + (last - first) * (part + 0.5) / parts;
        known += value < 19 || value > 21 ? length / parts : 0;
      }
    }
    Course course =
        new Course(
            log(Recording.SAMPLED, null, flat(samples)), 0, 0, samples.lastKey(), false, GAP);
    assertThat(course.log().setAside()).isEmpty();
    List<Excursion> excursions = course.outside(band());
    double possible = excursions.stream().mapToDouble(Excursion::possible).sum();
    assertThat(unknown).isPositive();
    assertThat(excursions.stream().mapToDouble(Excursion::known).sum())
        .isEqualTo(known, within(0.05));
    assertThat(possible).isBetween(known - 0.05, known + unknown + 0.05);
    for (Excursion one : excursions) {
      assertThat(one.proven()).isLessThanOrEqualTo(one.known());
      assertThat(one.known()).isLessThanOrEqualTo(one.possible() + 1e-9);
    }
  }

  @Test
  void theSentenceCountsNoGapAsTimeOutside() {
    ChannelLog log =
        log(
            Recording.SAMPLED,
            null,
            0,
            20,
            10,
            20,
            20,
            18,
            30,
            18,
            130,
            18,
            140,
            18,
            150,
            20,
            160,
            20);
    Step water =
        new Step(
            "WATER",
            StepKind.HOT_WATER,
            Duration.ofSeconds(100),
            Duration.ofSeconds(160),
            Duration.ofSeconds(200),
            List.of(SET_POINT));
    Run run =
        new Run(List.of(new Run.Part(water, 0, 0, 160, true)), true, Set.of(), Set.of(), 160, GAP);
    CureLog cure =
        new CureLog(
            Instant.parse("2026-03-02T06:00:00Z"), 101.325, Map.of("IP", log), List.of(), 8, 0);
    // below 19 bar from 15 s to 30 s and from 130 s to 145 s; 100 s between are a gap
    assertThat(SetPoints.of(log, run, cure))
        .singleElement()
        .satisfies(
            reason ->
                assertThat(reason.words())
                    .endsWith(
                        "18 bar gauge at the lowest, wanted at least 19 bar gauge, known for 30 s"
                            + " and possible for 2.167 min."));
  }
}
