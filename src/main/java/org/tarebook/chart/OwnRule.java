package org.tarebook.chart;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.persistence.Column;
import jakarta.persistence.Embeddable;
import jakarta.persistence.EnumType;
import jakarta.persistence.Enumerated;
import jakarta.validation.constraints.DecimalMax;
import jakarta.validation.constraints.DecimalMin;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Pattern;
import org.jspecify.annotations.Nullable;
import org.tarebook.stats.OneSideRule;
import org.tarebook.stats.RunRule;
import org.tarebook.stats.Side;
import org.tarebook.stats.ZoneRule;

/**
 * A zone rule that the plant wrote itself: so many of the last so many points beyond a zone, on one
 * side.
 *
 * @param count points that must count
 * @param window points looked at
 * @param zone distance from the centre line in sigma of a point
 * @param onLineCounts whether a point exactly on that line counts
 * @param side the one half judged; absent: each half by itself
 */
@Embeddable
@Schema(
    name = "OwnRule",
    description =
        "A zone rule that the plant wrote itself: a number of the last points lies"
            + " beyond a zone on one side.")
record OwnRule(
    @Schema(description = "Its name, told with its signals.", example = "THREE_NEAR_UPPER")
        @NotNull
        @Pattern(
            regexp = "[A-Z][A-Z0-9_]{0,16}",
            message = "is 1 to 17 capital letters, digits and underscores, a letter first")
        String code,
    @Schema(description = "Points that must count.", example = "3")
        @Column(name = "needed")
        @NotNull
        @Min(1)
        @Max(64)
        Integer count,
    @Schema(
            description =
                "Points looked at; at the start of a series fewer, so that two of the first two signal"
                    + " as two of three.",
            example = "4")
        @Column(name = "looked_at")
        @NotNull
        @Min(1)
        @Max(64)
        Integer window,
    @Schema(description = "Distance from the centre line, in sigma of a point.", example = "1.5")
        @NotNull
        @DecimalMin("0")
        @DecimalMax("6")
        Double zone,
    @Schema(description = "Whether a point exactly on that line counts.") @NotNull
        Boolean onLineCounts,
    @Schema(description = "The one half judged; left out: each half by itself.")
        @Enumerated(EnumType.STRING)
        @Nullable Side side) {

  /** The description of a zone rule. */
  static OwnRule of(RunRule rule) {
    Side side = rule instanceof OneSideRule oneSide ? oneSide.side() : null;
    ZoneRule zone = rule instanceof OneSideRule oneSide ? oneSide.rule() : (ZoneRule) rule;
    return new OwnRule(zone.code(), zone.count(), zone.window(), zone.zone(), !zone.strict(), side);
  }

  /** The rule as it is applied. */
  RunRule rule() {
    ZoneRule rule = new ZoneRule(code, count, window, zone, !onLineCounts);
    return side == null ? rule : new OneSideRule(rule, side);
  }
}
