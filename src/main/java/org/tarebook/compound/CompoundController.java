package org.tarebook.compound;

import io.swagger.v3.oas.annotations.Operation;
import io.swagger.v3.oas.annotations.media.Schema;
import io.swagger.v3.oas.annotations.tags.Tag;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Pattern;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.math.MathContext;
import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
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
import org.tarebook.compound.CureMeterCurves.Curve;
import org.tarebook.compound.CureMeterCurves.Point;
import org.tarebook.http.Page;
import org.tarebook.http.Problem;
import org.tarebook.http.RetrySafe;
import org.tarebook.plant.Component;
import org.tarebook.plant.Components;
import org.tarebook.plant.Quantity;
import org.tarebook.thermal.Arrhenius;
import org.tarebook.thermal.CureMeter;
import org.tarebook.thermal.FirstOrderCure;

/** {@code /compounds/{code}}: kinetics in revisions, and cure-meter curves. */
@Tag(name = "Compounds")
@RestController
@RequestMapping("/api/v1/compounds/{code}")
class CompoundController {

  private final Components components;
  private final CompoundKinetics kinetics;
  private final CureMeterCurves curves;

  CompoundController(Components components, CompoundKinetics kinetics, CureMeterCurves curves) {
    this.components = components;
    this.kinetics = kinetics;
    this.curves = curves;
  }

  @Operation(
      summary = "List the kinetics of a compound",
      description = "The first revision first; none is ever edited.")
  @GetMapping("/kinetics")
  Page<View> list(@PathVariable String code) {
    return Page.whole(kinetics.of(compound(code)).stream().map(CompoundController::view).toList());
  }

  @Operation(
      summary = "Show one revision of a compound's kinetics",
      description = "As sent, with the activation energy that came of it.")
  @GetMapping("/kinetics/{revision}")
  View get(@PathVariable String code, @PathVariable int revision) {
    return kinetics.of(compound(code)).stream()
        .filter(one -> one.revision() == revision)
        .findFirst()
        .map(CompoundController::view)
        .orElseThrow(() -> Problem.notFound("revision " + revision + " of the kinetics of", code));
  }

  @Operation(
      summary = "Record a revision of a compound's kinetics",
      description =
          "Needs a person's token. How fast the compound cures: an activation energy with its"
              + " uncertainty, or cure times or cure-meter curves at two or more temperatures it is"
              + " found from, or the stated alternative of a temperature coefficient; and how heat"
              + " passes through it. Every figure has a source; none has a default. Schedules name a"
              + " revision.")
  @RetrySafe
  @PostMapping(path = "/kinetics", consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<View> create(
      @PathVariable String code, @Valid @RequestBody KineticsRequest request, Actor actor) {
    CompoundKinetics.Outcome outcome = kinetics.record(compound(code), request, actor);
    View view = view(outcome.kinetics());
    return RetrySafe.Answer.of(
        outcome.replayed(), view, "compounds", code, "kinetics", String.valueOf(view.revision()));
  }

  @Operation(
      summary = "List the cure-meter curves of a compound",
      description = "The earliest measured first, with their figures.")
  @GetMapping("/cure-meter-curves")
  Page<CurveView> listCurves(@PathVariable String code) {
    Component compound = compound(code);
    return Page.whole(curves.of(compound).stream().map(one -> view(code, one)).toList());
  }

  @Operation(summary = "Show a cure-meter curve", description = "Its points and its figures.")
  @GetMapping("/cure-meter-curves/{id}")
  CurveView getCurve(@PathVariable String code, @PathVariable long id) {
    return curves
        .find(compound(code), id)
        .map(one -> view(code, one))
        .orElseThrow(() -> Problem.notFound("cure-meter curve", String.valueOf(id)));
  }

  @Operation(
      summary = "Record a cure-meter curve",
      description =
          "Torque over time at one temperature. The answer has ML, MH, ts1, ts2, tc10, tc50, tc90 and"
              + " reversion; what the curve does not have is absent and stands in notComputed.")
  @RetrySafe
  @PostMapping(path = "/cure-meter-curves", consumes = MediaType.APPLICATION_JSON_VALUE)
  ResponseEntity<CurveView> createCurve(
      @PathVariable String code, @Valid @RequestBody CurveRequest request, Actor actor) {
    CureMeterCurves.Outcome outcome =
        curves.record(
            compound(code),
            new CureMeterCurves.Posted(
                request.key(),
                request.temperature(),
                request.lot(),
                request.measuredAt(),
                request.points(),
                request.source()),
            actor);
    CurveView view = view(code, outcome.curve());
    return RetrySafe.Answer.of(
        outcome.replayed(), view, "compounds", code, "cure-meter-curves", view.id());
  }

  private Component compound(String code) {
    Component component = components.get(code);
    CompoundKinetics.requireCompound(component);
    return component;
  }

  /** A curve to be recorded. */
  record CurveRequest(
      @NotNull
          @Pattern(regexp = "[!-~]{1,64}", message = "must be 1 to 64 visible ASCII characters")
          String key,
      @Schema(description = "Of the dies.") @NotNull @Valid Quantity temperature,
      @Size(min = 1, max = 40) @Nullable String lot,
      @NotNull Instant measuredAt,
      @Schema(description = "In the order of time: minutes and torque in dN.m.")
          @NotNull
          @Size(min = 3, max = 5000)
          List<@Valid @NotNull Point> points,
      @NotBlank @Size(max = 200) String source) {}

  /** A revision of kinetics. */
  @Schema(name = "Kinetics")
  record View(
      String compound,
      int revision,
      KineticsRequest sent,
      @Schema(
              description =
                  "Activation energy used, in kJ/mol; absent under a temperature coefficient.")
          @Nullable BigDecimal energy,
      @Schema(description = "Standard uncertainty of it, in kJ/mol.")
          @Nullable BigDecimal energyUncertainty,
      @Schema(description = "First-order rate, per minute at the reference temperature.")
          @Nullable BigDecimal firstOrderRate,
      String person,
      Instant recordedAt) {}

  private static View view(Kinetics of) {
    FirstOrderCure firstOrder = of.firstOrder();
    return new View(
        of.compound(),
        of.revision(),
        of.document(),
        of.law() instanceof Arrhenius arrhenius ? figure(arrhenius.joulesPerMole() / 1000) : null,
        of.law() instanceof Arrhenius ? figure(of.energyError() / 1000) : null,
        firstOrder == null ? null : figure(firstOrder.rate()),
        of.person(),
        of.recordedAt());
  }

  /** A curve and its figures: torques in dN.m, times in minutes, reversion in per cent. */
  @Schema(name = "CureMeterCurve")
  record CurveView(
      String id,
      String compound,
      String key,
      Quantity temperature,
      @Nullable String lot,
      Instant measuredAt,
      List<Point> points,
      String source,
      @Schema(description = "Lowest torque, dN.m.") BigDecimal ml,
      @Schema(description = "Highest torque behind it, dN.m.") @Nullable BigDecimal mh,
      @Schema(description = "Minutes to ML + 1 dN.m.") @Nullable BigDecimal ts1,
      @Schema(description = "Minutes to ML + 2 dN.m.") @Nullable BigDecimal ts2,
      @Schema(description = "Minutes to 10 % of MH - ML.") @Nullable BigDecimal tc10,
      @Schema(description = "Minutes to 50 % of MH - ML.") @Nullable BigDecimal tc50,
      @Schema(description = "Minutes to 90 % of MH - ML.") @Nullable BigDecimal tc90,
      @Schema(description = "Part of MH - ML lost by the last reading, per cent.")
          @Nullable BigDecimal reversion,
      @Schema(
              description =
                  "Whether torque still rises at the end: MH is none yet, every tc too early.")
          boolean marching,
      Map<String, String> notComputed,
      String postedBy,
      Instant recordedAt) {}

  private static CurveView view(String code, Curve of) {
    CureMeter figures = of.figures();
    Map<String, String> missing = new LinkedHashMap<>();
    String never = "the torque never rises behind its lowest value";
    if (figures.mh() == null) {
      for (String figure : List.of("mh", "ts1", "ts2", "tc10", "tc50", "tc90", "reversion")) {
        missing.put(figure, never);
      }
    } else {
      if (figures.ts1() == null) {
        missing.put("ts1", "the torque rises by less than 1 dN.m");
      }
      if (figures.ts2() == null) {
        missing.put("ts2", "the torque rises by less than 2 dN.m");
      }
    }
    return new CurveView(
        String.valueOf(of.id()),
        code,
        of.posted().key(),
        of.posted().temperature(),
        of.posted().lot(),
        of.posted().measuredAt(),
        of.posted().points(),
        of.posted().source(),
        figure(figures.ml()),
        optional(figures.mh()),
        optional(figures.ts1()),
        optional(figures.ts2()),
        optional(figures.tc10()),
        optional(figures.tc50()),
        optional(figures.tc90()),
        optional(figures.reversionPercent()),
        figures.marching(),
        missing,
        of.postedBy(),
        of.recordedAt());
  }

  private static @Nullable BigDecimal optional(@Nullable Double figure) {
    return figure == null ? null : figure(figure);
  }

  /** Twelve significant digits, which is what a curve's figures bear. */
  private static BigDecimal figure(double value) {
    BigDecimal rounded = new BigDecimal(value, new MathContext(12)).stripTrailingZeros();
    return rounded.scale() < 0 ? rounded.setScale(0) : rounded;
  }
}
