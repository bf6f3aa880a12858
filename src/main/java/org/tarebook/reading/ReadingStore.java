package org.tarebook.reading;

import java.math.BigDecimal;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collection;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.postgresql.PGConnection;
import org.postgresql.PGStatement;
import org.postgresql.copy.CopyIn;
import org.springframework.jdbc.core.JdbcTemplate;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.CopyLines;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;

/** The table of readings: rows are added in batches and found again, never changed. */
@Repository
class ReadingStore {

  static final String COLUMNS =
      """
      r.id, r.event_id, r.station_id, r.event_key, r.part, r.instrument_id, r.characteristic_id,
      r.chart_id, r.lock_version, r.measured_at, r.recorded_at, r.counter, r.net_value, r.decimals,
      r.censored, r.unit, r.gross, r.tare, r.flags, r.phase, r.die, r.lot, r.sample, r.operator, r.item, r.truck, r.leaf,
      r.item_label, r.remeasures_id, r.remeasures_key, r.root_event_id, r.result, r.direction,
      r.not_judged, r.specification_id, r.uncertainty_id, r.clock_doubt, r.posted_by
      """;

  private static final String INSERT =
      "insert into reading ("
          + COLUMNS.replace("r.", "")
          + ") values ("
          + Arrays.stream(COLUMNS.split(",")).map(c -> "?").collect(Collectors.joining(", "))
          + ")";

  /** PostgreSQL takes many rows faster as lines than as a statement; so few not. */
  private static final int COPIED_FROM = 16;

  private static final String COPY = "copy reading (" + COLUMNS.replace("r.", "") + ") from stdin";

  /** Key by key, and in their order, so that PostgreSQL goes by the index of keys and no other. */
  private static final String KEY_BY_KEY =
      "cross join lateral (select * from reading k where k.station_id = wanted.station_id"
          + " and k.event_key = wanted.event_key order by k.event_key, k.part) r";

  private static final String JOINED =
      "join reading r on r.station_id = wanted.station_id and r.event_key = wanted.event_key";

  private final JdbcTemplate jdbc;
  private final JdbcClient client;
  private final boolean postgres;
  private final String sqlByKeys;

  ReadingStore(JdbcTemplate jdbc, JdbcClient client, Vendor vendor) {
    this.jdbc = jdbc;
    this.client = client;
    this.postgres = vendor == Vendor.POSTGRESQL;
    this.sqlByKeys = sqlByKeys(vendor);
  }

  static String sqlByKeys(Vendor vendor) {
    return "select "
        + COLUMNS
        + " from unnest(cast(? as bigint array), cast(? as varchar array))"
        + " wanted (station_id, event_key) "
        + (vendor == Vendor.POSTGRESQL ? KEY_BY_KEY : JOINED)
        + " order by r.station_id, r.event_key, r.part";
  }

  void insert(List<Reading> readings) {
    if (postgres && readings.size() >= COPIED_FROM) {
      jdbc.execute(
          (Connection connection) -> {
            byte[] lines = CopyLines.of(readings, ReadingStore::values);
            CopyIn copying = connection.unwrap(PGConnection.class).getCopyAPI().copyIn(COPY);
            copying.writeToCopy(lines, 0, lines.length);
            return copying.endCopy();
          });
    } else {
      jdbc.batchUpdate(INSERT, readings, Math.max(1, readings.size()), ReadingStore::bind);
    }
  }

  /** The readings of stations under some of their keys, by station and key, parts in order. */
  List<Reading> findByKeys(Map<Long, ? extends Collection<String>> keys) {
    List<Long> stations = new ArrayList<>();
    List<String> wanted = new ArrayList<>();
    keys.forEach(
        (station, ofStation) ->
            ofStation.forEach(
                key -> {
                  stations.add(station);
                  wanted.add(key);
                }));
    return switch (wanted.size()) {
      case 0 -> List.of();
      case 1 -> findByKey(stations.get(0), wanted.get(0));
      default ->
          jdbc.query(
              connection -> byKeys(connection, stations, wanted), (row, number) -> read(row));
    };
  }

  /**
   * PostgreSQL plans it anew each time: a plan is else kept until the table is analyzed, and one
   * made while it was small reads all of it for every key.
   */
  private PreparedStatement byKeys(Connection connection, List<Long> stations, List<String> keys)
      throws SQLException {
    PreparedStatement statement = connection.prepareStatement(sqlByKeys);
    if (postgres) {
      statement.unwrap(PGStatement.class).setPrepareThreshold(0);
    }
    statement.setArray(1, connection.createArrayOf("bigint", stations.toArray()));
    statement.setArray(2, connection.createArrayOf("varchar", keys.toArray()));
    return statement;
  }

  /** The readings of a station under one of its keys, in order: what a single posting asks. */
  private List<Reading> findByKey(long stationId, String key) {
    return client
        .sql(
            "select "
                + COLUMNS
                + " from reading r where r.station_id = ? and r.event_key = ?"
                + " order by r.event_key, r.part")
        .params(stationId, key)
        .query((row, number) -> read(row))
        .list();
  }

  List<Reading> findByIds(Collection<Long> ids) {
    return ids.isEmpty()
        ? List.of()
        : client
            .sql("select " + COLUMNS + " from reading r where r.id in (:ids) order by r.id")
            .param("ids", ids)
            .query((row, number) -> read(row))
            .list();
  }

  /** The values taken together in one event, in order. */
  List<Reading> findByEvent(Reading.Event event) {
    return findByKey(event.stationId(), event.key());
  }

  /** Earlier readings of items, by what the items are called. */
  List<Reading> findByItems(Set<String> labels, Set<Long> characteristicIds) {
    return client
        .sql(
            "select "
                + COLUMNS
                + " from reading r where r.item_label in (:labels)"
                + " and r.characteristic_id in (:characteristics) order by r.measured_at, r.id")
        .param("labels", labels)
        .param("characteristics", characteristicIds)
        .query((row, number) -> read(row))
        .list();
  }

  /** First readings of items together with all later ones of the same items. */
  List<Reading> findChains(Collection<Long> rootIds) {
    return client
        .sql(
            "select * from (select "
                + COLUMNS
                + " from reading r where r.id in (:roots)"
                + " union all select "
                + COLUMNS
                + " from reading r"
                + " where r.remeasures_id in (:roots)) chain order by measured_at, id")
        .param("roots", rootIds)
        .query((row, number) -> read(row))
        .list();
  }

  /** What took the place of readings that were replaced, by their ids; others are left out. */
  Map<Long, Reading> findStanding(Collection<Reading> readings) {
    Map<Long, Reading> standing = new HashMap<>();
    Map<Long, Long> origins = new HashMap<>();
    readings.forEach(reading -> origins.put(reading.id(), reading.id()));
    while (!origins.isEmpty()) {
      Map<Long, Long> next = new HashMap<>();
      client
          .sql(
              "select a.reading_id as replaced_id, "
                  + COLUMNS
                  + " from amendment a join reading r on r.id = a.replacement_id"
                  + " where a.reading_id in (:ids)")
          .param("ids", origins.keySet())
          .query(
              (row, number) -> {
                Reading replacement = read(row);
                Long origin = origins.get(row.getLong("replaced_id"));
                next.put(replacement.id(), origin);
                return standing.put(origin, replacement);
              })
          .list();
      origins.clear();
      origins.putAll(next);
    }
    return standing;
  }

  static Reading read(ResultSet row) throws SQLException {
    Reading.Circumstances circumstances =
        new Reading.Circumstances(
            Phase.valueOf(row.getString("phase")),
            row.getString("die"),
            row.getString("lot"),
            row.getString("sample"),
            row.getString("operator"),
            row.getObject("counter", Long.class),
            row.getString("item"),
            row.getString("truck"),
            row.getString("leaf"),
            row.getString("item_label"));
    String doubt = row.getString("clock_doubt");
    Reading.Event event =
        new Reading.Event(
            row.getLong("event_id"),
            row.getLong("root_event_id"),
            row.getLong("station_id"),
            row.getString("event_key"),
            SqlTime.get(row, "measured_at"),
            SqlTime.get(row, "recorded_at"),
            circumstances,
            row.getString("remeasures_key"),
            doubt == null ? null : ClockDoubt.valueOf(doubt),
            row.getString("posted_by"));
    BigDecimal value = row.getBigDecimal("net_value");
    Reading.Shown shown =
        new Reading.Shown(
            row.getObject("instrument_id", Long.class),
            value == null ? null : value.setScale(row.getInt("decimals")),
            censored(row.getString("censored")),
            Unit.of(row.getString("unit")),
            plain(row.getBigDecimal("gross")),
            plain(row.getBigDecimal("tare")),
            flags(row.getString("flags")));
    return new Reading(
        row.getLong("id"),
        event,
        row.getInt("part"),
        row.getLong("characteristic_id"),
        row.getObject("chart_id", Long.class),
        row.getLong("lock_version"),
        shown,
        judged(row),
        row.getObject("remeasures_id", Long.class));
  }

  static Reading.Judged judged(ResultSet row) throws SQLException {
    String direction = row.getString("direction");
    String notJudged = row.getString("not_judged");
    return new Reading.Judged(
        Result.valueOf(row.getString("result")),
        direction == null ? null : Direction.valueOf(direction),
        notJudged == null ? null : NotJudged.valueOf(notJudged),
        row.getObject("specification_id", Long.class),
        row.getObject("uncertainty_id", Long.class));
  }

  private static void bind(PreparedStatement statement, Reading reading) throws SQLException {
    @Nullable Object[] values = values(reading);
    for (int i = 0; i < values.length; i++) {
      if (values[i] == null) {
        statement.setNull(i + 1, TYPES[i]);
      } else {
        statement.setObject(i + 1, values[i]);
      }
    }
  }

  /** What its row holds, in the order of the columns. */
  private static @Nullable Object[] values(Reading reading) {
    Reading.Event event = reading.event();
    Reading.Circumstances circumstances = event.circumstances();
    Reading.Shown shown = reading.shown();
    Reading.Judged judged = reading.judged();
    BigDecimal value = shown.value();
    return new @Nullable Object[] {
      reading.id(),
      event.id(),
      event.stationId(),
      event.key(),
      reading.part(),
      shown.instrumentId(),
      reading.characteristicId(),
      reading.chartId(),
      reading.lockVersion(),
      SqlTime.of(event.measuredAt()),
      SqlTime.of(event.recordedAt()),
      circumstances.counter(),
      value,
      value == null ? null : Decimals.decimals(value),
      name(shown.censored()),
      shown.unit().code(),
      shown.gross(),
      shown.tare(),
      words(shown.flags()),
      circumstances.phase().name(),
      circumstances.die(),
      circumstances.lot(),
      circumstances.sample(),
      circumstances.operator(),
      circumstances.item(),
      circumstances.truck(),
      circumstances.leaf(),
      circumstances.itemLabel(),
      reading.remeasuresId(),
      event.remeasuresKey(),
      event.rootId(),
      judged.result().name(),
      name(judged.direction()),
      name(judged.notJudged()),
      judged.specificationId(),
      judged.uncertaintyId(),
      name(event.clockDoubt()),
      event.postedBy()
    };
  }

  private static final int[] TYPES = types();

  private static int[] types() {
    Set<String> numbers =
        Set.of(
            "r.instrument_id",
            "r.chart_id",
            "r.counter",
            "r.remeasures_id",
            "r.specification_id",
            "r.uncertainty_id");
    Map<String, Integer> others =
        Map.of(
            "r.net_value", Types.NUMERIC,
            "r.gross", Types.NUMERIC,
            "r.tare", Types.NUMERIC,
            "r.decimals", Types.SMALLINT);
    return Arrays.stream(COLUMNS.split(","))
        .map(String::strip)
        .mapToInt(
            column ->
                numbers.contains(column)
                    ? Types.BIGINT
                    : others.getOrDefault(column, Types.VARCHAR))
        .toArray();
  }

  private static @Nullable String name(@Nullable Enum<?> value) {
    return value == null ? null : value.name();
  }

  private static @Nullable String words(Set<Flag> flags) {
    return flags.isEmpty()
        ? null
        : EnumSet.copyOf(flags).stream().map(Enum::name).collect(Collectors.joining(" "));
  }

  private static @Nullable Censored censored(@Nullable String name) {
    return name == null ? null : Censored.valueOf(name);
  }

  private static Set<Flag> flags(@Nullable String words) {
    Set<Flag> flags = EnumSet.noneOf(Flag.class);
    if (words != null) {
      Arrays.stream(words.split(" ")).map(Flag::valueOf).forEach(flags::add);
    }
    return flags;
  }

  private static @Nullable BigDecimal plain(@Nullable BigDecimal value) {
    return value == null ? null : Decimals.plain(value);
  }
}
