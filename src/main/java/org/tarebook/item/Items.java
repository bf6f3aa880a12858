package org.tarebook.item;

import java.time.Clock;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Repeat;
import org.tarebook.storage.Transactions;

/** The items on register. */
@Service
public class Items {

  private final ItemStore store;
  private final Transactions transactions;
  private final Audit audit;
  private final Clock clock;

  Items(ItemStore store, Transactions transactions, Audit audit, Clock clock) {
    this.store = store;
    this.transactions = transactions;
    this.audit = audit;
    this.clock = clock;
  }

  /** Which of some numbers are on register. */
  public Set<String> registered(Collection<String> numbers) {
    return store.registered(numbers);
  }

  /** What was said of an item, in order; the last holds. */
  List<ItemState> history(String number) {
    List<ItemState> history = store.history(number);
    if (history.isEmpty()) {
      throw Problem.notFound("item", number);
    }
    return history;
  }

  /** Something said of an item, and whether it was on record before. */
  record Done(List<ItemState> history, int correction, boolean replayed) {

    ItemState state() {
      return history.get(correction);
    }
  }

  /** Registers an item; the same item again is answered as it stands. */
  Done register(Item item, Actor actor) {
    return transactions.write(
        () -> {
          List<ItemState> known = store.history(item.number());
          if (known.isEmpty()) {
            store.register(item, actor.name(), clock.instant());
            return new Done(store.history(item.number()), 0, false);
          }
          int last = known.size() - 1;
          if (known.get(0).item().equals(item) || known.get(last).item().equals(item)) {
            return new Done(known, last, true);
          }
          throw Problem.at(
              ProblemType.ALREADY_EXISTS,
              "/number",
              "is registered already, as another thing; a number is never used twice. If the"
                  + " registration is wrong, correct it: POST /api/v1/items/{number}/corrections");
        });
  }

  /** Registers new items, all or none. */
  public void registerAll(Collection<Item> fresh, Actor actor) {
    transactions.write(
        () -> {
          fresh.forEach(item -> store.register(item, actor.name(), clock.instant()));
          return fresh.size();
        });
  }

  /** Corrects what is on register of an item. A repeat under the same key changes nothing. */
  Done correct(Item item, String key, String reason, Object request, Actor actor) {
    return transactions.write(
        () -> {
          List<ItemState> known = history(item.number());
          for (ItemState each : known) {
            if (key.equals(each.key()) && each.person().equals(actor.name())) {
              content(item, reason)
                  .requireSameAs(
                      content(each.item(), String.valueOf(each.reason())),
                      key,
                      "correction " + each.correction());
              return new Done(known, each.correction(), true);
            }
          }
          store.correct(
              new ItemState(item, known.size(), key, reason, actor.name(), clock.instant()));
          audit.record(
              actor,
              "corrected",
              "item",
              item.number(),
              Map.of("correction", known.size(), "content", request));
          return new Done(store.history(item.number()), known.size(), false);
        });
  }

  private static Repeat content(Item item, String reason) {
    return new Repeat()
        .with("/component", item.componentId())
        .with("/product", item.productId())
        .with("/lot", item.lot())
        .with("/madeAt", item.madeAt())
        .with("/reason", reason);
  }
}
