package org.tarebook.spec;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.Parameter;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Positive;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
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
import org.tarebook.http.Page;
import org.tarebook.http.RetrySafe;
import org.tarebook.plant.Coded;
import org.tarebook.plant.Stations;
import org.tarebook.plant.Units;
import org.tarebook.storage.CatchUp;

/** {@code /measuring-uncertainties}: how uncertain each station measures what, in revisions. */
@Tag(name = "Specifications")
@RestController
class UncertaintyController {

  private static final String PATH = "/api/v1/measuring-uncertainties";
  private static final BigDecimal USUAL_FACTOR = BigDecimal.valueOf(2);

  private final MeasuringUncertainties uncertainties;
  private final UncertaintyChanges changes;
  private final UncertaintyStore store;
  private final Characteristics characteristics;
  private final Stations stations;

  UncertaintyController(
      MeasuringUncertainties uncertainties,
      UncertaintyChanges changes,
      UncertaintyStore store,
      Characteristics characteristics,
      Stations stations) {
    this.uncertainties = uncertainties;
    this.changes = changes;
    this.store = store;
    this.characteristics = characteristics;
    this.stations = stations;
  }

  @Operation(
      operationId = "listMeasuringUncertainties",
      summary = "List measuring uncertainties",
      description =
          "In the order they were recorded, withdrawn ones included. The one in force at a moment is"
              + " the last that has begun and stands. study and judgingAgain are shown one by one only.")
  @GetMapping(PATH)
  Page<View> list(
      @Parameter(description = "Code of the station.") @RequestParam @Nullable String station,
      @Parameter(description = "Code of the characteristic.") @RequestParam
          @Nullable String characteristic,
      @RequestParam(defaultValue = "100") @Min(1) @Max(1000) int limit,
      @RequestParam @Nullable String cursor) {
    String question = "uncertainties of " + station + " for " + characteristic;
    Cursor from = Cursor.open(cursor, question);
    long behind = from == null ? 0 : from.at(Long::parseLong);
    Page<MeasuringUncertainty> page =
        Page.cut(
            store.page(station, characteristic, behind, limit + 1),
            limit,
            last -> new Cursor(String.valueOf(last.id())).seal(question));
    Names names = names();
    return page.of(page.items().stream().map(one -> view(one, names, null, null)).toList());
  }

  @Operation(
      operationId = "getMeasuringUncertainty",
      summary = "Show a measuring uncertainty",
      description =
          "As recorded, with the study it was computed from; it is never edited. judgingAgain says"
              + " how far readings are judged again because it was recorded or withdrawn: poll it"
              + " until its state is FINISHED.")
  @GetMapping(PATH + "/{id}")
  View get(@PathVariable long id) {
    return whole(uncertainties.get(id));
  }

  @Operation(
      operationId = "recordMeasuringUncertainty",
      summary = "Record the measuring uncertainty of a station for a characteristic",
      description =
          "Either expandedUncertainty, or a crossed study from which it is"
              + " computed: coverageFactor times the standard deviation of measuring, by analysis of"
              + " variance with interaction, rounded up to three digits (bias is not in it). It holds"
              + " from validFrom until the next begins. Guarded specifications judge by it; readings"
              + " that were not judged for want of one are judged after the answer, as judgingAgain says. Where readings were judged with"
              + " another one since validFrom, it begins no earlier than tarebook.specification-lead"
              + " (1 minute) from now: results stay. The same key with the same content is answered as"
              + " stored.")
  @RetrySafe
  @PostMapping(path = PATH, consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(@Valid @RequestBody Request request, Actor actor) {
    Characteristic characteristic =
        characteristics.require(request.characteristic(), "/characteristic");
    UncertaintyChanges.Outcome outcome =
        changes.record(
            new UncertaintyDraft(
                request.key(),
                stations.require(request.station(), "/station"),
                characteristic,
                request.expandedUncertainty(),
                Units.requireOfKind(request.unit(), characteristic.unit(), "/unit"),
                request.coverageFactor() == null ? USUAL_FACTOR : request.coverageFactor(),
                request.validFrom(),
                request.basis(),
                request.study()),
            actor);
    View view = whole(outcome.uncertainty());
    return RetrySafe.Answer.of(outcome.replayed(), view, "measuring-uncertainties", view.id());
  }

  @Operation(
      operationId = "withdrawMeasuringUncertainty",
      summary = "Withdraw a wrong measuring uncertainty",
      description =
          "The revision stays on record as withdrawn; readings judged with it"
              + " keep their first results and get successor results by what is then in force. This"
              + " goes on after the answer: judgingAgain says how far it is, and until it is FINISHED"
              + " the earlier results stand.")
  @PostMapping(path = PATH + "/{id}/withdrawal", consumes = MediaType.APPLICATION_JSON_VALUE)
  View withdraw(@PathVariable long id, @Valid @RequestBody WithdrawalRequest request, Actor actor) {
    return whole(changes.withdraw(id, request.reason(), actor));
  }

  /** A measuring uncertainty to be recorded. */
  @Schema(
      name = "MeasuringUncertaintyRequest",
      description =
          "An uncertainty with which a station measures a characteristic, to be recorded.")
  record Request(
      @NotNull
          @Schema(
              description =
                  "The sender's own key; a repeat with the same content is answered as stored.")
          @FactKey
          String key,
      @NotNull @Code String station,
      @NotNull @Code String characteristic,
      @Schema(
              description =
                  "U, half the width of the interval about a reading, in unit; left out where a study is given.")
          @Positive
          @Nullable BigDecimal expandedUncertainty,
      @Schema(
              description =
                  "UCUM code, of the characteristic's kind; of a temperature, how far two are apart.")
          @NotBlank
          String unit,
      @Schema(description = "Expanded over standard uncertainty; 2 when left out.")
          @Positive
          @DecimalMax("10")
          @Nullable BigDecimal coverageFactor,
      @NotNull Instant validFrom,
      @Schema(description = "Where it comes from: which study, which certificate, which reckoning.")
          @NotBlank
          @Size(max = 500)
          String basis,
      @Schema(
              description =
                  "A crossed study to compute it from; left out where"
                      + " expandedUncertainty is given.")
          @Valid
          @Nullable CrossedReadings study) {}

  /** Why a measuring uncertainty is withdrawn. */
  @Schema(
      name = "UncertaintyWithdrawalRequest",
      description = "A request to withdraw a revision of an uncertainty.")
  record WithdrawalRequest(@NotBlank @Size(max = 500) String reason) {}

  /** A revision; values in its unit. */
  @Schema(
      name = "MeasuringUncertainty",
      description =
          "A revision of the uncertainty with which a station measures a characteristic."
              + " Values are in its unit.")
  record View(
      @Schema(description = "Number of the revision in the record.") String id,
      String key,
      String station,
      String characteristic,
      @Schema(description = "Counted from 1 within station and characteristic.") int revision,
      Instant validFrom,
      @Schema(
              description =
                  "Expanded uncertainty U: half the width of the interval about a"
                      + " reading, in unit.")
          BigDecimal expandedUncertainty,
      String unit,
      @Schema(description = "Expanded over standard uncertainty.") BigDecimal coverageFactor,
      @Schema(description = "Where it comes from, in words.") String basis,
      @Schema(description = "Whether it was computed from a crossed study.") boolean fromStudy,
      @Schema(description = "The crossed study it was computed from; absent where it was stated.")
          @Nullable CrossedReadings study,
      String person,
      Instant recordedAt,
      @Nullable Instant withdrawnAt,
      @Nullable String withdrawnBy,
      @Nullable String withdrawnReason,
      @Schema(description = "How far readings are judged again; absent where none had to be.")
          CatchUp.@Nullable Progress judgingAgain) {}

  private record Names(Map<Long, String> stations, Map<Long, String> characteristics) {}

  private Names names() {
    return new Names(codes(stations.all()), codes(characteristics.all()));
  }

  private static Map<Long, String> codes(List<? extends Coded> things) {
    return things.stream().collect(Collectors.toMap(Coded::id, Coded::code));
  }

  private View whole(MeasuringUncertainty of) {
    return view(of, names(), store.study(of.id()).orElse(null), changes.judgingAgain(of));
  }

  private static View view(
      MeasuringUncertainty of,
      Names names,
      @Nullable CrossedReadings study,
      CatchUp.@Nullable Progress again) {
    MeasuringUncertainty.Withdrawal withdrawal = of.withdrawal();
    return new View(
        String.valueOf(of.id()),
        of.key(),
        names.stations().getOrDefault(of.stationId(), ""),
        names.characteristics().getOrDefault(of.characteristicId(), ""),
        of.revision(),
        of.validFrom(),
        of.expanded(),
        of.unit().code(),
        of.coverageFactor(),
        of.basis(),
        of.fromStudy(),
        study,
        of.person(),
        of.recordedAt(),
        withdrawal == null ? null : withdrawal.recordedAt(),
        withdrawal == null ? null : withdrawal.person(),
        withdrawal == null ? null : withdrawal.reason(),
        again);
  }
}
