package org.tarebook.plant;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Pattern;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
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
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.RetrySafe;
import org.tarebook.quantity.AccuracyClass;

/** {@code /instruments/{code}/revisions}: what an instrument can show. */
@Tag(name = "Plant")
@RestController
class InstrumentRevisionController {

  private static final String PATH = "/api/v1/instruments/{code}/revisions";

  private final Instruments instruments;
  private final InstrumentRevisions revisions;

  InstrumentRevisionController(Instruments instruments, InstrumentRevisions revisions) {
    this.instruments = instruments;
    this.revisions = revisions;
  }

  @Operation(
      operationId = "listInstrumentRevisions",
      summary = "List the revisions of an instrument",
      description =
          "In the order they were recorded; the first is what the instrument was recorded with, and"
              + " holds from 1970 on. In force at a moment is, of those that have begun, the one"
              + " that began last, and of these the one recorded last.")
  @GetMapping(PATH)
  Page<View> list(@PathVariable String code) {
    Instrument instrument = instruments.get(code);
    return Page.whole(
        IntStream.rangeClosed(1, instrument.revisions().size())
            .mapToObj(revision -> view(instrument, revision))
            .toList());
  }

  @Operation(
      operationId = "getInstrumentRevision",
      summary = "Show one revision of an instrument",
      description = "As recorded; it is never edited.")
  @GetMapping(PATH + "/{revision}")
  View get(@PathVariable String code, @PathVariable int revision) {
    Instrument instrument = instruments.get(code);
    if (revision < 1 || revision > instrument.revisions().size()) {
      throw Problem.notFound("revision", code + "/" + revision);
    }
    return view(instrument, revision);
  }

  @Operation(
      operationId = "recordInstrumentRevision",
      summary = "Record a revision of an instrument",
      description =
          """
          What the instrument can show from validFrom on, until the next \
          revision begins: what differs; what is left out stays as it stands for validFrom. To mend a mistake, send the \
          validFrom of the wrong revision (1970-01-01T00:00:00Z for the first) and the right \
          data: of two that begin together the later one holds. Readings that lie above the new \
          capacity are not judged and do not count any more; readings that lay above the earlier \
          one and do not lie above this are judged and count. judgedAgain says how many these \
          are. Checks on record keep their limits of error. The same key with the same content is \
          answered as stored.
          """)
  @RetrySafe
  @PostMapping(path = PATH, consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(
      @PathVariable String code, @Valid @RequestBody Request request, Actor actor) {
    InstrumentRevisions.Revised done =
        revisions.record(
            code,
            new InstrumentRevisions.Draft(
                request.key(),
                request.validFrom(),
                new InstrumentRevision.Scale(
                    request.capacity(),
                    request.interval(),
                    request.verificationInterval(),
                    request.accuracyClass()),
                request.unknown() == null ? Set.of() : request.unknown(),
                request.reason()),
            request,
            actor);
    return RetrySafe.Answer.of(
        done.replayed(),
        view(done.instrument(), done.revision()),
        "instruments",
        code,
        "revisions",
        String.valueOf(done.revision()));
  }

  /** A revision to be recorded. Values are in the instrument's unit. */
  @Schema(
      name = "InstrumentRevisionRequest",
      description =
          "A revision of an instrument's properties, to be recorded. Members that are left"
              + " out keep what is on record. Values are in the instrument's unit.")
  record Request(
      @NotNull @FactKey String key,
      @NotNull Instant validFrom,
      @Schema(description = "In the unit of the instrument.") @Positive
          @Nullable BigDecimal capacity,
      @Schema(description = "In the unit of the instrument.") @Positive
          @Nullable BigDecimal interval,
      @Schema(description = "In the unit of the instrument.") @Positive
          @Nullable BigDecimal verificationInterval,
      @Schema(description = "Its accuracy class, of a scale; left out where it stays as it is.")
          @Nullable AccuracyClass accuracyClass,
      @Schema(
              description =
                  "Names of members that stand and are not known: capacity, interval,"
                      + " verificationInterval, accuracyClass.",
              example = "[\"interval\"]")
          @Nullable
              Set<
                  @NotNull
                  @Pattern(
                      regexp = "capacity|interval|verificationInterval|accuracyClass",
                      message = "must be capacity, interval, verificationInterval or accuracyClass")
                  String>
              unknown,
      @NotBlank @Size(max = 500) String reason) {}

  /** A revision. Values are in the instrument's unit. */
  @Schema(
      name = "InstrumentRevision",
      description =
          "A revision of an instrument's properties. Values are in the instrument's unit.")
  record View(
      String instrument,
      int revision,
      Instant validFrom,
      @Schema(description = "UCUM code of the unit in which the instrument shows values.")
          String unit,
      @Nullable BigDecimal capacity,
      @Schema(
              description =
                  "Scale interval: the step in which it shows values, in unit. Absent where"
                      + " unknown.")
          @Nullable BigDecimal interval,
      @Nullable BigDecimal verificationInterval,
      @Schema(
              description =
                  "Its accuracy class, of a scale; absent where it has none or it is unknown.")
          @Nullable AccuracyClass accuracyClass,
      @Schema(description = "Absent of the first, which was recorded with the instrument.")
          @Nullable String key,
      @Schema(description = "Absent of the first.") @Nullable String reason,
      @Schema(description = "Absent where an earlier version of the service did not keep it.")
          @Nullable String person,
      Instant recordedAt,
      @Schema(
              description =
                  "How many readings were judged again because of it. Absent of the first, and where an"
                      + " earlier version of the service did not keep it.")
          @Nullable Long judgedAgain) {}

  private static View view(Instrument of, int revision) {
    List<InstrumentRevision> all = of.revisions();
    InstrumentRevision one = all.get(revision - 1);
    InstrumentRevision.Scale scale = one.scale();
    return new View(
        of.code(),
        revision,
        one.validFrom(),
        of.unit().code(),
        scale.capacity(),
        scale.interval(),
        scale.verificationInterval(),
        scale.accuracyClass(),
        one.factKey(),
        one.reason(),
        one.person(),
        one.recordedAt(),
        one.judgedAgain());
  }
}
