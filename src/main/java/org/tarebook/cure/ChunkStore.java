package org.tarebook.cure;

import java.sql.Types;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.storage.SqlTime;

/** Pieces of logs in the database: added, never edited or deleted. */
@Component
class ChunkStore {

  private final JdbcClient jdbc;

  ChunkStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /**
   * A piece as it is stored, without its samples.
   *
   * @param bytes how long its compressed columns are
   */
  record Chunk(
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
  record Stored(@Nullable Long sequence, Instant recordedAt, ChunkContent content) {}

  void add(Chunk chunk, byte[] body) {
    jdbc.sql(
            """
            insert into cure_chunk (id, cure_id, fact_key, sequence, content_hash, recorded_at,
              posted_by, late_because, first_at, last_at, samples, body)
            values (:id, :cure, :key, :sequence, :hash, :recorded, :by, :late, :first, :last,
              :samples, :body)
            """)
        .param("id", chunk.id())
        .param("cure", chunk.cureId())
        .param("key", chunk.key())
        .param("sequence", chunk.sequence(), Types.BIGINT)
        .param("hash", chunk.hash())
        .param("recorded", SqlTime.of(chunk.recordedAt()))
        .param("by", chunk.postedBy())
        .param("late", chunk.lateBecause(), Types.VARCHAR)
        .param("first", SqlTime.ofNullable(chunk.firstAt()), Types.TIMESTAMP_WITH_TIMEZONE)
        .param("last", SqlTime.ofNullable(chunk.lastAt()), Types.TIMESTAMP_WITH_TIMEZONE)
        .param("samples", chunk.samples())
        .param("body", body)
        .update();
  }

  Optional<Chunk> find(long cureId, String key) {
    return found("cure_id = ? and fact_key = ?", cureId, key).stream().findFirst();
  }

  /** The pieces of a cure in the order they came, without their samples. */
  List<Chunk> list(long cureId) {
    return found("cure_id = ? order by id", cureId);
  }

  private List<Chunk> found(String where, Object... values) {
    return jdbc.sql(
            "select id, cure_id, fact_key, sequence, content_hash, recorded_at, posted_by,"
                + " late_because, first_at, last_at, samples, octet_length(body) as bytes"
                + " from cure_chunk where "
                + where)
        .params(values)
        .query(
            (row, number) ->
                new Chunk(
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
            "select sequence, recorded_at, body from cure_chunk where cure_id = ? order by id")
        .param(cureId)
        .query(
            (row, number) ->
                new Stored(
                    row.getObject("sequence", Long.class),
                    SqlTime.get(row, "recorded_at"),
                    ChunkCodec.decode(row.getBytes("body"))))
        .list();
  }
}
