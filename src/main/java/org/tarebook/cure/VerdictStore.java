package org.tarebook.cure;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.cure.Verdict.CavityVerdict;
import org.tarebook.quantity.Decimals;
import org.tarebook.storage.SqlTime;
import tools.jackson.core.type.TypeReference;
import tools.jackson.databind.json.JsonMapper;

/** Verdicts in the database: added, never edited or deleted. */
@Component
class VerdictStore {

  private static final TypeReference<List<Finding>> FINDINGS = new TypeReference<>() {};
  private static final TypeReference<List<String>> TEXTS = new TypeReference<>() {};

  private final JdbcClient jdbc;
  private final JsonMapper json;

  VerdictStore(JdbcClient jdbc, JsonMapper json) {
    this.jdbc = jdbc;
    this.json = json;
  }

  /** What is stored of a cavity beside its reasons. */
  record Finding(int cavity, CureVerdict verdict, CavityFigures figures) {}

  /** Adds a verdict under a version of the press's lock. */
  void add(Verdict verdict, long lockVersion) {
    List<Finding> findings =
        verdict.cavities().stream()
            .map(one -> new Finding(one.cavity(), one.verdict(), one.figures()))
            .toList();
    jdbc.sql(
            """
            insert into cure_verdict (id, cure_id, number, revision_id, because, method, asked_key,
              asked_why, reached_at, reached_by, cure_version, samples, changed, findings,
              lock_version)
            values (:id, :cure, :number, :revision, :because, :method, :key, :why, :at, :by,
              :version, :samples, :changed, :findings, :lockVersion)
            """)
        .param("id", verdict.id())
        .param("cure", verdict.cureId())
        .param("number", verdict.number())
        .param("revision", verdict.revisionId(), Types.BIGINT)
        .param("because", verdict.because().name())
        .param("method", verdict.method())
        .param("key", verdict.asked() == null ? null : verdict.asked().key(), Types.VARCHAR)
        .param("why", verdict.asked() == null ? null : verdict.asked().reason(), Types.VARCHAR)
        .param("at", SqlTime.of(verdict.reachedAt()))
        .param("by", verdict.reachedBy())
        .param("version", verdict.cureVersion())
        .param("samples", verdict.samples())
        .param("changed", json.writeValueAsString(verdict.changed()))
        .param("findings", json.writeValueAsString(findings))
        .param("lockVersion", lockVersion)
        .update();
    int position = 0;
    for (CavityVerdict cavity : verdict.cavities()) {
      for (Reason reason : cavity.reasons()) {
        add(verdict.id(), position++, cavity.cavity(), reason);
      }
      jdbc.sql("update cure_cavity set verdict = ? where cure_id = ? and cavity = ?")
          .param(cavity.verdict().name())
          .param(verdict.cureId())
          .param(cavity.cavity())
          .update();
    }
  }

  private void add(long verdictId, int position, int cavity, Reason reason) {
    jdbc.sql(
            """
            insert into cure_reason (verdict_id, position, cavity, code, weight, words, channel,
              place, step, from_at, until_at, amount, wanted, unit, line, rule, shared)
            values (:verdict, :position, :cavity, :code, :weight, :words, :channel, :place, :step,
              :from, :until, :amount, :wanted, :unit, :line, :rule, :shared)
            """)
        .param("verdict", verdictId)
        .param("position", position)
        .param("cavity", cavity)
        .param("code", reason.code().name())
        .param("weight", reason.weight().name())
        .param("words", reason.words())
        .param("channel", reason.channel(), Types.VARCHAR)
        .param("place", reason.place(), Types.VARCHAR)
        .param("step", reason.step(), Types.VARCHAR)
        .param("from", SqlTime.ofNullable(reason.from()), Types.TIMESTAMP_WITH_TIMEZONE)
        .param("until", SqlTime.ofNullable(reason.until()), Types.TIMESTAMP_WITH_TIMEZONE)
        .param("amount", reason.amount(), Types.NUMERIC)
        .param("wanted", reason.wanted(), Types.NUMERIC)
        .param("unit", reason.unit(), Types.VARCHAR)
        .param("line", reason.line(), Types.VARCHAR)
        .param("rule", reason.rule() == null ? null : reason.rule().name(), Types.VARCHAR)
        .param("shared", reason.shared())
        .update();
  }

  /** The verdicts of a cure, the first one first. */
  List<Verdict> of(long cureId) {
    return jdbc.sql("select * from cure_verdict where cure_id = ? order by number")
        .param(cureId)
        .query(this::verdict)
        .list();
  }

  /** The last verdict of a cure, if there is one. */
  Optional<Verdict> last(long cureId) {
    return jdbc.sql(
            "select * from cure_verdict where cure_id = ? order by number desc"
                + " fetch first 1 rows only")
        .param(cureId)
        .query(this::verdict)
        .optional();
  }

  /** Cures whose last verdict was reached by an earlier method, by the id of that verdict. */
  List<Verdict> byEarlierMethod(int method, long after, int limit) {
    return jdbc.sql(
            """
            select v.* from cure_verdict v
            where v.method < :method and v.id > :after
              and not exists (select 1 from cure_verdict later
                where later.cure_id = v.cure_id and later.number > v.number)
            order by v.id fetch first :limit rows only
            """)
        .param("method", method)
        .param("after", after)
        .param("limit", limit)
        .query(this::verdict)
        .list();
  }

  private Verdict verdict(ResultSet row, int number) throws SQLException {
    long id = row.getLong("id");
    Map<Integer, List<Reason>> reasons = reasons(id);
    List<CavityVerdict> cavities = new ArrayList<>();
    for (Finding finding : json.readValue(row.getString("findings"), FINDINGS)) {
      cavities.add(
          new CavityVerdict(
              finding.cavity(),
              finding.verdict(),
              reasons.getOrDefault(finding.cavity(), List.of()),
              finding.figures()));
    }
    return new Verdict(
        id,
        row.getLong("cure_id"),
        row.getInt("number"),
        row.getObject("revision_id", Long.class),
        Verdict.Because.valueOf(row.getString("because")),
        row.getInt("method"),
        row.getString("asked_key") == null
            ? null
            : new Verdict.Asked(row.getString("asked_key"), row.getString("asked_why")),
        SqlTime.get(row, "reached_at"),
        row.getString("reached_by"),
        row.getLong("cure_version"),
        row.getInt("samples"),
        cavities,
        json.readValue(row.getString("changed"), TEXTS));
  }

  private Map<Integer, List<Reason>> reasons(long verdictId) {
    Map<Integer, List<Reason>> found = new TreeMap<>();
    jdbc.sql("select * from cure_reason where verdict_id = ? order by position")
        .param(verdictId)
        .query(
            (row, number) ->
                found
                    .computeIfAbsent(row.getInt("cavity"), cavity -> new ArrayList<>())
                    .add(reason(row)))
        .list();
    return found;
  }

  private static Reason reason(ResultSet row) throws SQLException {
    return new Reason(
        Reason.Code.valueOf(row.getString("code")),
        Reason.Weight.valueOf(row.getString("weight")),
        row.getString("words"),
        row.getString("channel"),
        row.getString("place"),
        row.getString("step"),
        SqlTime.find(row, "from_at"),
        SqlTime.find(row, "until_at"),
        plain(row.getBigDecimal("amount")),
        plain(row.getBigDecimal("wanted")),
        row.getString("unit"),
        row.getString("line"),
        row.getString("rule") == null ? null : Reason.Rule.valueOf(row.getString("rule")),
        row.getBoolean("shared"));
  }

  private static java.math.@Nullable BigDecimal plain(java.math.@Nullable BigDecimal stored) {
    return stored == null ? null : Decimals.plain(stored);
  }
}
