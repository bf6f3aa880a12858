package org.tarebook.cure;

import com.fasterxml.jackson.annotation.JsonInclude;
import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.Code;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.RetrySafe;

/** {@code /cures/{id}/settlements}: which of several values sent for one moment stands. */
@Tag(name = "Cures")
@RestController
@RequestMapping("/api/v1/cures/{id}/settlements")
class SettlementController {

  private final Settlements settlements;

  SettlementController(Settlements settlements) {
    this.settlements = settlements;
  }

  @Operation(
      operationId = "settleCavity",
      summary = "Settle samples in conflict",
      description =
          """
          Where pieces of a log say different values for one moment, none of them is used and the \
          cavity is not judged. A person settles the conflicts of a channel, in a window or all of \
          them: the values of one piece stand, or none does and the samples are missing. A closed \
          cure is judged again by it; the verdict before stays as it was. A later settlement of the \
          same moments takes the place of an earlier one, and a piece that comes later and says \
          something of such a moment reopens the conflict.
          """)
  @RetrySafe
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> settle(
      @PathVariable long id, @Valid @RequestBody Request request, Actor actor) {
    Settlements.Outcome outcome =
        settlements.settle(
            id,
            new Settlement.Asked(
                request.key(),
                request.channel(),
                request.from(),
                request.until(),
                request.stands(),
                request.reason()),
            actor);
    View view = View.of(outcome.settlement());
    return RetrySafe.Answer.of(
        outcome.replayed(),
        view,
        "cures",
        view.cure(),
        "settlements",
        String.valueOf(view.number()));
  }

  @Operation(
      operationId = "listSettlements",
      summary = "List the settlements of a cure",
      description = "The first one first.")
  @GetMapping
  Page<View> list(@PathVariable long id) {
    return Page.whole(settlements.of(id).stream().map(View::of).toList());
  }

  @Operation(
      operationId = "getSettlement",
      summary = "Show a settlement of a cure",
      description = "As it was recorded, with the pieces that were in conflict.")
  @GetMapping("/{number}")
  View get(@PathVariable long id, @PathVariable int number) {
    return settlements.of(id).stream()
        .filter(one -> one.number() == number)
        .findFirst()
        .map(View::of)
        .orElseThrow(
            () -> Problem.notFound("settlement " + number + " of cure", String.valueOf(id)));
  }

  /** What is settled. */
  @Schema(
      name = "CureSettlementRequest",
      description = "A decision on samples in conflict, to be recorded.")
  record Request(
      @NotNull @FactKey String key,
      @Schema(description = "Code of the channel.", example = "TI-17") @NotNull @Code
          String channel,
      @Schema(description = "The first moment; the first in conflict when left out.")
          @Nullable Instant from,
      @Schema(description = "The last moment, included; the last in conflict when left out.")
          @Nullable Instant until,
      @Schema(
              description = "Key of the piece whose values stand; left out, no value stands.",
              example = "P12:004711-3")
          @Nullable
          @FactKey
          String stands,
      @Schema(example = "Piece 3 was sent by the spare recorder, whose couple was not plugged in.")
          @NotBlank
          @Size(max = 500)
          String reason) {}

  /** A settlement on record. */
  @Schema(
      name = "CureSettlement",
      description = "A person's decision on samples that were in conflict.")
  @JsonInclude(JsonInclude.Include.NON_NULL)
  record View(
      String cure,
      @Schema(description = "Counted from 1 within the cure.") int number,
      String key,
      @Schema(description = "Code of the channel.") String channel,
      @Schema(description = "The first moment that was settled.") Instant from,
      @Schema(description = "The last moment that was settled.") Instant until,
      @Schema(description = "Absent where no value stands.") @Nullable String stands,
      @Schema(description = "Keys of the pieces that were in conflict.") List<String> among,
      String reason,
      @Schema(description = "Who answers for it.") String person,
      Instant recordedAt) {

    static View of(Settlement settlement) {
      Settlement.Asked asked = settlement.asked();
      return new View(
          String.valueOf(settlement.cureId()),
          settlement.number(),
          asked.key(),
          asked.channel(),
          settlement.from(),
          settlement.until(),
          asked.stands(),
          settlement.among().stream().sorted().toList(),
          asked.reason(),
          settlement.person(),
          settlement.recordedAt());
    }
  }
}
