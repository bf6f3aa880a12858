package org.tarebook.backup;

import java.math.BigDecimal;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.HexFormat;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** What a column holds, and how that is written: the same on both databases, to the last digit. */
enum Kind {
  INTEGER(Types.BIGINT) {
    @Override
    String text(ResultSet row, int column) throws SQLException {
      return Long.toString(row.getLong(column));
    }

    @Override
    Object value(String text) {
      return Long.valueOf(text);
    }
  },

  DECIMAL(Types.NUMERIC) {
    @Override
    @Nullable String text(ResultSet row, int column) throws SQLException {
      BigDecimal value = row.getBigDecimal(column);
      return value == null ? null : value.toPlainString();
    }

    @Override
    Object value(String text) {
      return new BigDecimal(text);
    }
  },

  DOUBLE(Types.DOUBLE) {
    @Override
    String text(ResultSet row, int column) throws SQLException {
      return Double.toString(row.getDouble(column));
    }

    @Override
    Object value(String text) {
      return Double.valueOf(text);
    }
  },

  BOOLEAN(Types.BOOLEAN) {
    @Override
    String text(ResultSet row, int column) throws SQLException {
      return Boolean.toString(row.getBoolean(column));
    }

    @Override
    Object value(String text) {
      return switch (text) {
        case "true" -> true;
        case "false" -> false;
        default -> throw new IllegalArgumentException(text);
      };
    }
  },

  TEXT(Types.VARCHAR) {
    @Override
    @Nullable String text(ResultSet row, int column) throws SQLException {
      return row.getString(column);
    }

    @Override
    Object value(String text) {
      return text;
    }
  },

  INSTANT(Types.TIMESTAMP_WITH_TIMEZONE) {
    @Override
    @Nullable String text(ResultSet row, int column) throws SQLException {
      OffsetDateTime value = row.getObject(column, OffsetDateTime.class);
      return value == null ? null : value.toInstant().toString();
    }

    @Override
    Object value(String text) {
      return Instant.parse(text).atOffset(ZoneOffset.UTC);
    }
  },

  DATE(Types.DATE) {
    @Override
    @Nullable String text(ResultSet row, int column) throws SQLException {
      LocalDate value = row.getObject(column, LocalDate.class);
      return value == null ? null : value.toString();
    }

    @Override
    Object value(String text) {
      return LocalDate.parse(text);
    }
  },

  TIME(Types.TIME) {
    @Override
    @Nullable String text(ResultSet row, int column) throws SQLException {
      LocalTime value = row.getObject(column, LocalTime.class);
      return value == null ? null : value.toString();
    }

    @Override
    Object value(String text) {
      return LocalTime.parse(text);
    }
  },

  /** Hexadecimal digits behind {@code \x}. */
  BINARY(Types.VARBINARY) {
    @Override
    @Nullable String text(ResultSet row, int column) throws SQLException {
      byte[] value = row.getBytes(column);
      return value == null ? null : "\\x" + HexFormat.of().formatHex(value);
    }

    @Override
    Object value(String text) {
      if (!text.startsWith("\\x")) {
        throw new IllegalArgumentException(text);
      }
      return HexFormat.of().parseHex(text, 2, text.length());
    }
  };

  private final int jdbcType;

  Kind(int jdbcType) {
    this.jdbcType = jdbcType;
  }

  /**
   * What a column of this type holds.
   *
   * @param jdbcType of {@link Types}, as the driver says it
   * @param typeName as the database calls it
   */
  static Kind of(int jdbcType, String typeName) {
    return switch (jdbcType) {
      case Types.SMALLINT, Types.INTEGER, Types.BIGINT -> INTEGER;
      case Types.NUMERIC, Types.DECIMAL -> DECIMAL;
      case Types.DOUBLE -> DOUBLE;
      case Types.BOOLEAN -> BOOLEAN;
      case Types.CHAR, Types.VARCHAR -> TEXT;
      case Types.TIMESTAMP_WITH_TIMEZONE -> INSTANT;
      case Types.DATE -> DATE;
      case Types.TIME -> TIME;
      case Types.BINARY, Types.VARBINARY -> BINARY;
      default ->
          switch (typeName.toLowerCase(Locale.ROOT)) {
            case "bool" -> BOOLEAN;
            case "timestamptz" -> INSTANT;
            default -> throw new IllegalStateException("No way to write a column of " + typeName);
          };
    };
  }

  /** The value as it is written; where it is null, anything. */
  abstract @Nullable String text(ResultSet row, int column) throws SQLException;

  /**
   * The value that was written so.
   *
   * @throws RuntimeException where nothing is written so
   */
  abstract Object value(String text);

  /** Whether the value is written between quotes, so that an empty one is not taken as none. */
  boolean quoted() {
    return this == TEXT;
  }

  /** Hands a value, or none, to a statement. */
  void set(PreparedStatement statement, int column, @Nullable String text) throws SQLException {
    if (text == null) {
      statement.setNull(column, jdbcType);
    } else {
      statement.setObject(column, value(text));
    }
  }

  /** The word for it in a manifest. */
  String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
