package org.tarebook.item;

import java.time.Clock;
import java.time.Instant;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.audit.Actor;
import org.tarebook.audit.Audit;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Components;
import org.tarebook.plant.Products;
import org.tarebook.plant.Repeat;
import org.tarebook.storage.Transactions;

/** The items on register. */
@Service
public class Items {

  private final ItemStore store;
  private final Components components;
  private final Products products;
  private final Transactions transactions;
  private final Audit audit;
  private final Clock clock;

  Items(
      ItemStore store,
      Components components,
      Products products,
      Transactions transactions,
      Audit audit,
      Clock clock) {
    this.store = store;
    this.components = components;
    this.products = products;
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
            add(item, actor);
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
          fresh.forEach(item -> add(item, actor));
          return fresh.size();
        });
  }

  private void add(Item item, Actor actor) {
    store.register(item, actor.name(), clock.instant());
    audit.record(actor, "registered", "item", item.number(), Map.of("item", words(item)));
  }

  /**
   * What is wrong of an item; what is absent stays.
   *
   * @param componentId takes the place of component or product, as {@code productId} does
   * @param unknown the members that are not known, by their names
   */
  record Draft(
      @Nullable Long componentId,
      @Nullable Long productId,
      @Nullable String lot,
      @Nullable Instant madeAt,
      Set<String> unknown) {

    private Item over(Item stands) {
      boolean same = componentId == null && productId == null;
      return new Item(
          stands.number(),
          same ? stands.componentId() : componentId,
          same ? stands.productId() : productId,
          either("lot", lot, stands.lot()),
          either("madeAt", madeAt, stands.madeAt()));
    }

    private <T> @Nullable T either(String member, @Nullable T now, @Nullable T stands) {
      if (unknown.contains(member)) {
        if (now != null) {
          throw Problem.at(
              ProblemType.RULE_BROKEN,
              "/" + member,
              "is " + now + " here and named in unknown too; send it in one of the two places");
        }
        return null;
      }
      return now == null ? stands : now;
    }
  }

  /** Corrects what is on register of an item. A repeat under the same key changes nothing. */
  Done correct(String number, Draft draft, String key, String reason, Object request, Actor actor) {
    return transactions.write(
        () -> {
          store.lock(number);
          List<ItemState> known = history(number);
          for (ItemState each : known) {
            if (key.equals(each.key()) && each.person().equals(actor.name())) {
              content(draft.over(known.get(each.correction() - 1).item()), reason)
                  .requireSameAs(
                      content(each.item(), String.valueOf(each.reason())),
                      key,
                      "correction " + each.correction());
              return new Done(known, each.correction(), true);
            }
          }
          Item stands = known.get(known.size() - 1).item();
          Item item = draft.over(stands);
          if (item.equals(stands)) {
            throw new Problem(
                ProblemType.RULE_BROKEN,
                "The correction changes nothing: item %s stands with %s. Send what differs."
                    .formatted(number, words(stands)));
          }
          store.correct(
              new ItemState(item, known.size(), key, reason, actor.name(), clock.instant()));
          audit.record(
              actor,
              "corrected",
              "item",
              number,
              Map.of("correction", known.size(), "content", request));
          return new Done(store.history(number), known.size(), false);
        });
  }

  private String words(Item item) {
    return (item.componentId() != null
            ? "component " + components.byId(item.componentId()).code()
            : item.productId() != null
                ? "product " + products.byId(item.productId()).code()
                : "neither component nor product")
        + (item.lot() == null ? ", no lot" : ", lot " + item.lot())
        + (item.madeAt() == null ? ", no madeAt" : ", madeAt " + item.madeAt());
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
