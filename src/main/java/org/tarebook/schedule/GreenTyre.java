package org.tarebook.schedule;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.Valid;
import jakarta.validation.constraints.NotNull;
import java.time.Duration;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Quantity;

/** The green tyre as it may come. */
@Schema(
    name = "GreenTyreLimits",
    description = "What the green tyre may be like when it is loaded.")
public record GreenTyre(
    @Schema(
            description =
                "Lowest temperature; used for a minimum where a cure does not state the"
                    + " temperature.")
        @NotNull
        @Valid
        Quantity coldest,
    @Schema(
            description =
                "Highest temperature; used for a maximum where a cure does not state the"
                    + " temperature.")
        @NotNull
        @Valid
        Quantity warmest,
    @Schema(
            description =
                "Greatest age when the cure starts; not limited when left out. A load that does not"
                    + " say when its green tyre was built (builtAt) is then not judged.",
            example = "PT48H")
        @Nullable Duration oldest) {}
