package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import java.time.Instant;
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
  void whatIsFinerThanAMicrosecondIsCutOff() {
    assertThat(Times.parse("2026-03-29T00:59:59.123456999Z"))
        .isEqualTo(Instant.parse("2026-03-29T00:59:59.123456Z"));
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
