package org.tarebook.control;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.Arrays;
import java.util.Collection;
import java.util.Collections;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.Cause;
import org.tarebook.stats.ControlLimits;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.storage.SqlTime;

/** Limit sets in the database, and their withdrawals: added, never changed. */
@Repository
class LimitSetStore {

  private static final String SELECT =
      "select l.*, w.fact_key as withdrawal_key, w.reason as withdrawal_reason, w.person as"
          + " withdrawn_by, w.recorded_at as withdrawn_at, w.lock_version as withdrawn_version"
          + " from limit_set l left join limit_set_withdrawal w on w.limit_set_id = l.id where ";

  private final JdbcClient jdbc;

  LimitSetStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  void insert(LimitSet set, int subgroupSize) {
    LimitSet.Baseline baseline = set.baseline();
    Limits limits = set.limits();
    jdbc.sql(
            "insert into limit_set (id, code, chart_id, stratum, fact_key, baseline_from,"
                + " baseline_before, baseline_version, readings, subgroups, incomplete, excluded,"
                + " subgroup_size, unit, centre, lower_line, upper_line, sigma,"
                + " degrees_of_freedom, spreads, estimator, spread_centre, spread_lower,"
                + " spread_upper, in_force_from, reason, person, recorded_at) values (?, ?, ?, ?,"
                + " ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")
        .params(
            set.id(),
            set.code(),
            set.chartId(),
            set.stratum(),
            set.signed().key(),
            SqlTime.of(baseline.from()),
            SqlTime.of(baseline.before()),
            baseline.version(),
            baseline.readings(),
            baseline.points(),
            baseline.incomplete(),
            words(baseline.uncounted()),
            subgroupSize,
            set.unit().code(),
            limits.points().centre(),
            limits.points().lower(),
            limits.points().upper(),
            limits.sigma().sigma(),
            limits.sigma().degreesOfFreedom(),
            limits.sigma().subgroups(),
            limits.sigma().estimator().name(),
            limits.spread().centre(),
            limits.spread().lower(),
            limits.spread().upper(),
            SqlTime.of(set.inForceFrom()),
            set.signed().reason(),
            set.signed().person(),
            SqlTime.of(set.signed().recordedAt()))
        .update();
  }

  /** Adds that a set is withdrawn. */
  void addWithdrawal(long setId, LimitSet.Withdrawal withdrawal) {
    jdbc.sql(
            "insert into limit_set_withdrawal (limit_set_id, fact_key, reason, person, recorded_at,"
                + " lock_version) values (?, ?, ?, ?, ?, ?)")
        .params(
            setId,
            withdrawal.key(),
            withdrawal.reason(),
            withdrawal.person(),
            SqlTime.of(withdrawal.recordedAt()),
            withdrawal.version())
        .update();
  }

  /** The sets of a chart, withdrawn ones included, in the order in which they come into force. */
  List<LimitSet> ofChart(long chartId) {
    return find("l.chart_id = ? order by l.in_force_from, l.id", chartId);
  }

  /** The same of charts, each chart's in the order in which they come into force. */
  Map<Long, List<LimitSet>> ofCharts(Collection<Long> chartIds) {
    if (chartIds.isEmpty()) {
      return Map.of();
    }
    String places = String.join(", ", Collections.nCopies(chartIds.size(), "?"));
    return find("l.chart_id in (" + places + ") order by l.in_force_from, l.id", chartIds.toArray())
        .stream()
        .collect(Collectors.groupingBy(LimitSet::chartId));
  }

  /** The first chart with limits of those from an id on, if there is one. */
  Optional<Long> firstChart(long fromId) {
    return jdbc.sql(
            "select chart_id from limit_set where chart_id >= ? order by chart_id"
                + " fetch first 1 rows only")
        .param(fromId)
        .query(Long.class)
        .optional();
  }

  Optional<LimitSet> byCode(String code) {
    return find("l.code = ?", code).stream().findFirst();
  }

  LimitSet byId(long id) {
    return find("l.id = ?", id).get(0);
  }

  Optional<LimitSet> byKey(String person, String key) {
    return find("l.person = ? and l.fact_key = ?", person, key).stream().findFirst();
  }

  /** The set somebody withdrew under this key. */
  Optional<LimitSet> findWithdrawn(String person, String key) {
    return find("w.person = ? and w.fact_key = ?", person, key).stream().findFirst();
  }

  private List<LimitSet> find(String which, Object... values) {
    return jdbc.sql(SELECT + which).params(values).query((row, number) -> read(row)).list();
  }

  private static LimitSet read(ResultSet row) throws SQLException {
    return new LimitSet(
        row.getLong("id"),
        row.getString("code"),
        row.getLong("chart_id"),
        row.getString("stratum"),
        new LimitSet.Baseline(
            SqlTime.get(row, "baseline_from"),
            SqlTime.get(row, "baseline_before"),
            row.getLong("baseline_version"),
            row.getLong("readings"),
            row.getLong("subgroups"),
            row.getLong("incomplete"),
            causes(row.getString("excluded"))),
        Unit.of(row.getString("unit")),
        new Limits(
            new ControlLimits(
                row.getDouble("centre"), row.getDouble("lower_line"), row.getDouble("upper_line")),
            new ControlLimits(
                row.getDouble("spread_centre"),
                row.getDouble("spread_lower"),
                row.getDouble("spread_upper")),
            new SigmaEstimate(
                row.getDouble("sigma"),
                row.getDouble("degrees_of_freedom"),
                Estimator.valueOf(row.getString("estimator")),
                row.getLong("spreads"))),
        SqlTime.get(row, "in_force_from"),
        new LimitSet.Signed(
            row.getString("fact_key"),
            row.getString("person"),
            row.getString("reason"),
            SqlTime.get(row, "recorded_at")),
        row.getString("withdrawal_key") == null
            ? null
            : new LimitSet.Withdrawal(
                row.getString("withdrawal_key"),
                row.getString("withdrawal_reason"),
                row.getString("withdrawn_by"),
                SqlTime.get(row, "withdrawn_at"),
                row.getLong("withdrawn_version")));
  }

  private static String words(Map<Cause, Long> uncounted) {
    return uncounted.entrySet().stream()
        .map(each -> each.getKey() + "=" + each.getValue())
        .collect(Collectors.joining(" "));
  }

  private static Map<Cause, Long> causes(String words) {
    Map<Cause, Long> causes = new EnumMap<>(Cause.class);
    Arrays.stream(words.split(" "))
        .filter(word -> !word.isEmpty())
        .map(word -> word.split("=", 2))
        .forEach(pair -> causes.put(Cause.valueOf(pair[0]), Long.valueOf(pair[1])));
    return causes;
  }
}
