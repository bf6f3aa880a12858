package org.tarebook.cure;

import java.sql.Types;
import java.util.List;
import java.util.Set;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.storage.SqlTime;
import tools.jackson.core.type.TypeReference;
import tools.jackson.databind.json.JsonMapper;

/** Settlements in the database: added, never edited or deleted. */
@Component
class SettlementStore {

  private static final TypeReference<Set<String>> KEYS = new TypeReference<>() {};

  private final JdbcClient jdbc;
  private final JsonMapper json;

  SettlementStore(JdbcClient jdbc, JsonMapper json) {
    this.jdbc = jdbc;
    this.json = json;
  }

  void add(Settlement settlement) {
    Settlement.Asked asked = settlement.asked();
    jdbc.sql(
            """
            insert into cure_settlement (id, cure_id, number, person, fact_key, channel, from_at, until_at,
              stands, among, reason, recorded_at)
            values (:id, :cure, :number, :person, :key, :channel, :from, :until, :stands, :among, :reason,
              :recorded)
            """)
        .param("id", settlement.id())
        .param("cure", settlement.cureId())
        .param("number", settlement.number())
        .param("person", settlement.person())
        .param("key", asked.key())
        .param("channel", asked.channel())
        .param("from", SqlTime.of(settlement.from()))
        .param("until", SqlTime.of(settlement.until()))
        .param("stands", asked.stands(), Types.VARCHAR)
        .param("among", json.writeValueAsString(settlement.among()))
        .param("reason", asked.reason())
        .param("recorded", SqlTime.of(settlement.recordedAt()))
        .update();
  }

  /** The settlements of a cure, the first one first. */
  List<Settlement> of(long cureId) {
    return jdbc.sql("select * from cure_settlement where cure_id = ? order by number")
        .param(cureId)
        .query(
            (row, number) ->
                new Settlement(
                    row.getLong("id"),
                    row.getLong("cure_id"),
                    row.getInt("number"),
                    new Settlement.Asked(
                        row.getString("fact_key"),
                        row.getString("channel"),
                        SqlTime.get(row, "from_at"),
                        SqlTime.get(row, "until_at"),
                        row.getString("stands"),
                        row.getString("reason")),
                    SqlTime.get(row, "from_at"),
                    SqlTime.get(row, "until_at"),
                    json.readValue(row.getString("among"), KEYS),
                    row.getString("person"),
                    SqlTime.get(row, "recorded_at")))
        .list();
  }
}
