package org.tarebook.storage;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import org.jspecify.annotations.Nullable;

/** Instants to and from {@code timestamp(6) with time zone}. */
public final class SqlTime {

  private SqlTime() {}

  /** The instant as JDBC takes it. */
  public static OffsetDateTime of(Instant instant) {
    return instant.atOffset(ZoneOffset.UTC);
  }

  /** An instant that may be absent, as JDBC takes it. */
  public static @Nullable OffsetDateTime ofNullable(@Nullable Instant instant) {
    return instant == null ? null : of(instant);
  }

  /** The instant in a column that is never null. */
  public static Instant get(ResultSet row, String column) throws SQLException {
    return row.getObject(column, OffsetDateTime.class).toInstant();
  }

  /** The instant in a column that may be null. */
  public static @Nullable Instant find(ResultSet row, String column) throws SQLException {
    OffsetDateTime time = row.getObject(column, OffsetDateTime.class);
    return time == null ? null : time.toInstant();
  }
}
