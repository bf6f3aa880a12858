package org.tarebook.cure;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotEmpty;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.springframework.http.MediaType;
import org.springframework.http.ResponseEntity;
import org.springframework.web.bind.annotation.GetMapping;
import org.springframework.web.bind.annotation.PathVariable;
import org.springframework.web.bind.annotation.PostMapping;
import org.springframework.web.bind.annotation.RequestBody;
import org.springframework.web.bind.annotation.RequestMapping;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.bind.annotation.RestController;
import org.tarebook.audit.Actor;
import org.tarebook.http.Code;
import org.tarebook.http.Cursor;
import org.tarebook.http.FactKey;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.RetrySafe;
import org.tarebook.http.Times;
import org.tarebook.plant.Presses;
import org.tarebook.plant.Quantity;
import org.tarebook.schedule.CureSchedules;

/** {@code /cures}: press loads. */
@Tag(name = "Cures")
@RestController
@RequestMapping("/api/v1/cures")
class CureController {

  private static final Instant END = Instant.parse("2200-01-01T00:00:00Z");

  private final CureIntake intake;
  private final SampleIntake samples;
  private final CureStore store;
  private final Verdicts verdicts;
  private final CureViews views;
  private final Presses presses;
  private final CureSchedules schedules;

  CureController(
      CureIntake intake,
      SampleIntake samples,
      CureStore store,
      Verdicts verdicts,
      CureViews views,
      Presses presses,
      CureSchedules schedules) {
    this.intake = intake;
    this.samples = samples;
    this.store = store;
    this.verdicts = verdicts;
    this.views = views;
    this.presses = presses;
    this.schedules = schedules;
  }

  @Operation(
      operationId = "listCures",
      summary = "List cures",
      description =
          "The newest first, by startedAt; startedFrom and recordedFrom are inclusive,"
              + " startedBefore and recordedBefore exclusive."
              + " Filters are joined by and; those of a cavity must hold for one and the same"
              + " cavity.")
  @GetMapping
  Page<CureViews.CureView> list(
      @RequestParam @Nullable String press,
      @RequestParam @Nullable String schedule,
      @RequestParam @Nullable @Min(1) @Max(100) Integer cavity,
      @RequestParam @Nullable String mould,
      @RequestParam @Nullable String bladder,
      @RequestParam @Nullable String greenTyre,
      @RequestParam @Nullable CureVerdict verdict,
      @RequestParam @Nullable Instant startedFrom,
      @RequestParam @Nullable Instant startedBefore,
      @RequestParam @Nullable Instant recordedFrom,
      @RequestParam @Nullable Instant recordedBefore,
      @RequestParam(defaultValue = "50") @Min(1) @Max(200) int limit,
      @RequestParam @Nullable String cursor) {
    CureStore.Asked asked =
        new CureStore.Asked(
            press == null ? null : presses.require(press, "press").id(),
            schedule == null ? null : schedules.require(schedule, "schedule").id(),
            cavity,
            mould,
            bladder,
            greenTyre,
            verdict,
            startedFrom == null ? Instant.EPOCH : startedFrom,
            startedBefore == null ? END : startedBefore,
            recordedFrom,
            recordedBefore);
    String question = asked.toString();
    Cursor place = Cursor.open(cursor, question);
    Place after = place == null ? null : place.at(Place::parse);
    List<Cure> found =
        store.page(
            asked,
            after == null ? asked.startedBefore() : after.startedAt(),
            after == null ? 0 : after.id(),
            limit + 1);
    Page<Cure> page =
        Page.cut(
            found, limit, last -> new Cursor(last.startedAt() + " " + last.id()).seal(question));
    return page.of(views.of(page.items()));
  }

  @Operation(
      operationId = "getCure",
      summary = "Show a cure",
      description = "What was loaded, by which channels it is watched, and the last verdicts.")
  @GetMapping("/{id}")
  CureViews.CureView get(@PathVariable long id) {
    return views.of(store.require(id));
  }

  @Operation(
      operationId = "recordCure",
      summary = "Record a cure",
      description =
          """
          One press load, when it starts: what lies in each cavity (a cavity that is not named is \
          empty), and the channels that watch it, each with its unit, its sensor's error and the \
          cavities it serves. It will be judged by the schedule revision in force at startedAt. \
          The same key with the same content is answered as stored. The record is no interlock; \
          absence of pressure is proved at the vessel.
          """)
  @RetrySafe
  @PostMapping(consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<CureViews.CureView> create(@Valid @RequestBody Request request, Actor actor) {
    CureIntake.Outcome outcome =
        intake.record(
            new CureIntake.Posted(
                request.key(),
                request.press(),
                request.schedule(),
                request.startedAt(),
                request.barometer(),
                request.cavities(),
                request.channels()),
            actor);
    CureViews.CureView view = views.of(outcome.cure());
    return RetrySafe.Answer.of(outcome.replayed(), view, "cures", view.id());
  }

  @Operation(
      operationId = "closeCure",
      summary = "Close a cure and judge it",
      description =
          """
          Ends the intake of samples and answers with the first verdict on every cavity: set points \
          as built, equivalents, blow point, steam, water, difference of inside and outside, \
          completeness, plausibility of the sensors, clock. What is proven not good comes before \
          what cannot be judged, and that before good; every reason is listed. It is an estimate \
          and a record: it opens no press and frees no tyre.
          """)
  @RetrySafe
  @PostMapping(path = "/{id}/closing", consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<CureViews.VerdictView> close(
      @PathVariable long id, @Valid @RequestBody ClosingRequest request, Actor actor) {
    samples.own(id, actor);
    SampleIntake.Closed closed = samples.close(id, request.key(), request.closedAt(), actor);
    return RetrySafe.Answer.of(
        closed.replayed(),
        views.of(closed.verdict(), false),
        "cures",
        String.valueOf(id),
        "verdicts",
        String.valueOf(closed.verdict().number()));
  }

  @Operation(
      operationId = "listVerdicts",
      summary = "List the verdicts on a cure",
      description = "The first one first; a later one succeeds the ones before, which stay.")
  @GetMapping("/{id}/verdicts")
  Page<CureViews.VerdictView> verdicts(@PathVariable long id) {
    store.require(id);
    List<Verdict> all = verdicts.of(id);
    return Page.whole(all.stream().map(one -> views.of(one, one.number() < all.size())).toList());
  }

  @Operation(
      operationId = "getVerdict",
      summary = "Show a verdict on a cure",
      description = "As it was reached, with every reason.")
  @GetMapping("/{id}/verdicts/{number}")
  CureViews.VerdictView verdict(@PathVariable long id, @PathVariable int number) {
    store.require(id);
    List<Verdict> all = verdicts.of(id);
    return all.stream()
        .filter(one -> one.number() == number)
        .findFirst()
        .map(one -> views.of(one, one.number() < all.size()))
        .orElseThrow(() -> Problem.notFound("verdict " + number + " on cure", String.valueOf(id)));
  }

  @Operation(
      operationId = "judgeCureAgain",
      summary = "Judge a cure again",
      description =
          """
          Adds a verdict by the present method to a closed cure that an earlier method judged. The \
          earlier verdict stays as it is. No upgrade judges a cure again by itself: GET \
          /cures/judged-earlier lists those that are to be looked at.
          """)
  @RetrySafe
  @PostMapping(path = "/{id}/verdicts", consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<CureViews.VerdictView> judgeAgain(
      @PathVariable long id, @Valid @RequestBody JudgingRequest request, Actor actor) {
    SampleIntake.Closed judged =
        samples.judgeAgain(id, new Verdict.Asked(request.key(), request.reason()), actor);
    return RetrySafe.Answer.of(
        judged.replayed(),
        views.of(judged.verdict(), false),
        "cures",
        String.valueOf(id),
        "verdicts",
        String.valueOf(judged.verdict().number()));
  }

  @Operation(
      operationId = "listCuresJudgedEarlier",
      summary = "List cures that an earlier method judged",
      description =
          "Each with the verdict that stands and the one that the present method gives; nothing is"
              + " stored. With differing=true, only those that differ. A page looks at limit cures,"
              + " so it may hold fewer; a page without next is the last.")
  @GetMapping("/judged-earlier")
  Page<CureViews.EarlierView> judgedEarlier(
      @RequestParam(defaultValue = "false") boolean differing,
      @RequestParam(defaultValue = "20") @Min(1) @Max(100) int limit,
      @RequestParam @Nullable String cursor) {
    String question = "judged-earlier " + differing;
    Cursor place = Cursor.open(cursor, question);
    List<Verdict> standing =
        verdicts.byEarlierMethod(place == null ? 0 : place.at(Long::parseLong), limit + 1);
    Page<Verdict> page =
        Page.cut(standing, limit, last -> new Cursor(String.valueOf(last.id())).seal(question));
    List<CureViews.EarlierView> found = new ArrayList<>();
    for (Verdict one : page.items()) {
      Cure cure = store.require(one.cureId());
      CureViews.EarlierView view = views.of(cure, verdicts.otherwise(cure, one));
      if (view.differs() || !differing) {
        found.add(view);
      }
    }
    return page.of(found);
  }

  /** A cure to be recorded. */
  @Schema(name = "CureRequest", description = "A cure to be recorded.")
  record Request(
      @Schema(description = "The station's own key; a retry repeats it.", example = "P12:004711")
          @NotNull
          @FactKey
          String key,
      @NotNull @Code String press,
      @NotNull @Code String schedule,
      @Schema(description = "When the press closed on the load: second 0 of the schedule.") @NotNull
          Instant startedAt,
      @Schema(description = "Air pressure at the press; left out, its altitude gives it.") @Valid
          @Nullable Quantity barometer,
      @Schema(description = "What is in each loaded cavity.") @NotEmpty @Size(max = 100)
          List<@Valid @NotNull CavityLoad> cavities,
      @Schema(description = "The channels whose samples the log will hold.")
          @NotEmpty
          @Size(max = 300)
          List<@Valid @NotNull Channel> channels) {}

  /** That a cure is to be judged again. */
  @Schema(
      name = "CureJudgingRequest",
      description = "A request to judge a closed cure again by the present method.")
  record JudgingRequest(
      @NotNull @FactKey String key,
      @Schema(example = "The method has changed; the shift's loads are looked at again.")
          @NotBlank
          @Size(max = 500)
          String reason) {}

  /** That a cure is ended. */
  @Schema(
      name = "CureClosingRequest",
      description = "A request to close a cure, which is then judged.")
  record ClosingRequest(
      @NotNull @FactKey String key,
      @Schema(description = "When the last step ended; the server's clock when left out.")
          @Nullable Instant closedAt) {}

  /** The last of a page; the next begins after it. */
  private record Place(Instant startedAt, long id) {
    static Place parse(String position) {
      String[] parts = position.split(" ", 2);
      return new Place(Times.parse(parts[0]), Long.parseLong(parts[1]));
    }
  }
}
