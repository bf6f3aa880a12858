package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.plant.Presses;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Decimals;
import org.tarebook.schedule.CureSchedules;

/** Cures and verdicts as they are answered. */
@Component
class CureViews {

  /** What stands with every answer that somebody might take for a signal to open a press. */
  static final String CAUTION =
      "A record, no interlock: it opens no press and releases no vessel. Pressurised hot water and"
          + " steam maim; absence of pressure is proved at the vessel, and local codes and licensed"
          + " practice govern. Estimates stand beside thermocouple studies and replace none.";

  private final Presses presses;
  private final CureSchedules schedules;
  private final CureStore store;

  CureViews(Presses presses, CureSchedules schedules, CureStore store) {
    this.presses = presses;
    this.schedules = schedules;
    this.store = store;
  }

  /** A cure. */
  @Schema(name = "Cure", description = "A cure: one load of a press.")
  record CureView(
      @Schema(description = "Number of the cure in the record.") String id,
      String key,
      String press,
      String schedule,
      @Schema(description = "Absent where no revision was in force when it started.")
          @Nullable Integer revision,
      @Schema(description = "When the press closed on the load: second 0 of the schedule.")
          Instant startedAt,
      @Schema(description = "Air pressure at the press; absent where none was posted.")
          @Nullable Quantity barometer,
      @Schema(description = "The loaded cavities, each with its last verdict.")
          List<LoadView> cavities,
      @Schema(description = "The channels of its log.") List<Channel> channels,
      Instant recordedAt,
      @Schema(description = "When the last step ended; absent while the cure is not closed.")
          @Nullable Instant closedAt,
      @Schema(description = "Grows with each piece, the closing and each verdict.") long version,
      String caution) {}

  /** A loaded cavity with its last verdict. */
  @Schema(name = "CureLoad", description = "A loaded cavity with its last verdict.")
  record LoadView(
      @Schema(description = "What is in the cavity.") CavityLoad load,
      @Schema(description = "Result of the last verdict; absent before the first.")
          @Nullable CureVerdict verdict) {}

  /** A verdict. */
  @Schema(name = "CureVerdictDocument", description = "A verdict on a cure.")
  record VerdictView(
      String cure,
      @Schema(description = "Number of the verdict, counted from 1 within the cure.") int number,
      @Schema(
              description =
                  "Revision of the cure schedule that it judges by; absent where none"
                      + " was in force.")
          @Nullable Integer revision,
      @Schema(description = "Why the verdict was reached.") Verdict.Because because,
      @Schema(
              description =
                  "Revision of the method it was reached by; src/docs/figures.md says what each"
                      + " revision changed.",
              example = "3")
          int method,
      @Schema(description = "Why a person asked for it; absent where nobody did.")
          @Nullable String askedBecause,
      @Schema(description = "When the verdict was reached.") Instant reachedAt,
      @Schema(
              description =
                  "Whose request led to it: the name of a token, or tarebook for the service"
                      + " itself.")
          String reachedBy,
      @Schema(description = "How many samples the log held.") int samples,
      @Schema(description = "Whether a later verdict has taken its place.") boolean succeeded,
      @Schema(description = "What changed against the verdict before.") List<String> changed,
      @Schema(description = "The verdict on each cavity.") List<Verdict.CavityVerdict> cavities,
      String caution) {}

  /** A cure that an earlier method judged, and what the present one says. */
  @Schema(
      name = "CureJudgedEarlier",
      description = "A cure that an earlier method judged, and what the present method gives.")
  record EarlierView(
      String cure,
      String press,
      @Schema(description = "When the press closed on the load.") Instant startedAt,
      @Schema(description = "Number of the verdict that stands.") int number,
      @Schema(description = "The method it was reached by.") int method,
      @Schema(description = "The present method.") int presentMethod,
      @Schema(
              description =
                  "Whether the present method gives another verdict, or other reasons than remarks.")
          boolean differs,
      @Schema(description = "One for each cavity of the load.") List<CavityThenAndNow> cavities) {}

  /** One cavity by both methods. */
  @Schema(
      name = "CureCavityThenAndNow",
      description = "One cavity, judged by an earlier method and by the present one.")
  record CavityThenAndNow(
      int cavity,
      @Schema(
              description =
                  "Result of the last verdict on record; absent where it has none of this cavity.")
          @Nullable CureVerdict standing,
      @Schema(description = "Result by the present method.") CureVerdict present,
      @Schema(description = "Reasons that only the present method has.") List<Reason> added,
      @Schema(description = "Reasons that only the standing verdict has.") List<Reason> removed) {}

  EarlierView of(Cure cure, Verdicts.Otherwise otherwise) {
    Map<Integer, Verdict.CavityVerdict> then = new HashMap<>();
    otherwise.standing().cavities().forEach(one -> then.put(one.cavity(), one));
    return new EarlierView(
        String.valueOf(cure.id()),
        presses.byId(cure.pressId()).code(),
        cure.startedAt(),
        otherwise.standing().number(),
        otherwise.standing().method(),
        Verdict.METHOD,
        otherwise.differs(),
        otherwise.now().stream()
            .map(
                now -> {
                  Verdict.CavityVerdict before = then.get(now.cavity());
                  return new CavityThenAndNow(
                      now.cavity(),
                      before == null ? null : before.verdict(),
                      now.verdict(),
                      only(now.reasons(), before == null ? List.of() : before.reasons()),
                      only(before == null ? List.of() : before.reasons(), now.reasons()));
                })
            .toList());
  }

  private static List<Reason> only(List<Reason> these, List<Reason> others) {
    return these.stream()
        .filter(reason -> others.stream().noneMatch(one -> one.code() == reason.code()))
        .toList();
  }

  CureView of(Cure cure) {
    return of(List.of(cure)).get(0);
  }

  /** Cures in the same order; what they share is looked up once. */
  List<CureView> of(List<Cure> cures) {
    Map<Long, Map<Integer, CureVerdict>> verdicts =
        store.verdicts(cures.stream().map(Cure::id).toList());
    Map<Long, Integer> revisions = new HashMap<>();
    return cures.stream()
        .map(
            cure ->
                view(
                    cure,
                    cure.revisionId() == null
                        ? null
                        : revisions.computeIfAbsent(cure.revisionId(), schedules::revisionNumber),
                    verdicts.getOrDefault(cure.id(), Map.of())))
        .toList();
  }

  private CureView view(Cure cure, @Nullable Integer revision, Map<Integer, CureVerdict> verdicts) {
    return new CureView(
        String.valueOf(cure.id()),
        cure.key(),
        presses.byId(cure.pressId()).code(),
        schedules.byId(cure.scheduleId()).code(),
        revision,
        cure.startedAt(),
        cure.barometer() == null ? null : new Quantity(Decimals.plain(cure.barometer()), "kPa"),
        cure.cavities().stream()
            .map(load -> new LoadView(load, verdicts.get(load.cavity())))
            .toList(),
        cure.channels(),
        cure.recordedAt(),
        cure.closing() == null ? null : cure.closing().at(),
        cure.version(),
        CAUTION);
  }

  VerdictView of(Verdict verdict, boolean succeeded) {
    return new VerdictView(
        String.valueOf(verdict.cureId()),
        verdict.number(),
        verdict.revisionId() == null ? null : schedules.revisionNumber(verdict.revisionId()),
        verdict.because(),
        verdict.method(),
        verdict.asked() == null ? null : verdict.asked().reason(),
        verdict.reachedAt(),
        verdict.reachedBy(),
        verdict.samples(),
        succeeded,
        verdict.changed(),
        verdict.cavities(),
        CAUTION);
  }
}
