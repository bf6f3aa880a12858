package org.tarebook.item;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Pattern;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import java.util.List;
import java.util.Set;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.Code;
import org.tarebook.http.Cursor;
import org.tarebook.http.FactKey;
import org.tarebook.http.NoBlankEnds;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.http.RetrySafe;
import org.tarebook.http.Times;
import org.tarebook.plant.Components;
import org.tarebook.plant.Products;

/** {@code /items}: things that bear a number. */
@Tag(name = "Items")
@RestController
class ItemController {

  private static final String PATH = "/api/v1/items";
  private static final Instant END = Instant.parse("2200-01-01T00:00:00Z");

  private final Items items;
  private final ItemStore store;
  private final Components components;
  private final Products products;

  ItemController(Items items, ItemStore store, Components components, Products products) {
    this.items = items;
    this.store = store;
    this.components = components;
    this.products = products;
  }

  @Operation(
      operationId = "listItems",
      summary = "List items",
      description =
          "As they stand, in the order in which they were registered or last corrected;"
              + " recordedFrom is inclusive, recordedBefore exclusive. To follow what is new, ask"
              + " again from a minute before the last recordedAt: what is recorded at the same"
              + " time may appear in another order.")
  @GetMapping(PATH)
  Page<View> list(
      @Parameter(description = "Code of the component.") @RequestParam @Nullable String component,
      @Parameter(description = "Code of the product.") @RequestParam @Nullable String product,
      @RequestParam @Nullable String lot,
      @RequestParam @Nullable Instant recordedFrom,
      @RequestParam @Nullable Instant recordedBefore,
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    String question =
        String.join("|", "items", component, product, lot, "" + recordedFrom, "" + recordedBefore);
    Cursor from = Cursor.open(cursor, question);
    ItemStore.Place after =
        from == null ? new ItemStore.Place(Instant.EPOCH, "") : from.at(ItemController::place);
    List<ItemState> found =
        store.page(
            new ItemStore.Asked(
                component == null ? null : (Long) components.require(component, "component").id(),
                product == null ? null : (Long) products.require(product, "product").id(),
                lot,
                recordedFrom == null ? Instant.EPOCH : recordedFrom,
                recordedBefore == null ? END : recordedBefore),
            after,
            limit + 1);
    Page<ItemState> page =
        Page.cut(
            found,
            limit,
            last -> new Cursor(last.recordedAt() + " " + last.item().number()).seal(question));
    return page.of(page.items().stream().map(this::view).toList());
  }

  private static ItemStore.Place place(String position) {
    String[] parts = position.split(" ", 2);
    return new ItemStore.Place(Times.parse(parts[0]), parts[1]);
  }

  @Operation(
      operationId = "registerItem",
      summary = "Register an item",
      description =
          "An item that bears a number, such as a green tyre. A reading may name an item that is not"
              + " registered: it is stored and marked. The same item again is answered as it stands,"
              + " corrections included.")
  @RetrySafe
  @PostMapping(path = PATH, consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> register(@Valid @RequestBody Request request, Actor actor) {
    Items.Done done =
        items.register(
            item(
                request.number(),
                request.component(),
                request.product(),
                request.lot(),
                request.madeAt()),
            actor);
    return RetrySafe.Answer.of(done.replayed(), view(done.state()), "items", request.number());
  }

  @Operation(
      operationId = "getItem",
      summary = "Show an item",
      description = "As it was registered or last corrected.")
  @GetMapping(PATH + "/{number}")
  View get(@PathVariable String number) {
    List<ItemState> history = items.history(number);
    return view(history.get(history.size() - 1));
  }

  @Operation(
      operationId = "correctItem",
      summary = "Correct the registration of an item",
      description =
          "Says what differs from the item as it stands; what is left out"
              + " stays, and unknown names what is not known. The registration stays on record. The"
              + " last correction holds. The same key with the same content is answered as stored.")
  @RetrySafe
  @PostMapping(path = PATH + "/{number}/corrections", consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<CorrectionView> correct(
      @PathVariable String number, @Valid @RequestBody CorrectionRequest request, Actor actor) {
    Items.Done done =
        items.correct(number, draft(request), request.key(), request.reason(), request, actor);
    CorrectionView view = correction(done.history(), done.correction());
    return RetrySafe.Answer.of(
        done.replayed(), view, "items", number, "corrections", String.valueOf(view.correction()));
  }

  @Operation(
      operationId = "listItemCorrections",
      summary = "List the corrections of an item",
      description = "The first one first.")
  @GetMapping(PATH + "/{number}/corrections")
  Page<CorrectionView> corrections(@PathVariable String number) {
    List<ItemState> history = items.history(number);
    return Page.whole(
        IntStream.range(1, history.size()).mapToObj(i -> correction(history, i)).toList());
  }

  @Operation(
      operationId = "getItemCorrection",
      summary = "Show a correction of an item",
      description = "As recorded.")
  @GetMapping(PATH + "/{number}/corrections/{correction}")
  CorrectionView correction(@PathVariable String number, @PathVariable int correction) {
    List<ItemState> history = items.history(number);
    if (correction < 1 || correction >= history.size()) {
      throw Problem.notFound("correction", number + "/" + correction);
    }
    return correction(history, correction);
  }

  /** An item to be registered: of a component or of a product, never both. */
  @Schema(
      name = "ItemRequest",
      description = "An item to be registered: of a component or of a product, never both.")
  record Request(
      @Schema(description = "Number of the item.") @NotNull @Size(min = 1, max = 40) @NoBlankEnds
          String number,
      @Schema(description = "Code of the component; left out where it is a product.") @Code
          @Nullable String component,
      @Schema(description = "Code of the product; left out where it is a component.") @Code
          @Nullable String product,
      @Schema(
              description =
                  "The lot it belongs to, by the plant's own name; left out where there is none.")
          @Size(min = 1, max = 40)
          @NoBlankEnds(
              message = "must not begin or end with a blank; leave it out where there is no lot")
          @Nullable String lot,
      @Schema(description = "When it was made; left out where unknown.")
          @Nullable Instant madeAt) {}

  /** What differs from an item as it was registered or last corrected. */
  @Schema(
      name = "ItemCorrectionRequest",
      description = "A correction of an item; members that are left out keep what is on record.")
  record CorrectionRequest(
      @NotNull @FactKey String key,
      @Schema(
              description =
                  "Code of the right component; left out where it is right already or the item is"
                      + " of a product.")
          @Code
          @Nullable String component,
      @Schema(
              description =
                  "Code of the right product; left out where it is right already or the item is of"
                      + " a component.")
          @Code
          @Nullable String product,
      @Schema(description = "The right lot; left out where it is right already.")
          @Size(min = 1, max = 40)
          @NoBlankEnds(
              message =
                  "must not begin or end with a blank; leave it out where it stands, or name it in unknown")
          @Nullable String lot,
      @Schema(description = "When the item was made; left out where it is right already.")
          @Nullable Instant madeAt,
      @Schema(
              description = "Names of members that stand and are not known: lot, madeAt.",
              example = "[\"lot\"]")
          @Nullable
              Set<
                  @NotNull @Pattern(regexp = "lot|madeAt", message = "must be lot or madeAt")
                  String>
              unknown,
      @NotBlank @Size(max = 500) String reason) {}

  /** An item. */
  @Schema(name = "Item", description = "An item: a thing with a number.")
  record View(
      @Schema(description = "Number of the item.") String number,
      @Nullable String component,
      @Nullable String product,
      @Nullable String lot,
      @Nullable Instant madeAt,
      @Schema(description = "How often it was corrected; /corrections lists them.") int corrections,
      @Schema(description = "When it was registered or last corrected.") Instant recordedAt,
      @Schema(description = "Who registered or last corrected it.") String recordedBy) {}

  /** What an item was said to be before a correction. */
  @Schema(
      name = "ItemContent",
      description = "What an item was recorded to be before a correction.")
  record Content(
      @Nullable String component,
      @Nullable String product,
      @Nullable String lot,
      @Nullable Instant madeAt) {}

  /** A correction of an item. */
  @Schema(name = "ItemCorrection", description = "A correction of an item.")
  record CorrectionView(
      @Schema(description = "Number of the item.") String item,
      @Schema(description = "Counted from 1 within the item.") int correction,
      String key,
      @Schema(
              description =
                  "Code of the component after the correction; absent where the item is not of a"
                      + " component.")
          @Nullable String component,
      @Schema(
              description =
                  "Code of the product after the correction; absent where the item is not of a"
                      + " product.")
          @Nullable String product,
      @Schema(description = "The lot after the correction; absent where unknown.")
          @Nullable String lot,
      @Schema(description = "When the item was made, after the correction; absent where unknown.")
          @Nullable Instant madeAt,
      @Schema(description = "What it took the place of.") Content before,
      String reason,
      String person,
      Instant recordedAt) {}

  private Items.Draft draft(CorrectionRequest request) {
    if (request.component() != null && request.product() != null) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, "/component", "give a component or a product, one of the two");
    }
    return new Items.Draft(
        request.component() == null
            ? null
            : (Long) components.require(request.component(), "/component").id(),
        request.product() == null
            ? null
            : (Long) products.require(request.product(), "/product").id(),
        request.lot(),
        request.madeAt(),
        request.unknown() == null ? Set.of() : request.unknown());
  }

  private Item item(
      String number,
      @Nullable String component,
      @Nullable String product,
      @Nullable String lot,
      @Nullable Instant madeAt) {
    if ((component == null) == (product == null)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, "/component", "give a component or a product, one of the two");
    }
    return new Item(
        number,
        component == null ? null : (Long) components.require(component, "/component").id(),
        product == null ? null : (Long) products.require(product, "/product").id(),
        lot,
        madeAt);
  }

  private View view(ItemState of) {
    Content content = content(of.item());
    return new View(
        of.item().number(),
        content.component(),
        content.product(),
        content.lot(),
        content.madeAt(),
        of.correction(),
        of.recordedAt(),
        of.person());
  }

  private Content content(Item of) {
    return new Content(
        of.componentId() == null ? null : components.byId(of.componentId()).code(),
        of.productId() == null ? null : products.byId(of.productId()).code(),
        of.lot(),
        of.madeAt());
  }

  private CorrectionView correction(List<ItemState> history, int correction) {
    ItemState state = history.get(correction);
    Content content = content(state.item());
    return new CorrectionView(
        state.item().number(),
        correction,
        String.valueOf(state.key()),
        content.component(),
        content.product(),
        content.lot(),
        content.madeAt(),
        content(history.get(correction - 1).item()),
        String.valueOf(state.reason()),
        state.person(),
        state.recordedAt());
  }
}
