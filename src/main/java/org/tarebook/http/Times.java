package org.tarebook.http;

import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;

/**
 * Times on the wire, in bodies, parameters, CSV and cursors alike. The record keeps the years 1970
 * to 2199, instants to the microsecond, times of day to the second and durations to the
 * millisecond. What cannot be kept exactly is refused.
 */
public final class Times {

  static final String WANTED =
      "must be a time with its offset, for example 2026-03-29T00:59:59.25Z or"
          + " 2026-03-29T02:59:59+02:00";
  static final String DATE_WANTED = "must be a date, for example 2026-03-29";
  static final String TIME_OF_DAY_WANTED = "must be a time of day, for example 06:00";
  static final String DURATION_WANTED = "must be a duration, for example PT14M30S";

  private static final Instant EARLIEST = Instant.parse("1970-01-01T00:00:00Z");
  private static final Instant LATEST = Instant.parse("2200-01-01T00:00:00Z");
  private static final LocalDate FIRST_DAY = LocalDate.of(1970, 1, 1);
  private static final LocalDate LAST_DAY = LocalDate.of(2199, 12, 31);
  private static final Duration LONGEST = Duration.ofDays(36_500);

  private Times() {}

  /**
   * Reads an instant.
   *
   * @throws IllegalArgumentException without an offset, not a time, outside 1970 to 2199, or finer
   *     than a microsecond; the message says what is wanted
   */
  public static Instant parse(String text) {
    Instant instant;
    try {
      instant = OffsetDateTime.parse(text).toInstant();
    } catch (DateTimeException unreadable) {
      throw new IllegalArgumentException(WANTED, unreadable);
    }
    if (instant.isBefore(EARLIEST) || !instant.isBefore(LATEST)) {
      throw new IllegalArgumentException("must lie between the years 1970 and 2199, was " + text);
    }
    if (!instant.truncatedTo(ChronoUnit.MICROS).equals(instant)) {
      throw new IllegalArgumentException("must have at most six decimals of a second, was " + text);
    }
    return instant;
  }

  /**
   * Reads a date.
   *
   * @throws IllegalArgumentException if it is not a date or outside 1970 to 2199; the message says
   *     what is wanted
   */
  public static LocalDate date(String text) {
    LocalDate date;
    try {
      date = LocalDate.parse(text);
    } catch (DateTimeException unreadable) {
      throw new IllegalArgumentException(DATE_WANTED, unreadable);
    }
    if (date.isBefore(FIRST_DAY) || date.isAfter(LAST_DAY)) {
      throw new IllegalArgumentException("must lie between the years 1970 and 2199, was " + text);
    }
    return date;
  }

  /**
   * Reads a time of day.
   *
   * @throws IllegalArgumentException if it is not a time of day or finer than a second; the message
   *     says what is wanted
   */
  public static LocalTime timeOfDay(String text) {
    LocalTime time;
    try {
      time = LocalTime.parse(text);
    } catch (DateTimeException unreadable) {
      throw new IllegalArgumentException(TIME_OF_DAY_WANTED, unreadable);
    }
    if (!time.truncatedTo(ChronoUnit.SECONDS).equals(time)) {
      throw new IllegalArgumentException("must be a whole second, was " + text);
    }
    return time;
  }

  /**
   * Reads a duration.
   *
   * @throws IllegalArgumentException if it is not a duration, longer than 36,500 days either way,
   *     or finer than a millisecond; the message says what is wanted
   */
  public static Duration duration(String text) {
    Duration duration;
    try {
      duration = Duration.parse(text);
    } catch (DateTimeException | ArithmeticException unreadable) {
      throw new IllegalArgumentException(DURATION_WANTED, unreadable);
    }
    if (duration.compareTo(LONGEST) > 0 || duration.compareTo(LONGEST.negated()) < 0) {
      throw new IllegalArgumentException("must be at most 36500 days, was " + text);
    }
    if (!duration.truncatedTo(ChronoUnit.MILLIS).equals(duration)) {
      throw new IllegalArgumentException(
          "must have at most three decimals of a second, was " + text);
    }
    return duration;
  }
}
