package org.tarebook.item;

import java.time.Clock;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.storage.SqlTime;
import org.tarebook.storage.Transactions;

/** The items on register. */
@Service
public class Items {

  private final JdbcClient jdbc;
  private final Transactions transactions;
  private final Clock clock;

  Items(JdbcClient jdbc, Transactions transactions, Clock clock) {
    this.jdbc = jdbc;
    this.transactions = transactions;
    this.clock = clock;
  }

  /** The item with this number, if it is on register. */
  public Optional<Item> find(String number) {
    return Optional.ofNullable(find(List.of(number)).get(number));
  }

  /** The items on register among some numbers. */
  public Map<String, Item> find(Collection<String> numbers) {
    return numbers.isEmpty()
        ? Map.of()
        : jdbc
            .sql(
                "select number, component_id, product_id, lot, made_at from item"
                    + " where number in (:numbers)")
            .param("numbers", numbers)
            .query(
                (row, n) ->
                    new Item(
                        row.getString("number"),
                        row.getObject("component_id", Long.class),
                        row.getObject("product_id", Long.class),
                        row.getString("lot"),
                        SqlTime.find(row, "made_at")))
            .list()
            .stream()
            .collect(Collectors.toMap(Item::number, Function.identity()));
  }

  /** Registers an item; the same item again is answered as it stands. */
  public Registered register(Item item, Actor actor) {
    return transactions.write(
        () -> {
          Optional<Item> known = find(item.number());
          if (known.isPresent()) {
            if (known.get().equals(item)) {
              return new Registered(item, true);
            }
            throw Problem.at(
                ProblemType.ALREADY_EXISTS,
                "/number",
                "is registered already, as another thing; a number is never used twice");
          }
          insert(item, actor);
          return new Registered(item, false);
        });
  }

  /** Registers new items, all or none. */
  public void registerAll(Collection<Item> fresh, Actor actor) {
    transactions.write(
        () -> {
          fresh.forEach(item -> insert(item, actor));
          return fresh.size();
        });
  }

  private void insert(Item item, Actor actor) {
    jdbc.sql(
            "insert into item (number, component_id, product_id, lot, made_at, recorded_at,"
                + " registered_by) values (:number, :component, :product, :lot, :made, :now,"
                + " :by)")
        .param("number", item.number())
        .param("component", item.componentId(), java.sql.Types.BIGINT)
        .param("product", item.productId(), java.sql.Types.BIGINT)
        .param("lot", item.lot(), java.sql.Types.VARCHAR)
        .param("made", SqlTime.ofNullable(item.madeAt()), java.sql.Types.TIMESTAMP_WITH_TIMEZONE)
        .param("now", SqlTime.of(clock.instant()))
        .param("by", actor.name())
        .update();
  }

  /** An item, and whether it was on register before. */
  public record Registered(Item item, boolean replayed) {}
}
