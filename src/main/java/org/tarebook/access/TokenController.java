package org.tarebook.access;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.responses.ApiResponse;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.springframework.http.HttpStatus;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.ResponseStatus;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.Code;
import org.tarebook.http.Cursor;
import org.tarebook.http.Page;
import org.tarebook.http.WireId;
import org.tarebook.plant.Stations;

/** {@code /tokens}: who has access. */
@Tag(name = "Access")
@RestController
@RequestMapping("/api/v1/tokens")
class TokenController {

  private static final String QUESTION = "token";

  private final Tokens tokens;
  private final LastUse lastUse;
  private final Stations stations;

  TokenController(Tokens tokens, LastUse lastUse, Stations stations) {
    this.tokens = tokens;
    this.lastUse = lastUse;
    this.stations = stations;
  }

  @Operation(
      operationId = "listTokens",
      summary = "List tokens",
      description =
          "In the order they were made, expired and revoked ones included. The text of a token is"
              + " never shown again. lastUsedAt shows which ones are in use.")
  @GetMapping
  Page<View> list(
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    Cursor from = Cursor.open(cursor, QUESTION);
    long behind = from == null ? 0 : from.at(Long::parseLong);
    Page<Token> page =
        Page.cut(
            tokens.behind(behind, limit + 1),
            limit,
            last -> new Cursor(Long.toString(last.id())).seal(QUESTION));
    return page.of(page.items().stream().map(this::view).toList());
  }

  @Operation(
      operationId = "makeToken",
      summary = "Make a token",
      description =
          "For a STATION, which posts for itself only; for a PERSON as READER, QUALITY or ADMIN; or"
              + " for a SYSTEM as READER, or as STATION to post for many stations. The answer holds"
              + " the token's text, this once; only its SHA-256 is kept. Without expiresAt it is"
              + " valid for the time set in tarebook.token-life, never for more than 730 days. A name"
              + " stays with the person, station or system it was first given to; it is kept in"
              + " one line, with single blanks.")
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  @ResponseStatus(HttpStatus.CREATED)
  Made create(@Valid @RequestBody Request request, Actor actor) {
    Long stationId =
        request.station() == null ? null : stations.require(request.station(), "/station").id();
    Tokens.Made made =
        tokens.make(
            new Token.Holder(request.name(), request.kind(), request.role(), stationId),
            request.expiresAt(),
            actor);
    return new Made(made.text(), view(made.token()));
  }

  @Operation(
      operationId = "revokeToken",
      summary = "Revoke a token",
      description =
          "It is refused from this moment on. A token that is revoked already stays as it is and is"
              + " answered with 200.")
  @ApiResponse(responseCode = "201", description = "Revoked now")
  @ApiResponse(responseCode = "200", description = "Was revoked already")
  @PostMapping("/{id}/revocation")
  ResponseEntity<View> revoke(@PathVariable long id, Actor actor) {
    Tokens.Revoked revoked = tokens.revoke(id, actor);
    return ResponseEntity.status(revoked.now() ? HttpStatus.CREATED : HttpStatus.OK)
        .body(view(revoked.token()));
  }

  /** A token to be made. */
  @Schema(name = "TokenRequest", description = "A token to be made.")
  record Request(
      @Schema(description = "Whom it is for; every record made with it carries this name.")
          @NotBlank
          @Size(max = 80)
          String name,
      @Schema(description = "Who acts with it: a station, a person or a system.") @NotNull
          Actor.Kind kind,
      @Schema(description = "What it may do.") @NotNull Role role,
      @Schema(
              description =
                  "Code of the station it posts for; needed for kind STATION, left out otherwise.")
          @Code
          @Nullable String station,
      @Schema(description = "From when on it is no longer accepted; at most 730 days from now.")
          @Nullable Instant expiresAt) {}

  /** A token just made. */
  @Schema(name = "TokenMade", description = "A token that was just made.")
  record Made(
      @Schema(
              description =
                  "What its holder sends after Authorization: Bearer. It is shown only in this"
                      + " answer.")
          String text,
      @Schema(description = "What is kept of it.") View token) {}

  /** A token, without its text. */
  @Schema(name = "Token", description = "A token, without its text.")
  record View(
      @Schema(description = "Number of the token, by which it is revoked.") @WireId long id,
      @Schema(description = "Whom it is for; every record made with it carries this name.")
          String name,
      @Schema(description = "Who acts with it.") Actor.Kind kind,
      @Schema(description = "What it may do.") Role role,
      @Schema(description = "Code of the station it posts for; absent unless kind is STATION.")
          @Nullable String station,
      @Schema(description = "When it was made.") Instant createdAt,
      @Schema(description = "Who made it: the name of the token that was used.") String createdBy,
      @Schema(description = "From when on it is no longer accepted.") Instant expiresAt,
      @Schema(description = "When it was revoked; absent where it was not.")
          @Nullable Instant revokedAt,
      @Schema(
              description =
                  "Who revoked it: the name of the token that was used. Absent where it was not"
                      + " revoked.")
          @Nullable String revokedBy,
      @Schema(
              description =
                  "The last minute in which it was taken; of other copies of the service known a"
                      + " minute or so later. Absent if it was not used.")
          @Nullable Instant lastUsedAt) {}

  private View view(Token of) {
    Token.Holder holder = of.holder();
    return new View(
        of.id(),
        holder.name(),
        holder.kind(),
        holder.role(),
        holder.stationId() == null ? null : stations.byId(holder.stationId()).code(),
        of.createdAt(),
        of.createdBy(),
        of.expiresAt(),
        of.revokedAt(),
        of.revokedBy(),
        lastUse.gathered(of.id()).orElse(of.lastUsedAt()));
  }
}
