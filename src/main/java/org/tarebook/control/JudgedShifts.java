package org.tarebook.control;

import java.time.Instant;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.storage.SqlTime;

/**
 * The list of shifts in which a stratum has points with limits in force. While shift calendars are
 * changing it holds the shifts by both; a moment that begins no shift stands for the one it lies
 * in.
 */
@Repository
class JudgedShifts {

  private static final String IN_STRETCH =
      " from judged_shift where chart_id = ? and shift_from >= ? and shift_from < ?";

  private final JdbcClient jdbc;

  JudgedShifts(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  private record Listed(String stratum, Instant shift) {}

  /** The strata listed in a stretch. */
  List<String> strata(long chartId, Instant from, Instant before) {
    return jdbc.sql("select distinct stratum" + IN_STRETCH)
        .params(chartId, SqlTime.of(from), SqlTime.of(before))
        .query(String.class)
        .list();
  }

  /**
   * Makes the list of a stretch what it should be.
   *
   * @param keep whether others are left that are listed already
   */
  void replace(
      long chartId, Instant from, Instant before, Map<String, Set<Instant>> wanted, boolean keep) {
    Set<Listed> missing = new HashSet<>();
    wanted.forEach(
        (stratum, shifts) -> shifts.forEach(shift -> missing.add(new Listed(stratum, shift))));
    List<Listed> listed =
        jdbc.sql("select stratum, shift_from" + IN_STRETCH)
            .params(chartId, SqlTime.of(from), SqlTime.of(before))
            .query(
                (row, number) ->
                    new Listed(row.getString("stratum"), SqlTime.get(row, "shift_from")))
            .list();
    for (Listed each : listed) {
      if (!missing.remove(each) && !keep) {
        write(
            "delete from judged_shift where chart_id = ? and stratum = ? and shift_from = ?",
            chartId,
            each);
      }
    }
    for (Listed each : missing) {
      write(
          "insert into judged_shift (chart_id, stratum, shift_from) values (?, ?, ?)",
          chartId,
          each);
    }
  }

  private void write(String sql, long chartId, Listed listed) {
    jdbc.sql(sql).params(chartId, listed.stratum(), SqlTime.of(listed.shift())).update();
  }

  /** The last listed of a stratum before a moment, the latest first. */
  List<Instant> earlier(long chartId, String stratum, Instant from, int limit) {
    return neighbours("< ? order by shift_from desc", chartId, stratum, from, limit);
  }

  /** The first listed of a stratum after a moment, in order. */
  List<Instant> later(long chartId, String stratum, Instant before, int limit) {
    return neighbours("> ? order by shift_from", chartId, stratum, before, limit);
  }

  private List<Instant> neighbours(
      String which, long chartId, String stratum, Instant moment, int limit) {
    return jdbc.sql(
            "select shift_from from judged_shift where chart_id = ? and stratum = ? and shift_from "
                + which
                + " fetch first ? rows only")
        .params(chartId, stratum, SqlTime.of(moment), limit)
        .query((row, number) -> SqlTime.get(row, "shift_from"))
        .list();
  }
}
