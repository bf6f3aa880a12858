package org.tarebook.rejects;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.tarebook.reading.Cause;
import org.tarebook.reading.Direction;
import org.tarebook.reading.Result;

class JudgedItemTests {

  private static final Instant START = Instant.parse("2026-03-02T08:00:00Z");

  private final List<Measured> readings = new ArrayList<>();

  private void add(long seconds, long characteristic, Result result, @Nullable Apart apart) {
    readings.add(
        new Measured(
            readings.size() + 1,
            START.plusSeconds(seconds),
            1,
            characteristic,
            null,
            null,
            result,
            result == Result.FAIL ? Direction.ABOVE : null,
            apart,
            false,
            null));
  }

  private JudgedItem judged() {
    return JudgedItem.of(readings).orElseThrow();
  }

  @Test
  void nothingJudgedIsNoJudgedItem() {
    assertThat(JudgedItem.of(List.of())).isEmpty();
    add(0, 1, Result.FAIL, Apart.VOIDED);
    add(1, 1, Result.NOT_JUDGED, Apart.NOT_JUDGED);
    assertThat(JudgedItem.of(readings)).isEmpty();
  }

  @Test
  void eachCharacteristicHasItsOwnFirstAndLast() {
    add(0, 1, Result.FAIL, Apart.VOIDED);
    add(1, 1, Result.PASS, null);
    add(2, 2, Result.FAIL, null);
    add(3, 1, Result.FAIL, null);
    add(500, 2, Result.PASS, null);
    JudgedItem item = judged();
    assertThat(item.first().id()).isEqualTo(2);
    assertThat(item.failedFirst()).extracting(Measured::characteristicId).containsExactly(2L);
    assertThat(item.failedLast()).extracting(Measured::characteristicId).containsExactly(1L);
    assertThat(item.again()).extracting(Measured::id).containsExactly(4L, 5L);
    assertThat(item.passAfterFail()).isFalse();
  }

  @Test
  void passWithinTwoMinutesOfTheFailOfTheSameCharacteristicIsTold() {
    add(0, 1, Result.FAIL, null);
    add(1, 2, Result.PASS, null);
    add(120, 1, Result.PASS, null);
    assertThat(judged().passAfterFail()).isTrue();
    readings.clear();
    add(0, 1, Result.FAIL, null);
    add(60, 1, Result.CONDITIONAL, null);
    add(90, 1, Result.PASS, null);
    assertThat(judged().passAfterFail()).isFalse();
    readings.clear();
    add(0, 1, Result.FAIL, null);
    add(60, 1, Result.PASS, Apart.NOT_RUNNING);
    assertThat(judged().passAfterFail()).isFalse();
  }

  @Test
  void conditionalIsNoRejectAndGivesWayToOne() {
    add(0, 1, Result.CONDITIONAL, null);
    assertThat(judged().conditional()).isTrue();
    assertThat(judged().failedLast()).isEmpty();
    assertThat(judged().failedFirst()).isEmpty();
    add(1, 2, Result.FAIL, null);
    assertThat(judged().conditional()).isFalse();
  }

  @Test
  void readingIsSetApartUnderTheFirstOfItsCauses() {
    assertThat(Apart.of(Set.of(), Result.PASS)).isNull();
    assertThat(Apart.of(Set.of(Cause.REMEASUREMENT), Result.FAIL)).isNull();
    assertThat(Apart.of(Set.of(), Result.NOT_JUDGED)).isEqualTo(Apart.NOT_JUDGED);
    assertThat(Apart.of(Set.of(Cause.NOT_RUNNING), Result.NOT_JUDGED)).isEqualTo(Apart.NOT_RUNNING);
    assertThat(Apart.of(Set.of(Cause.NOT_RUNNING, Cause.NO_VALUE), Result.NOT_JUDGED))
        .isEqualTo(Apart.NOT_JUDGED);
    assertThat(Apart.of(Set.of(Cause.INSTRUMENT_FAILED, Cause.NO_VALUE), Result.NOT_JUDGED))
        .isEqualTo(Apart.NOT_JUDGED);
    assertThat(Apart.of(Set.of(Cause.INSTRUMENT_SUSPECT), Result.FAIL)).isNull();
    assertThat(Apart.of(Set.of(Cause.INSTRUMENT_SUSPECT, Cause.REPLACED), Result.PASS))
        .isEqualTo(Apart.REPLACED);
    assertThat(Apart.of(Set.of(Cause.VOIDED, Cause.REPLACED), Result.PASS)).isEqualTo(Apart.VOIDED);
  }
}
