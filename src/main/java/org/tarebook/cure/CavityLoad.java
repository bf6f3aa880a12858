package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.Valid;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.NoBlankEnds;
import org.tarebook.plant.Quantity;

/** What is in one cavity. A cavity that is not named is empty, which is no gap. */
@Schema(
    name = "CavityLoad",
    description = "What is in one cavity. A cavity that is not named is empty, which is not a gap.")
public record CavityLoad(
    @NotNull @Min(1) @Max(100) Integer cavity,
    @Schema(description = "The mould, by the plant's own name.")
        @NotNull
        @Size(min = 1, max = 40)
        @NoBlankEnds
        String mould,
    @Schema(description = "The bladder or bag.") @Size(min = 1, max = 40) @NoBlankEnds
        @Nullable String bladder,
    @Schema(description = "Cures of the bladder or bag before this one.") @Min(0)
        @Nullable Integer bladderCount,
    @Schema(description = "The green tyre's number.") @Size(min = 1, max = 40) @NoBlankEnds
        @Nullable String greenTyre,
    @Schema(description = "Temperature of the green tyre when loaded.") @Valid
        @Nullable Quantity greenTemperature,
    @Schema(description = "When the green tyre was built; gives its age.")
        @Nullable Instant builtAt) {}
