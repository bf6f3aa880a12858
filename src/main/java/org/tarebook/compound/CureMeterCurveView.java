package org.tarebook.compound;

import com.fasterxml.jackson.annotation.JsonInclude;
import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Quantity;
import org.tarebook.quantity.Unit;
import org.tarebook.thermal.CureMeter;

/** A cure-meter curve as it is answered, with the figures found from it. */
@Schema(name = "CureMeterCurve", description = "A cure-meter curve with the figures found from it.")
@JsonInclude(JsonInclude.Include.NON_NULL)
record CureMeterCurveView(
    @Schema(description = "The curve's number in the record.", example = "1001") String id,
    @Schema(description = "The poster's own key.") String key,
    @Schema(description = "Code of the compound.") String compound,
    @Schema(description = "Of the test.") Quantity temperature,
    @Schema(description = "Of the points; left out in lists.") CurveRequest.@Nullable Series time,
    @Schema(description = "Of the points; left out in lists.") CurveRequest.@Nullable Series torque,
    @Schema(description = "The batch or lot that was tested.") String lot,
    @Schema(description = "When it was tested.") Instant measuredAt,
    @Schema(description = "Which cure meter and which report it comes from.") String source,
    @Schema(description = "Lowest torque, ML.") Quantity ml,
    @Schema(description = "Highest torque behind the lowest, MH.") @Nullable Quantity mh,
    @Schema(description = "Time to ML + 1 dN.m.") @Nullable Quantity ts1,
    @Schema(description = "Time to ML + 2 dN.m.") @Nullable Quantity ts2,
    @Schema(description = "Time to ML and 10 % of MH - ML.") @Nullable Quantity tc10,
    @Schema(description = "Time to ML and 50 % of MH - ML.") @Nullable Quantity tc50,
    @Schema(description = "Time to ML and 90 % of MH - ML.") @Nullable Quantity tc90,
    @Schema(description = "Part of MH - ML that is lost again at the last point.")
        @Nullable Quantity reversion,
    @Schema(
            description =
                "Whether the highest torque is the last: where the curve is no plateau, MH is not"
                    + " reached and every tc is too early.")
        boolean marching,
    @Schema(description = "Who posted it: the token's name.") String postedBy,
    @Schema(description = "The server's clock.") Instant recordedAt,
    @Schema(description = "Figures that do not exist, and why.") List<NotComputed> notComputed) {

  static CureMeterCurveView whole(Curve curve, String compound) {
    return of(curve, compound, curve.sent().time(), curve.sent().torque());
  }

  static CureMeterCurveView withoutPoints(Curve curve, String compound) {
    return of(curve, compound, null, null);
  }

  private static CureMeterCurveView of(
      Curve curve,
      String compound,
      CurveRequest.@Nullable Series time,
      CurveRequest.@Nullable Series torque) {
    CurveRequest sent = curve.sent();
    CureMeter figures = curve.figures();
    return new CureMeterCurveView(
        String.valueOf(curve.id()),
        sent.key(),
        compound,
        sent.temperature(),
        time,
        torque,
        sent.lot(),
        sent.measuredAt(),
        sent.source(),
        new Quantity(BigDecimal.valueOf(figures.ml()), Unit.DECINEWTON_METRE.code()),
        figure(figures.mh(), Unit.DECINEWTON_METRE),
        figure(figures.ts1(), Unit.MINUTE),
        figure(figures.ts2(), Unit.MINUTE),
        figure(figures.tc10(), Unit.MINUTE),
        figure(figures.tc50(), Unit.MINUTE),
        figure(figures.tc90(), Unit.MINUTE),
        figure(figures.reversionPercent(), Unit.PERCENT),
        figures.marching(),
        curve.postedBy(),
        curve.recordedAt(),
        curve.notComputed());
  }

  private static @Nullable Quantity figure(@Nullable Double figure, Unit unit) {
    return figure == null ? null : new Quantity(BigDecimal.valueOf(figure), unit.code());
  }
}
