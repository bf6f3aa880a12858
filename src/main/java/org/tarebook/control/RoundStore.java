package org.tarebook.control;

import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.storage.SqlTime;

/** The rounds in which limit sets were found: written once with the set, never changed. */
@Repository
class RoundStore {

  private final JdbcClient jdbc;

  RoundStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  void insert(long limitSetId, List<Round> rounds) {
    for (Round round : rounds) {
      jdbc.sql(
              "insert into baseline_round (limit_set_id, round, points, spreads, centre,"
                  + " lower_line, upper_line, sigma, beyond) values (?, ?, ?, ?, ?, ?, ?, ?, ?)")
          .params(
              limitSetId,
              round.number(),
              round.points(),
              round.spreads(),
              round.centre(),
              round.lower(),
              round.upper(),
              round.sigma(),
              round.beyond())
          .update();
      for (Round.Aside aside : round.setAside()) {
        jdbc.sql(
                "insert into set_aside (limit_set_id, last_reading, round, measured_at, point,"
                    + " cause) values (?, ?, ?, ?, ?, ?)")
            .params(
                limitSetId,
                aside.lastReading(),
                round.number(),
                SqlTime.of(aside.at()),
                aside.value(),
                aside.cause())
            .update();
      }
    }
  }

  /** The rounds of a set in order; none for sets from before rounds were recorded. */
  List<Round> of(long limitSetId) {
    record InRound(int round, Round.Aside aside) {}
    Map<Integer, List<Round.Aside>> asides =
        jdbc
            .sql(
                "select * from set_aside where limit_set_id = ? order by measured_at, last_reading")
            .params(limitSetId)
            .query(
                (row, number) ->
                    new InRound(
                        row.getInt("round"),
                        new Round.Aside(
                            row.getLong("last_reading"),
                            SqlTime.get(row, "measured_at"),
                            row.getDouble("point"),
                            row.getString("cause"))))
            .list()
            .stream()
            .collect(
                Collectors.groupingBy(
                    InRound::round, Collectors.mapping(InRound::aside, Collectors.toList())));
    return jdbc.sql("select * from baseline_round where limit_set_id = ? order by round")
        .params(limitSetId)
        .query(
            (row, number) ->
                new Round(
                    row.getInt("round"),
                    asides.getOrDefault(row.getInt("round"), List.of()),
                    row.getLong("points"),
                    row.getLong("spreads"),
                    row.getDouble("centre"),
                    row.getDouble("lower_line"),
                    row.getDouble("upper_line"),
                    row.getDouble("sigma"),
                    row.getLong("beyond")))
        .list();
  }
}
