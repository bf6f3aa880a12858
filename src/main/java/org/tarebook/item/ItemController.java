package org.tarebook.item;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.Code;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.http.RetrySafe;
import org.tarebook.plant.Components;
import org.tarebook.plant.Products;

/** {@code /items}: things that bear a number. */
@Tag(name = "Items")
@RestController
class ItemController {

  private final Items items;
  private final Components components;
  private final Products products;

  ItemController(Items items, Components components, Products products) {
    this.items = items;
    this.components = components;
    this.products = products;
  }

  @Operation(
      summary = "Register an item",
      description =
          "An item that bears a number, such as a green tyre. A reading may name an item that is not"
              + " registered: it is stored and marked. The same item again is answered as it stands.")
  @RetrySafe
  @PostMapping(path = "/api/v1/items", consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> register(@Valid @RequestBody Request request, Actor actor) {
    if ((request.component() == null) == (request.product() == null)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, "/component", "give a component or a product, one of the two");
    }
    Long component =
        request.component() == null
            ? null
            : (Long) components.require(request.component(), "/component").id();
    Long product =
        request.product() == null
            ? null
            : (Long) products.require(request.product(), "/product").id();
    Items.Registered done =
        items.register(
            new Item(request.number(), component, product, request.lot(), request.madeAt()), actor);
    return RetrySafe.Answer.of(done.replayed(), view(done.item()), "items", request.number());
  }

  @Operation(summary = "Show an item", description = "As registered.")
  @GetMapping("/api/v1/items/{number}")
  View get(@PathVariable String number) {
    return view(items.find(number).orElseThrow(() -> Problem.notFound("item", number)));
  }

  /** An item to be registered: of a component or of a product, never both. */
  record Request(
      @NotNull @Size(min = 1, max = 40) String number,
      @Code @Nullable String component,
      @Code @Nullable String product,
      @Size(min = 1, max = 40) @Nullable String lot,
      @Nullable Instant madeAt) {}

  /** An item. */
  record View(
      String number,
      @Nullable String component,
      @Nullable String product,
      @Nullable String lot,
      @Nullable Instant madeAt) {}

  private View view(Item of) {
    return new View(
        of.number(),
        of.componentId() == null ? null : components.byId(of.componentId()).code(),
        of.productId() == null ? null : products.byId(of.productId()).code(),
        of.lot(),
        of.madeAt());
  }
}
