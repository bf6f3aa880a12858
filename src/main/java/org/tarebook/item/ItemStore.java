package org.tarebook.item;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Types;
import java.time.Instant;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Repository;
import org.tarebook.storage.SqlTime;

/** Items and their corrections in the database: added, never edited or deleted. */
@Repository
class ItemStore {

  private static final String REGISTERED =
      "select number as item_number, 0 as correction, component_id, product_id, lot, made_at,"
          + " null as fact_key, null as reason, registered_by as person, recorded_at from item";
  private static final String CORRECTED =
      "select item_number, correction, component_id, product_id, lot, made_at, fact_key, reason,"
          + " person, recorded_at from item_correction";

  private final JdbcClient jdbc;

  ItemStore(JdbcClient jdbc) {
    this.jdbc = jdbc;
  }

  /**
   * Which items a list is asked for.
   *
   * @param recordedFrom last registered or corrected at this moment or later
   * @param recordedBefore last registered or corrected before this moment
   */
  record Asked(
      @Nullable Long componentId,
      @Nullable Long productId,
      @Nullable String lot,
      Instant recordedFrom,
      Instant recordedBefore) {}

  /** A place in the list: after an item as it was recorded at a moment. */
  record Place(Instant recordedAt, String number) {}

  /** Keeps other corrections of an item off until the transaction ends. */
  void lock(String number) {
    jdbc.sql("select number from item where number = ? for update")
        .param(number)
        .query(String.class)
        .optional();
  }

  /** What was said of an item, in order: as it was registered, then its corrections. */
  List<ItemState> history(String number) {
    return Stream.of(
            REGISTERED + " where number = ?",
            CORRECTED + " where item_number = ? order by correction")
        .flatMap(sql -> jdbc.sql(sql).param(number).query(ItemStore::read).list().stream())
        .toList();
  }

  /** Which of some numbers are on register. */
  Set<String> registered(Collection<String> numbers) {
    return numbers.isEmpty()
        ? Set.of()
        : new HashSet<>(
            jdbc.sql("select number from item where number in (:numbers)")
                .param("numbers", numbers)
                .query(String.class)
                .list());
  }

  /** Items as they stand, in the order in which they were registered or last corrected. */
  List<ItemState> page(Asked asked, Place after, int limit) {
    String notCorrected =
        "not exists (select 1 from item_correction later where later.item_number = item.number)";
    String last =
        "not exists (select 1 from item_correction later where later.item_number ="
            + " item_correction.item_number and later.correction > item_correction.correction)";
    return Stream.concat(
            page(REGISTERED, "number", notCorrected, asked, after, limit).stream(),
            page(CORRECTED, "item_number", last, asked, after, limit).stream())
        .sorted(
            Comparator.comparing(ItemState::recordedAt)
                .thenComparing(state -> state.item().number()))
        .limit(limit)
        .toList();
  }

  private List<ItemState> page(
      String select, String number, String stands, Asked asked, Place after, int limit) {
    String filter =
        asked.componentId() != null
            ? "component_id"
            : asked.productId() != null ? "product_id" : asked.lot() != null ? "lot" : "";
    return jdbc.sql(
            select
                + " where recorded_at >= :at and (recorded_at > :at or "
                + number
                + " > :number) and recorded_at >= :from and recorded_at < :before"
                + (asked.componentId() == null ? "" : " and component_id = :component")
                + (asked.productId() == null ? "" : " and product_id = :product")
                + (asked.lot() == null ? "" : " and lot = :lot")
                + " and "
                + stands
                + " order by "
                + (filter.isEmpty() ? "" : filter + ", ") // begins an index that gives the order
                + "recorded_at, "
                + number
                + " fetch first :limit rows only")
        .param("at", SqlTime.of(after.recordedAt()))
        .param("number", after.number())
        .param("from", SqlTime.of(asked.recordedFrom()))
        .param("before", SqlTime.of(asked.recordedBefore()))
        .param("component", asked.componentId(), Types.BIGINT)
        .param("product", asked.productId(), Types.BIGINT)
        .param("lot", asked.lot(), Types.VARCHAR)
        .param("limit", limit)
        .query(ItemStore::read)
        .list();
  }

  void register(Item item, String person, Instant now) {
    insert(
        "insert into item (number, component_id, product_id, lot, made_at, registered_by,"
            + " recorded_at) values (:number, :component, :product, :lot, :made, :by, :now)",
        new ItemState(item, 0, null, null, person, now));
  }

  void correct(ItemState state) {
    insert(
        "insert into item_correction (item_number, correction, component_id, product_id, lot,"
            + " made_at, fact_key, reason, person, recorded_at) values (:number, :correction,"
            + " :component, :product, :lot, :made, :key, :reason, :by, :now)",
        state);
  }

  private void insert(String sql, ItemState state) {
    Item item = state.item();
    jdbc.sql(sql)
        .param("number", item.number())
        .param("correction", state.correction())
        .param("component", item.componentId(), Types.BIGINT)
        .param("product", item.productId(), Types.BIGINT)
        .param("lot", item.lot(), Types.VARCHAR)
        .param("made", SqlTime.ofNullable(item.madeAt()), Types.TIMESTAMP_WITH_TIMEZONE)
        .param("key", state.key(), Types.VARCHAR)
        .param("reason", state.reason(), Types.VARCHAR)
        .param("by", state.person())
        .param("now", SqlTime.of(state.recordedAt()))
        .update();
  }

  private static ItemState read(ResultSet row, int number) throws SQLException {
    return new ItemState(
        new Item(
            row.getString("item_number"),
            row.getObject("component_id", Long.class),
            row.getObject("product_id", Long.class),
            row.getString("lot"),
            SqlTime.find(row, "made_at")),
        row.getInt("correction"),
        row.getString("fact_key"),
        row.getString("reason"),
        row.getString("person"),
        SqlTime.get(row, "recorded_at"));
  }
}
