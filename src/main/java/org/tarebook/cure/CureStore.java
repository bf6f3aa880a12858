package org.tarebook.cure;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.http.Problem;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Decimals;
import org.tarebook.storage.Ids;
import org.tarebook.storage.Sha256;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Vendor;
import tools.jackson.core.type.TypeReference;
import tools.jackson.databind.json.JsonMapper;

/** Cures in the database. */
@Component
class CureStore {

  private static final TypeReference<List<Channel>> CHANNELS = new TypeReference<>() {};

  private final JdbcClient jdbc;
  private final Vendor vendor;
  private final JsonMapper json;
  private final Ids ids;

  CureStore(JdbcClient jdbc, JsonMapper json, Ids ids, Vendor vendor) {
    this.jdbc = jdbc;
    this.vendor = vendor;
    this.json = json;
    this.ids = ids;
  }

  /** Adds a cure under a version of its press's lock. */
  void add(Cure cure, long lockVersion) {
    jdbc.sql(
            """
            insert into cure (id, fact_key, posted_by, press_id, schedule_id, revision_id,
              channel_set_id, started_at, barometer, recorded_at, judge_again, version, lock_version)
            values (:id, :key, :by, :press, :schedule, :revision, :channels, :started, :barometer,
              :recorded, false, 0, :lockVersion)
            """)
        .param("id", cure.id())
        .param("key", cure.key())
        .param("by", cure.postedBy())
        .param("press", cure.pressId())
        .param("schedule", cure.scheduleId())
        .param("revision", cure.revisionId(), Types.BIGINT)
        .param("channels", channelSet(cure.channels()))
        .param("started", SqlTime.of(cure.startedAt()))
        .param("barometer", cure.barometer(), Types.NUMERIC)
        .param("recorded", SqlTime.of(cure.recordedAt()))
        .param("lockVersion", lockVersion)
        .update();
    for (CavityLoad load : cure.cavities()) {
      Quantity green = load.greenTemperature();
      jdbc.sql(
              """
              insert into cure_cavity (cure_id, cavity, mould, bladder, bladder_count, green_tyre,
                green_temperature, green_unit, built_at)
              values (:cure, :cavity, :mould, :bladder, :count, :tyre, :temperature, :unit, :built)
              """)
          .param("cure", cure.id())
          .param("cavity", load.cavity())
          .param("mould", load.mould())
          .param("bladder", load.bladder(), Types.VARCHAR)
          .param("count", load.bladderCount(), Types.INTEGER)
          .param("tyre", load.greenTyre(), Types.VARCHAR)
          .param("temperature", green == null ? null : green.value(), Types.NUMERIC)
          .param("unit", green == null ? null : green.unit(), Types.VARCHAR)
          .param("built", SqlTime.ofNullable(load.builtAt()), Types.TIMESTAMP_WITH_TIMEZONE)
          .update();
    }
  }

  Optional<Cure> find(long id) {
    return found("cure.id = :id", Map.of("id", id)).stream().findFirst();
  }

  Optional<Cure> find(String postedBy, String key) {
    return found(
            "cure.posted_by = :by and cure.fact_key = :key", Map.of("by", postedBy, "key", key))
        .stream()
        .findFirst();
  }

  /** The cure with this id, refused as not found where there is none. */
  Cure require(long id) {
    return find(id).orElseThrow(() -> Problem.notFound("cure", String.valueOf(id)));
  }

  /** Takes the lock of a cure until the transaction ends, and gives it as it is under the lock. */
  Cure lock(long id) {
    jdbc.sql("update cure set version = version + 1 where id = ?").param(id).update();
    return require(id);
  }

  /** The version of a cure, without taking its lock. */
  long version(long id) {
    return jdbc.sql("select version from cure where id = ?").param(id).query(Long.class).single();
  }

  void close(long id, Cure.Closing closing) {
    jdbc.sql("update cure set closed_at = ?, close_key = ?, closed_by = ? where id = ?")
        .param(SqlTime.of(closing.at()))
        .param(closing.key())
        .param(closing.by())
        .param(id)
        .update();
  }

  /** Sets the revision a cure is judged by, where that has changed. */
  void judgeBy(long id, @Nullable Long revisionId) {
    jdbc.sql("update cure set revision_id = :revision, judge_again = false where id = :id")
        .param("revision", revisionId, Types.BIGINT)
        .param("id", id)
        .update();
  }

  /** What a list of cures is asked for; a null means any. */
  record Asked(
      @Nullable Long pressId,
      @Nullable Long scheduleId,
      @Nullable Integer cavity,
      @Nullable String mould,
      @Nullable String bladder,
      @Nullable String greenTyre,
      @Nullable CureVerdict verdict,
      Instant startedFrom,
      Instant startedBefore,
      @Nullable Instant recordedFrom,
      @Nullable Instant recordedBefore) {}

  /** Cures behind a place in the list, the newest first. */
  List<Cure> page(Asked asked, Instant at, long id, int limit) {
    List<String> where =
        new ArrayList<>(
            List.of(
                "cure.started_at >= :from",
                "cure.started_at <= :at and (cure.started_at < :at or cure.id < :id)"));
    String lead = ""; // begins the index that then gives the order of the list
    if (asked.scheduleId() != null) {
      where.add("cure.schedule_id = :schedule");
      lead = "schedule";
    }
    if (asked.pressId() != null) {
      where.add("cure.press_id = :press");
      lead = "press";
    }
    if (asked.recordedFrom() != null) {
      where.add("cure.recorded_at >= :recordedFrom");
    }
    if (asked.recordedBefore() != null) {
      where.add("cure.recorded_at < :recordedBefore");
    }
    List<String> within = new ArrayList<>(List.of("c.cure_id = cure.id"));
    if (asked.cavity() != null) {
      within.add("c.cavity = :cavity");
    }
    if (asked.mould() != null) {
      within.add("c.mould = :mould");
    }
    if (asked.bladder() != null) {
      within.add("c.bladder = :bladder");
    }
    if (asked.greenTyre() != null) {
      within.add("c.green_tyre = :tyre");
    }
    if (asked.verdict() != null) {
      within.add("c.verdict = :verdict");
    }
    String cures = "select cure.id, cure.started_at from cure";
    if (asked.mould() != null || asked.bladder() != null || asked.greenTyre() != null) {
      cures = // an index finds few cavities
          "select distinct cure.id, cure.started_at from cure_cavity c join cure on "
              + String.join(" and ", within);
      lead = "";
    } else if (within.size() > 1) {
      where.add("exists (select 1 from cure_cavity c where " + String.join(" and ", within) + ")");
    }
    if (!lead.isEmpty() && vendor == Vendor.H2) { // or it takes the one of the foreign key
      cures += " use index (ix_cure_" + lead + ")";
    }
    List<Long> found =
        jdbc.sql(
                cures
                    + " where "
                    + String.join(" and ", where)
                    + " order by "
                    + (lead.isEmpty() ? "" : "cure." + lead + "_id desc, ")
                    + "cure.started_at desc, cure.id desc fetch first :limit rows only")
            .param("from", SqlTime.of(asked.startedFrom()))
            .param(
                "recordedFrom",
                SqlTime.ofNullable(asked.recordedFrom()),
                Types.TIMESTAMP_WITH_TIMEZONE)
            .param(
                "recordedBefore",
                SqlTime.ofNullable(asked.recordedBefore()),
                Types.TIMESTAMP_WITH_TIMEZONE)
            .param("at", SqlTime.of(at))
            .param("id", id)
            .param("press", asked.pressId(), Types.BIGINT)
            .param("schedule", asked.scheduleId(), Types.BIGINT)
            .param("cavity", asked.cavity(), Types.INTEGER)
            .param("mould", asked.mould(), Types.VARCHAR)
            .param("bladder", asked.bladder(), Types.VARCHAR)
            .param("tyre", asked.greenTyre(), Types.VARCHAR)
            .param(
                "verdict", asked.verdict() == null ? null : asked.verdict().name(), Types.VARCHAR)
            .param("limit", limit)
            .query((row, number) -> row.getLong("id"))
            .list();
    if (found.isEmpty()) {
      return List.of();
    }
    return found("cure.id in (:ids)", Map.of("ids", found)).stream()
        .sorted(Comparator.comparing(Cure::startedAt).thenComparing(Cure::id).reversed())
        .toList();
  }

  /** Marks closed cures of a schedule, started at or behind a moment, to be judged again. */
  void markToBeJudgedAgain(long scheduleId, Instant from) {
    jdbc.sql(
            "update cure set judge_again = true where schedule_id = ? and started_at >= ? and"
                + " closed_at is not null")
        .param(scheduleId)
        .param(SqlTime.of(from))
        .update();
  }

  /** Cures that are to be judged again, behind an id. */
  List<Long> toBeJudgedAgain(long behind, int limit) {
    return jdbc.sql(
            "select id from cure where judge_again = true and id > :behind order by id fetch first"
                + " :limit rows only")
        .param("behind", behind)
        .param("limit", limit)
        .query(Long.class)
        .list();
  }

  /** How many closed cures are judged by a revision. */
  long judgedBy(long revisionId) {
    return jdbc.sql("select count(*) from cure where revision_id = ? and closed_at is not null")
        .param(revisionId)
        .query(Long.class)
        .single();
  }

  /** How many closed cures of a schedule started at or behind a moment. */
  long closedSince(long scheduleId, Instant from) {
    return jdbc.sql(
            "select count(*) from cure where schedule_id = ? and started_at >= ? and closed_at is"
                + " not null")
        .param(scheduleId)
        .param(SqlTime.of(from))
        .query(Long.class)
        .single();
  }

  /** The last verdict of each cavity of cures, by cure and cavity, where there is one. */
  Map<Long, Map<Integer, CureVerdict>> verdicts(List<Long> cureIds) {
    Map<Long, Map<Integer, CureVerdict>> found = new HashMap<>();
    if (!cureIds.isEmpty()) {
      jdbc.sql(
              "select cure_id, cavity, verdict from cure_cavity where cure_id in (:cures) and"
                  + " verdict is not null")
          .param("cures", cureIds)
          .query(
              row -> {
                found
                    .computeIfAbsent(row.getLong("cure_id"), id -> new HashMap<>())
                    .put(row.getInt("cavity"), CureVerdict.valueOf(row.getString("verdict")));
              });
    }
    return found;
  }

  private List<Cure> found(String where, Map<String, ?> values) {
    List<Cure> found =
        jdbc.sql(
                "select cure.*, channel_set.channels from cure join channel_set on channel_set.id ="
                    + " cure.channel_set_id where "
                    + where)
            .params(values)
            .query(this::cure)
            .list();
    Map<Long, List<CavityLoad>> loads = new HashMap<>();
    if (!found.isEmpty()) {
      jdbc.sql("select * from cure_cavity where cure_id in (:cures) order by cavity")
          .param("cures", found.stream().map(Cure::id).toList())
          .query(
              row -> {
                loads
                    .computeIfAbsent(row.getLong("cure_id"), id -> new ArrayList<>())
                    .add(load(row));
              });
    }
    return found.stream()
        .map(cure -> cure.loadedWith(loads.getOrDefault(cure.id(), List.of())))
        .toList();
  }

  private Cure cure(ResultSet row, int number) throws SQLException {
    Instant closedAt = SqlTime.find(row, "closed_at");
    return new Cure(
        row.getLong("id"),
        row.getString("fact_key"),
        row.getString("posted_by"),
        row.getLong("press_id"),
        row.getLong("schedule_id"),
        row.getObject("revision_id", Long.class),
        SqlTime.get(row, "started_at"),
        row.getBigDecimal("barometer"),
        List.of(),
        json.readValue(row.getString("channels"), CHANNELS),
        SqlTime.get(row, "recorded_at"),
        closedAt == null
            ? null
            : new Cure.Closing(closedAt, row.getString("close_key"), row.getString("closed_by")),
        row.getLong("version"));
  }

  private static CavityLoad load(ResultSet row) throws SQLException {
    String unit = row.getString("green_unit");
    return new CavityLoad(
        row.getInt("cavity"),
        row.getString("mould"),
        row.getString("bladder"),
        row.getObject("bladder_count", Integer.class),
        row.getString("green_tyre"),
        unit == null
            ? null
            : new Quantity(Decimals.plain(row.getBigDecimal("green_temperature")), unit),
        SqlTime.find(row, "built_at"));
  }

  private long channelSet(List<Channel> channels) {
    String text = json.writeValueAsString(channels);
    String hash = Sha256.of(text);
    return jdbc.sql("select id from channel_set where content_hash = ?")
        .param(hash)
        .query(Long.class)
        .optional()
        .orElseGet(
            () -> {
              long id = ids.next();
              jdbc.sql("insert into channel_set (id, content_hash, channels) values (?, ?, ?)")
                  .param(id)
                  .param(hash)
                  .param(text)
                  .update();
              return id;
            });
  }
}
