package org.tarebook.capability;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.reading.AsOf;
import org.tarebook.stats.MethodRevision;
import org.tarebook.storage.SqlTime;
import tools.jackson.databind.json.JsonMapper;

/** Kept studies in the database: written once, never changed. */
@Repository
class KeptStudyStore {

  private final JdbcClient jdbc;
  private final JsonMapper json;

  KeptStudyStore(JdbcClient jdbc, JsonMapper json) {
    this.jdbc = jdbc;
    this.json = json;
  }

  void insert(KeptStudy study, String answer) {
    jdbc.sql(
            "insert into kept_study (id, code, fact_key, chart_id, question, lock_version, as_of,"
                + " method_revision, answer, digest, reason, person, recorded_at)"
                + " values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")
        .params(
            study.id(),
            study.code(),
            study.signed().key(),
            study.chartId(),
            json.writeValueAsString(study.asked()),
            study.asOf().version(),
            SqlTime.of(study.asOf().moment()),
            study.methodRevision(),
            answer,
            study.digest(),
            study.signed().reason(),
            study.signed().person(),
            SqlTime.of(study.signed().recordedAt()))
        .update();
  }

  Optional<KeptStudy> byCode(String code) {
    return find("code = ?", code).stream().findFirst();
  }

  Optional<KeptStudy> byKey(String person, String key) {
    return find("person = ? and fact_key = ?", person, key).stream().findFirst();
  }

  /** The newest first, before an id. */
  List<KeptStudy> find(@Nullable Long chartId, boolean byEarlierMethod, long before, int limit) {
    return find(
        (chartId == null ? "" : "chart_id = " + chartId + " and ")
            + (byEarlierMethod ? "method_revision < " + MethodRevision.NOW + " and " : "")
            + "id < ? order by id desc fetch first ? rows only",
        before,
        limit);
  }

  /** What every kept study was asked. */
  List<KeptStudy.Asked> asked() {
    return jdbc.sql("select question from kept_study")
        .query((row, number) -> json.readValue(row.getString("question"), KeptStudy.Asked.class))
        .list();
  }

  /** The answer as it was given, as JSON. */
  String answer(KeptStudy study) {
    return jdbc.sql("select answer from kept_study where id = ?")
        .param(study.id())
        .query(String.class)
        .single();
  }

  private List<KeptStudy> find(String which, Object... values) {
    return jdbc.sql(
            "select id, code, fact_key, chart_id, question, lock_version, as_of, method_revision,"
                + " digest, reason, person, recorded_at from kept_study where "
                + which)
        .params(values)
        .query((row, number) -> read(row))
        .list();
  }

  private KeptStudy read(ResultSet row) throws SQLException {
    return new KeptStudy(
        row.getLong("id"),
        row.getString("code"),
        row.getLong("chart_id"),
        json.readValue(row.getString("question"), KeptStudy.Asked.class),
        new AsOf(row.getLong("lock_version"), SqlTime.get(row, "as_of")),
        row.getInt("method_revision"),
        row.getString("digest"),
        new KeptStudy.Signed(
            row.getString("fact_key"),
            row.getString("person"),
            row.getString("reason"),
            SqlTime.get(row, "recorded_at")));
  }
}
