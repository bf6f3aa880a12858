package org.tarebook.http;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;

/** Instants on the wire: RFC 3339 with an offset, kept to the microsecond as the database does. */
public final class Times {

  static final String WANTED =
      "must be a time with its offset, for example 2026-03-29T00:59:59.25Z or"
          + " 2026-03-29T02:59:59+02:00";

  private static final Instant EARLIEST = Instant.parse("1970-01-01T00:00:00Z");
  private static final Instant LATEST = Instant.parse("2200-01-01T00:00:00Z");

  private Times() {}

  /**
   * Reads an instant.
   *
   * @throws IllegalArgumentException without an offset, not a time, or outside 1970 to 2199; the
   *     message says what is wanted
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
    return instant.truncatedTo(ChronoUnit.MICROS);
  }
}
