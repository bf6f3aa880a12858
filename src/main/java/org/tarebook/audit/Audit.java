package org.tarebook.audit;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Clock;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.http.WireId;
import org.tarebook.storage.Ids;
import org.tarebook.storage.SqlTime;
import tools.jackson.databind.json.JsonMapper;

/**
 * The audit list: everything that a person answers for. That is all but readings, cures and what
 * follows from them. Each is written in the transaction of the change itself, so that neither
 * exists without the other.
 */
@Component
public class Audit {

  private static final int LONGEST = 4000;

  private final JdbcClient jdbc;
  private final Ids ids;
  private final Clock clock;
  private final JsonMapper json;

  Audit(JdbcClient jdbc, Ids ids, Clock clock, JsonMapper json) {
    this.jdbc = jdbc;
    this.ids = ids;
    this.clock = clock;
    this.json = json;
  }

  /**
   * Notes a change.
   *
   * @param action what was done: created, changed, retired, withdrawn, frozen, revoked, voided,
   *     replaced, revised, corrected, registered, recorded, kept, taken
   * @param subject the kind of thing, in the vocabulary's word
   * @param code which one
   * @param detail what it is after the change; written as JSON
   */
  public void record(Actor actor, String action, String subject, String code, Object detail) {
    String text = json.writeValueAsString(detail);
    jdbc.sql(
            "insert into audit_entry (id, at, actor, actor_kind, action, subject, code, detail)"
                + " values (?, ?, ?, ?, ?, ?, ?, ?)")
        .param(ids.next())
        .param(SqlTime.of(clock.instant()))
        .param(actor.name())
        .param(actor.kind().name())
        .param(action)
        .param(subject)
        .param(code)
        .param(text.length() > LONGEST ? text.substring(0, LONGEST) : text)
        .update();
  }

  List<Entry> page(
      @Nullable String subject,
      @Nullable String code,
      Instant from,
      Instant atOrBefore,
      long beforeId,
      int limit) {
    return jdbc.sql(
            "select id, at, actor, actor_kind, action, subject, code, detail from audit_entry"
                + " where at >= :from and at <= :at and (at < :at or id < :id)"
                + (subject == null ? "" : " and subject = :subject")
                + (code == null ? "" : " and code = :code")
                + " order by "
                + (code != null ? "code desc, " : subject != null ? "subject desc, " : "") // begins
                // an index that gives the order
                + "at desc, id desc fetch first :limit rows only")
        .param("subject", subject)
        .param("code", code)
        .param("from", SqlTime.of(from))
        .param("at", SqlTime.of(atOrBefore))
        .param("id", beforeId)
        .param("limit", limit)
        .query(
            (row, number) ->
                new Entry(
                    row.getLong("id"),
                    SqlTime.get(row, "at"),
                    row.getString("actor"),
                    Actor.Kind.valueOf(row.getString("actor_kind")),
                    row.getString("action"),
                    row.getString("subject"),
                    row.getString("code"),
                    row.getString("detail")))
        .list();
  }

  /** One change. */
  @Schema(name = "AuditEntry", description = "One change of the record.")
  record Entry(
      @Schema(description = "Number of the entry.") @WireId long id,
      @Schema(description = "When it was done.") Instant at,
      @Schema(description = "Who did it: the name of the token that was used.") String actor,
      @Schema(description = "Who acted with that token.") Actor.Kind actorKind,
      @Schema(description = "What was done, such as created, changed, retired or withdrawn.")
          String action,
      @Schema(description = "The kind of thing that was changed, such as limit set or token.")
          String subject,
      @Schema(description = "Code or number of what was changed.") String code,
      @Schema(
              description =
                  "What it was after the change, as JSON text; cut where it is very long.")
          String detail) {}
}
