package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class TimesTests {

  @ParameterizedTest
  @CsvSource({
    "2026-03-29T00:59:59.250Z,            2026-03-29T00:59:59.250Z",
    "2026-03-29T02:59:59.25+02:00,        2026-03-29T00:59:59.250Z",
    "2026-10-25T02:30:00+02:00,           2026-10-25T00:30:00Z",
    "2026-10-25T02:30:00+01:00,           2026-10-25T01:30:00Z",
    "2026-03-28T19:59:59-05:00,           2026-03-29T00:59:59Z",
    "2026-03-29t00:59:59z,                2026-03-29T00:59:59Z",
    "1970-01-01T00:00:00Z,                1970-01-01T00:00:00Z",
    "2199-12-31T23:59:59.999999Z,         2199-12-31T23:59:59.999999Z",
    "2024-02-29T12:00:00Z,                2024-02-29T12:00:00Z",
  })
  void readsTheSameMomentUnderAnyOffset(String text, Instant moment) {
    assertThat(Times.parse(text)).isEqualTo(moment);
  }

  @Test
  void whatIsFinerThanTheRecordKeepsIsRefused() {
    assertThat(Times.parse("2026-03-29T00:59:59.123456000Z"))
        .isEqualTo(Instant.parse("2026-03-29T00:59:59.123456Z"));
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Times.parse("2026-03-29T00:59:59.1234567Z"))
        .withMessage(
            "must have at most six decimals of a second, was 2026-03-29T00:59:59.1234567Z");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Times.timeOfDay("06:00:00.5"))
        .withMessage("must be a whole second, was 06:00:00.5");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Times.duration("PT0.0001S"))
        .withMessage("must have at most three decimals of a second, was PT0.0001S");
  }

  @ParameterizedTest
  @ValueSource(strings = {"-999999999-01-01", "1969-12-31", "2200-01-01", "+12026-03-29"})
  void datesNoPlantRecordsAreRefused(String text) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Times.date(text))
        .withMessage("must lie between the years 1970 and 2199, was " + text);
  }

  @Test
  void datesTimesOfDayAndDurationsAreReadAsWritten() {
    assertThat(Times.date("1970-01-01")).isEqualTo(LocalDate.of(1970, 1, 1));
    assertThat(Times.date("2199-12-31")).isEqualTo(LocalDate.of(2199, 12, 31));
    assertThat(Times.timeOfDay("06:00")).isEqualTo(LocalTime.of(6, 0));
    assertThat(Times.timeOfDay("23:59:59")).isEqualTo(LocalTime.of(23, 59, 59));
    assertThat(Times.duration("PT14M30S")).isEqualTo(Duration.ofSeconds(870));
    assertThat(Times.duration("-PT0.001S")).isEqualTo(Duration.ofMillis(-1));
  }

  @ParameterizedTest
  @ValueSource(strings = {"PT999999999999999H", "P36501D", "-P36501D", "P99999999999999999999D"})
  void durationsOfAHundredYearsAreRefused(String text) {
    assertThatIllegalArgumentException().isThrownBy(() -> Times.duration(text));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "2026-03-29T00:59:59",
        "2026-03-29",
        "2026-03-29 00:59:59Z",
        "29.03.2026 00:59",
        "2026-02-29T12:00:00Z",
        "2026-03-29T24:30:00Z",
        "2026-06-30T23:59:60Z",
        "1774745999",
        "2026-03-29T00:59:59Z\n",
        "2026-03-29T00:59:59[Europe/Paris]",
        "now"
      })
  void whatIsNoMomentIsRefusedWithAnExample(String text) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Times.parse(text))
        .withMessage(
            "must be a time with its offset, for example 2026-03-29T00:59:59.25Z or"
                + " 2026-03-29T02:59:59+02:00");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "1969-12-31T23:59:59.999999Z",
        "2200-01-01T00:00:00Z",
        "2199-12-31T23:59:59-01:00",
        "+12026-03-29T00:00:00Z",
        "-2026-03-29T00:00:00Z"
      })
  void yearsNoPlantRecordsAreRefused(String text) {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Times.parse(text))
        .withMessage("must lie between the years 1970 and 2199, was " + text);
  }
}
