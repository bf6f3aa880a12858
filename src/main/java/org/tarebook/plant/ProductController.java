package org.tarebook.plant;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.Size;
import java.io.IOException;
import java.net.URI;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.PutMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RequestHeader;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.Code;
import org.tarebook.http.Page;

/** {@code /products}: tyre types and their build lists. */
@Tag(name = "Plant")
@RestController
@RequestMapping("/api/v1/products")
class ProductController {

  private final Products products;
  private final Components components;

  ProductController(Products products, Components components) {
    this.products = products;
    this.components = components;
  }

  @Operation(
      operationId = "listProducts",
      summary = "List products",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return products.page(limit, cursor, this::view);
  }

  @Operation(
      operationId = "getProduct",
      summary = "Show a product",
      description = "The ETag names its version for a change.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    Product found = products.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createProduct",
      summary = "Record a product",
      description = "The code cannot be changed and is never used again.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    Product made = products.create(request, this::make, actor);
    return ResponseEntity.created(URI.create("/api/v1/products/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "createProducts",
      summary = "Record many products from CSV",
      description =
          "Columns are the members of one, in any order. All rows are recorded or none; a refusal lists every fault.")
  @PostMapping(path = "/bulk", consumes = "text/csv")
  ResponseEntity<Register.Recorded> createAll(HttpServletRequest body, Actor actor)
      throws IOException {
    return ResponseEntity.status(201)
        .body(products.createAll(body.getInputStream(), Request.class, this::make, actor));
  }

  @Operation(
      operationId = "changeProduct",
      summary = "Change or retire a product",
      description = "Needs If-Match with the ETag read before. Retiring keeps all history.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    Product changed = products.change(code, ifMatch, change, p -> applyTo(p, change), actor);
    return Register.answer(changed, view(changed));
  }

  /** A product to be recorded; {@code components} is the build list in order. */
  @Schema(name = "ProductRequest", description = "A product to be recorded.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @NotBlank @Size(max = 40) String size,
      @Positive @Nullable Integer plyRating,
      @Schema(description = "How its plies lie.") @NotNull Product.Construction construction,
      @Schema(description = "Codes of the components it is built of, in order; none when left out.")
          @Size(max = 60)
          @Nullable List<String> components) {}

  /** A product as it is to be from now on. */
  @Schema(name = "ProductChange", description = "A product as it is to be from now on.")
  record Change(
      @NotBlank @Size(max = 120) String name,
      @NotBlank @Size(max = 40) String size,
      @Positive @Nullable Integer plyRating,
      @Schema(description = "How its plies lie.") @NotNull Product.Construction construction,
      @Schema(description = "Codes of the components it is built of, in order; none when left out.")
          @Size(max = 60)
          @Nullable List<String> components,
      @NotNull Boolean retired) {}

  /** A product. */
  @Schema(name = "Product", description = "A product: a tyre type.")
  record View(
      String code,
      String name,
      String size,
      @Nullable Integer plyRating,
      @Schema(description = "How its plies lie.") Product.Construction construction,
      List<String> components,
      @Nullable Instant retiredAt) {}

  private Product make(Request request) {
    Product product = new Product(request.code(), request.name());
    product.design(
        request.size(), request.plyRating(), request.construction(), ids(request.components()));
    return product;
  }

  private View view(Product of) {
    return new View(
        of.code(),
        of.name(),
        of.size(),
        of.plyRating(),
        of.construction(),
        of.componentIds().stream().map(id -> components.byId(id).code()).toList(),
        of.retiredAt());
  }

  private void applyTo(Product product, Change change) {
    product.change(change.name(), change.retired(), products.now());
    product.design(
        change.size(), change.plyRating(), change.construction(), ids(change.components()));
  }

  private List<Long> ids(@Nullable List<String> codes) {
    List<Long> ids = new ArrayList<>();
    for (String code : codes == null ? List.<String>of() : codes) {
      ids.add(components.require(code, "/components/" + ids.size()).id());
    }
    return ids;
  }
}
