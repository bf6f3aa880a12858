package org.tarebook.spec;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.io.IOException;
import java.net.URI;
import java.time.Instant;
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
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Components;
import org.tarebook.plant.Products;
import org.tarebook.plant.Register;
import org.tarebook.plant.Units;
import org.tarebook.spec.Characteristic.Kind;

/** {@code /characteristics}: what is measured or counted. */
@Tag(name = "Specifications")
@RestController
@RequestMapping("/api/v1/characteristics")
class CharacteristicController {

  private final Characteristics characteristics;
  private final Components components;
  private final Products products;

  CharacteristicController(
      Characteristics characteristics, Components components, Products products) {
    this.characteristics = characteristics;
    this.components = components;
    this.products = products;
  }

  @Operation(
      operationId = "listCharacteristics",
      summary = "List characteristics",
      description = "In the order of codes, retired ones included.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    return characteristics.page(limit, cursor, this::view);
  }

  @Operation(
      operationId = "getCharacteristic",
      summary = "Show a characteristic",
      description = "The ETag names its version.")
  @GetMapping("/{code}")
  ResponseEntity<View> get(@PathVariable String code) {
    Characteristic found = characteristics.get(code);
    return Register.answer(found, view(found));
  }

  @Operation(
      operationId = "createCharacteristic",
      summary = "Record a characteristic",
      description =
          "Of one component or one product. Its unit is the one its charts are drawn in; readings"
              + " may come in any unit of the same kind and are converted exactly.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    Characteristic made = characteristics.create(request, this::make, actor);
    return ResponseEntity.created(URI.create("/api/v1/characteristics/" + made.code()))
        .eTag("\"" + made.rowVersion() + "\"")
        .body(view(made));
  }

  @Operation(
      operationId = "createCharacteristics",
      summary = "Record many characteristics from CSV",
      description =
          "Columns are the members of one, in any order. All rows are recorded or none; a refusal lists every fault.")
  @PostMapping(path = "/bulk", consumes = "text/csv")
  ResponseEntity<Register.Recorded> createAll(HttpServletRequest body, Actor actor)
      throws IOException {
    return ResponseEntity.status(201)
        .body(characteristics.createAll(body.getInputStream(), Request.class, this::make, actor));
  }

  @Operation(
      operationId = "changeCharacteristic",
      summary = "Change or retire a characteristic",
      description = "Needs If-Match with the ETag read before. Retiring keeps all history.")
  @PutMapping("/{code}")
  ResponseEntity<View> change(
      @PathVariable String code,
      @RequestHeader(name = "If-Match", required = false) @Nullable String ifMatch,
      @Valid @RequestBody Change change,
      Actor actor) {
    Characteristic changed =
        characteristics.change(
            code,
            ifMatch,
            change,
            c -> c.change(change.name(), change.special(), change.retired(), characteristics.now()),
            actor);
    return Register.answer(changed, view(changed));
  }

  /** A characteristic to be recorded: of a component or of a product, never both. */
  @Schema(
      name = "CharacteristicRequest",
      description = "A characteristic to be recorded: of a component or of a product, never both.")
  record Request(
      @NotNull @Code String code,
      @NotBlank @Size(max = 120) String name,
      @Code @Nullable String component,
      @Code @Nullable String product,
      @Schema(description = "Whether it is measured or counted.") @NotNull Kind kind,
      @Schema(description = "UCUM code of the unit of its values.") @NotBlank String unit,
      @Schema(description = "Whether it has a natural bound; NOT when left out.")
          Characteristic.@Nullable Bounded bounded,
      @Schema(
              description =
                  "Whether the plant treats it as a special characteristic; false when left out.")
          @Nullable Boolean special) {}

  /** A characteristic as it is to be from now on. */
  @Schema(
      name = "CharacteristicChange",
      description = "A characteristic as it is to be from now on.")
  record Change(
      @NotBlank @Size(max = 120) String name,
      @Schema(description = "Whether the plant treats it as a special characteristic.") @NotNull
          Boolean special,
      @NotNull Boolean retired) {}

  /** A characteristic. */
  @Schema(
      name = "Characteristic",
      description = "A characteristic: what is measured or counted on a component or product.")
  record View(
      String code,
      String name,
      @Nullable String component,
      @Nullable String product,
      @Schema(description = "Whether it is measured or counted.") Characteristic.Kind kind,
      @Schema(description = "UCUM code of the unit of its values.") String unit,
      @Schema(description = "Whether it has a natural bound.") Characteristic.Bounded bounded,
      @Schema(description = "Whether the plant treats it as a special characteristic.")
          boolean special,
      @Nullable Instant retiredAt) {}

  private Characteristic make(Request request) {
    if ((request.component() == null) == (request.product() == null)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN, "/component", "give a component or a product, one of the two");
    }
    Characteristic.Subject subject =
        request.component() != null
            ? new Characteristic.Subject(
                components.require(request.component(), "/component").id(), null)
            : new Characteristic.Subject(
                null, products.require(String.valueOf(request.product()), "/product").id());
    Characteristic characteristic =
        new Characteristic(
            request.code(),
            request.name(),
            subject,
            request.kind(),
            Units.require(request.unit(), "/unit"),
            request.bounded() == null ? Characteristic.Bounded.NOT : request.bounded());
    characteristic.change(
        request.name(), Boolean.TRUE.equals(request.special()), false, characteristics.now());
    return characteristic;
  }

  private View view(Characteristic of) {
    return new View(
        of.code(),
        of.name(),
        of.componentId() == null ? null : components.byId(of.componentId()).code(),
        of.productId() == null ? null : products.byId(of.productId()).code(),
        of.kind(),
        of.unit().code(),
        of.bounded(),
        of.special(),
        of.retiredAt());
  }
}
