package org.tarebook.check;

import com.fasterxml.jackson.annotation.JsonInclude;
import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Instrument;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.storage.CatchUp;

/** A check as it is answered: what was recorded, what it came to, and what it means now. */
@Schema(
    name = "InstrumentCheck",
    description = "A check: what was recorded, its result, and what it means now.")
@JsonInclude(JsonInclude.Include.NON_NULL)
record InstrumentCheckView(
    @Schema(description = "The check's number in the record.", example = "1001") String id,
    @Schema(description = "The poster's own key.") String key,
    String instrument,
    @Schema(description = "When it was checked.") Instant checkedAt,
    @Schema(description = "The server's clock.") Instant recordedAt,
    @Schema(description = "Who posted it: the token's name.") String postedBy,
    @Schema(description = "Name of the known standard.") String standard,
    @Schema(description = "Number of the standard's certificate.") String certificate,
    @Schema(description = "Certified value, in unit.") BigDecimal standardValue,
    @Schema(description = "UCUM code of the unit of the certified value.") String unit,
    @Schema(
            description =
                "Whether the errors of OIML R 76 on initial verification apply, half of those in"
                    + " service.")
        boolean onVerification,
    @Schema(description = "UCUM code of the instrument's unit, of indications and errors.")
        String indicationUnit,
    @Schema(
            description =
                "Indications and errors before any adjusting; absent where none were recorded.")
        @Nullable Phase asFound,
    @Schema(
            description =
                "Indications and errors after adjusting; absent where nothing was adjusted.")
        @Nullable Phase asLeft,
    @Schema(description = "The largest error let pass, plus and minus, in limitUnit.")
        BigDecimal limit,
    @Schema(description = "UCUM code of the unit of limit.") String limitUnit,
    @Schema(description = "What set the limit.", example = "OIML R 76 class III in service")
        String limitFrom,
    @Schema(description = "PASS when no error is beyond the limit.")
        @Nullable CheckResult asFoundResult,
    @Schema(description = "Result after adjusting; absent where nothing was adjusted.")
        @Nullable CheckResult asLeftResult,
    @Schema(description = "What the check means for doubts as they stand now.") String doubt,
    @Schema(
            description =
                "How many readings were found suspect in the window whose doubts it changed; absent"
                    + " until applyingDoubts is FINISHED, in lists, and for checks of earlier"
                    + " versions of the service.")
        @Nullable Long suspectReadings,
    @Schema(
            description =
                "How far the readings are taken out of the figures, or back in; absent where few"
                    + " are concerned, which is done with the check, and in lists.")
        @Nullable Applied applyingDoubts,
    @Schema(description = "VOIDED: it stays on record and says nothing of the instrument.")
        InstrumentCheck.Standing standing,
    @Schema(description = "Who voided it, when and why; absent while it stands.")
        @Nullable VoidingView voiding,
    @Schema(description = "A remark for people; absent where there is none.")
        @Nullable String note) {

  /** How far the readings of an instrument follow its doubts. */
  @Schema(
      name = "AppliedDoubts",
      description =
          "Whole shifts, the newest first; each counts at once. The first go with the answer to the"
              + " check or voiding, the others after it; the counts hold all of them.")
  record Applied(
      @Schema(description = "How far it has come.") CatchUp.State state,
      @Schema(description = "Readings looked at so far.") long done,
      @Schema(description = "Readings to look at; absent until the later ones have begun.")
          @Nullable Long total,
      @Schema(description = "Readings taken out of the figures or back in so far.") long changed,
      @Schema(description = "When the work was asked for.") Instant recordedAt,
      @Schema(description = "When it was finished; absent while it is not.")
          @Nullable Instant finishedAt) {

    static @Nullable Applied of(
        DoubtedReadings.@Nullable Effect effect, CatchUp.@Nullable Progress later) {
      if (later == null) {
        return null;
      }
      long done = effect == null ? later.done() : effect.done();
      return new Applied(
          later.state(),
          done,
          later.total() == null ? null : (Long) (later.total() - later.done() + done),
          effect == null ? later.changed() : effect.changed(),
          later.recordedAt(),
          later.finishedAt());
    }
  }

  /** That a check was voided, and what that came to. */
  @Schema(name = "CheckVoiding", description = "The voiding of a check, and its effect.")
  record VoidingView(
      @Schema(description = "The person's own key.") String key,
      String reason,
      String person,
      Instant recordedAt,
      @Schema(
              description =
                  "How many readings were found suspect in the window whose doubts the voiding"
                      + " changed; absent until applyingDoubts is FINISHED, and in lists.")
          @Nullable Long suspectReadings,
      @Schema(description = "As of the check, for the voiding.") @Nullable Applied applyingDoubts) {

    static @Nullable VoidingView of(InstrumentCheck.@Nullable Voiding voiding, Followed followed) {
      return voiding == null
          ? null
          : new VoidingView(
              voiding.key(),
              voiding.reason(),
              voiding.person(),
              voiding.recordedAt(),
              followed.suspectReadings(),
              followed.applied());
    }
  }

  /** What readings came to that follow doubts; nothing is known of it in lists. */
  record Followed(DoubtedReadings.@Nullable Effect effect, CatchUp.@Nullable Progress later) {

    static final Followed UNKNOWN = new Followed(null, null);

    @Nullable Long suspectReadings() {
      return effect == null || (later != null && later.state() != CatchUp.State.FINISHED)
          ? null
          : (Long) effect.suspect();
    }

    @Nullable Applied applied() {
      return Applied.of(effect, later);
    }
  }

  /** What an instrument showed. */
  @Schema(name = "CheckPhase", description = "What an instrument showed in one phase of a check.")
  record Phase(
      @Schema(description = "As shown, in indicationUnit.") List<BigDecimal> indications,
      @Schema(
              description =
                  "Indication less certified value for each, in indicationUnit. Exact, or 20"
                      + " significant digits where it does not end.")
          List<BigDecimal> errors,
      @Schema(description = "Mean of the errors, in indicationUnit.") BigDecimal meanError) {

    static @Nullable Phase of(InstrumentCheck check, List<BigDecimal> indications, Unit shown) {
      if (indications.isEmpty()) {
        return null;
      }
      List<BigFraction> errors = check.errors(indications, shown);
      BigFraction mean =
          errors.stream().reduce(BigFraction.ZERO, BigFraction::add).divide(errors.size());
      return new Phase(indications, errors.stream().map(Decimals::of).toList(), Decimals.of(mean));
    }
  }

  static InstrumentCheckView of(
      InstrumentCheck check,
      Instrument instrument,
      String doubt,
      Followed recorded,
      Followed voided) {
    InstrumentCheck.Posted posted = check.posted();
    Unit shown = instrument.unit();
    return new InstrumentCheckView(
        String.valueOf(check.id()),
        posted.key(),
        instrument.code(),
        posted.checkedAt(),
        check.recordedAt(),
        check.postedBy(),
        posted.standard(),
        posted.certificate(),
        posted.standardValue(),
        posted.unit().code(),
        posted.onVerification(),
        shown.code(),
        Phase.of(check, posted.asFound(), shown),
        Phase.of(check, posted.asLeft(), shown),
        check.limit().value(),
        check.limit().unit().code(),
        check.limit().from(),
        check.asFound(),
        check.asLeft(),
        doubt,
        recorded.suspectReadings(),
        recorded.applied(),
        check.standing(),
        VoidingView.of(check.voiding(), voided),
        posted.note());
  }
}
