package org.tarebook.cure;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.storage.SqlTime;

/** Pieces of logs in the database: added, never edited or deleted. */
@Component
class PieceStore {

  private static final Logger log = LoggerFactory.getLogger(PieceStore.class);

  private final JdbcClient jdbc;

  PieceStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /**
   * A piece as it is stored, without its samples.
   *
   * @param bytes how long its compressed columns are
   */
  record Piece(
      long id,
      long cureId,
      String key,
      @Nullable Long sequence,
      String hash,
      Instant recordedAt,
      String postedBy,
      @Nullable String lateBecause,
      @Nullable Instant firstAt,
      @Nullable Instant lastAt,
      int samples,
      int bytes) {}

  /** A piece with its samples. */
  record Stored(String key, @Nullable Long sequence, Instant recordedAt, PieceContent content) {}

  void add(Piece piece, byte[] body) {
    jdbc.sql(
            """
            insert into cure_piece (id, cure_id, fact_key, sequence, content_hash, recorded_at,
              posted_by, late_because, first_at, last_at, samples, body)
            values (:id, :cure, :key, :sequence, :hash, :recorded, :by, :late, :first, :last,
              :samples, :body)
            """)
        .param("id", piece.id())
        .param("cure", piece.cureId())
        .param("key", piece.key())
        .param("sequence", piece.sequence(), Types.BIGINT)
        .param("hash", piece.hash())
        .param("recorded", SqlTime.of(piece.recordedAt()))
        .param("by", piece.postedBy())
        .param("late", piece.lateBecause(), Types.VARCHAR)
        .param("first", SqlTime.ofNullable(piece.firstAt()), Types.TIMESTAMP_WITH_TIMEZONE)
        .param("last", SqlTime.ofNullable(piece.lastAt()), Types.TIMESTAMP_WITH_TIMEZONE)
        .param("samples", piece.samples())
        .param("body", body)
        .update();
  }

  Optional<Piece> find(long cureId, String key) {
    return found("cure_id = ? and fact_key = ?", cureId, key).stream().findFirst();
  }

  /** The pieces of a cure in the order they came, without their samples. */
  List<Piece> list(long cureId) {
    return found("cure_id = ? order by id", cureId);
  }

  private List<Piece> found(String where, Object... values) {
    return jdbc.sql(
            "select id, cure_id, fact_key, sequence, content_hash, recorded_at, posted_by,"
                + " late_because, first_at, last_at, samples, octet_length(body) as bytes"
                + " from cure_piece where "
                + where)
        .params(values)
        .query(
            (row, number) ->
                new Piece(
                    row.getLong("id"),
                    row.getLong("cure_id"),
                    row.getString("fact_key"),
                    row.getObject("sequence", Long.class),
                    row.getString("content_hash"),
                    SqlTime.get(row, "recorded_at"),
                    row.getString("posted_by"),
                    row.getString("late_because"),
                    SqlTime.find(row, "first_at"),
                    SqlTime.find(row, "last_at"),
                    row.getInt("samples"),
                    row.getInt("bytes")))
        .list();
  }

  /** The pieces of a cure with their samples. */
  List<Stored> read(long cureId) {
    return jdbc.sql(
            "select fact_key, sequence, content_hash, recorded_at, body from cure_piece"
                + " where cure_id = ? order by id")
        .param(cureId)
        .query(
            (row, number) ->
                new Stored(
                    row.getString("fact_key"),
                    row.getObject("sequence", Long.class),
                    SqlTime.get(row, "recorded_at"),
                    content(cureId, row)))
        .list();
  }

  /** The samples of a piece, held against the digest of what was posted. */
  private static PieceContent content(long cureId, ResultSet row) throws SQLException {
    PieceContent content = null;
    try {
      content = PieceCodec.decode(row.getBytes("body"));
    } catch (RuntimeException unreadable) {
      log.error("Piece {} of cure {}", row.getString("fact_key"), cureId, unreadable);
    }
    if (content == null || !content.hash().equals(row.getString("content_hash"))) {
      throw new Problem(
          ProblemType.RECORD_DAMAGED,
          "Piece "
              + row.getString("fact_key")
              + " of the log of cure "
              + cureId
              + " is not what was posted: its samples do not have the digest that was stored with"
              + " them. Nothing is judged by it.");
    }
    return content;
  }
}
