package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.tarebook.plant.Shifts;

class PlantTimeTests {

  private static PlantTime in(String zone, Bucket bucket) {
    return new PlantTime(new Shifts(List.of(), ZoneId.of(zone)), bucket);
  }

  private static List<Span> through(PlantTime time, String from, String before) {
    List<Span> spans = new ArrayList<>();
    Instant moment = Instant.parse(from);
    while (moment.isBefore(Instant.parse(before))) {
      Span span = time.at(moment);
      spans.add(span);
      moment = span.before();
    }
    return spans;
  }

  @Test
  void hourThatComesTwiceIsTwoHours() {
    List<Span> hours =
        through(in("Europe/Berlin", Bucket.HOUR), "2026-10-24T22:00:00Z", "2026-10-25T23:00:00Z");
    assertThat(hours).hasSize(25);
    assertThat(hours)
        .extracting(Span::label)
        .startsWith(
            "2026-10-25T00:00+02:00",
            "2026-10-25T01:00+02:00",
            "2026-10-25T02:00+02:00",
            "2026-10-25T02:00+01:00",
            "2026-10-25T03:00+01:00");
    assertThat(hours).allMatch(span -> length(span).equals(Duration.ofHours(1)));
  }

  @Test
  void hourThatIsLeftOutIsNoHour() {
    List<Span> hours =
        through(in("Europe/Berlin", Bucket.HOUR), "2026-03-28T23:00:00Z", "2026-03-29T22:00:00Z");
    assertThat(hours).hasSize(23);
    assertThat(hours)
        .extracting(Span::label)
        .startsWith("2026-03-29T00:00+01:00", "2026-03-29T01:00+01:00", "2026-03-29T03:00+02:00");
  }

  @Test
  void hoursFollowTheClockOnTheWallOfTheZone() {
    Span span = in("Asia/Kolkata", Bucket.HOUR).at(Instant.parse("2026-05-01T00:15:00Z"));
    assertThat(span.from()).isEqualTo("2026-04-30T23:30:00Z");
    assertThat(span.label()).isEqualTo("2026-05-01T05:00+05:30");
  }

  @Test
  void dayHasTwentyThreeOrTwentyFiveHoursWhenClocksChange() {
    PlantTime time = in("Europe/Berlin", Bucket.DAY);
    Span spring = time.at(Instant.parse("2026-03-29T12:00:00Z"));
    Span autumn = time.at(Instant.parse("2026-10-25T12:00:00Z"));
    assertThat(length(spring)).isEqualTo(Duration.ofHours(23));
    assertThat(length(autumn)).isEqualTo(Duration.ofHours(25));
    assertThat(spring.label()).isEqualTo("2026-03-29");
  }

  @Test
  void weekRunsFromMondayAndIsNumberedByIso() {
    PlantTime time = in("Europe/Berlin", Bucket.WEEK);
    Span span = time.at(Instant.parse("2026-03-29T12:00:00Z"));
    assertThat(span.from()).isEqualTo("2026-03-22T23:00:00Z");
    assertThat(span.before()).isEqualTo("2026-03-29T22:00:00Z");
    assertThat(span.label()).isEqualTo("2026-W13");
    assertThat(time.at(Instant.parse("2027-01-01T12:00:00Z")).label()).isEqualTo("2026-W53");
    assertThat(time.at(Instant.parse("2024-12-30T12:00:00Z")).label()).isEqualTo("2025-W01");
  }

  @ParameterizedTest
  @EnumSource(Bucket.class)
  void everyMomentLiesInOneBucketAndBucketsFollowEachOther(Bucket bucket) {
    Random random = new Random(7);
    for (String zone : List.of("Europe/Berlin", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC")) {
      PlantTime time = in(zone, bucket);
      PlantTime fresh = in(zone, bucket);
      for (int i = 0; i < 2000; i++) {
        Instant moment =
            Instant.parse("2026-01-01T00:00:00Z").plusSeconds(random.nextInt(40_000_000));
        Span span = time.at(moment);
        assertThat(span.holds(moment)).isTrue();
        assertThat(fresh.at(span.from())).isEqualTo(span);
        if (bucket != Bucket.NONE) {
          assertThat(fresh.at(span.before().minusNanos(1000))).isEqualTo(span);
          assertThat(fresh.at(span.before()).from()).isEqualTo(span.before());
        }
      }
    }
  }

  private static Duration length(Span span) {
    return Duration.between(span.from(), span.before());
  }
}
