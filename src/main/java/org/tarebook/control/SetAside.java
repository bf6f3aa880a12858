package org.tarebook.control;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.validation.constraints.Max;
import jakarta.validation.constraints.Min;
import jakarta.validation.constraints.NotBlank;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import org.tarebook.http.WireId;

/**
 * A point that somebody wants left out of a baseline.
 *
 * @param round the round it is left out in, from 1; limits are computed anew after each
 * @param lastReading id of the reading that completed the point
 */
@Schema(name = "SetAside", description = "A point left out of a baseline for a named cause.")
public record SetAside(
    @Schema(
            description = "The round it is left out in, from 1; limits are computed after each.",
            example = "1")
        @NotNull
        @Min(1)
        @Max(100)
        Integer round,
    @Schema(description = "Id of the last reading of the point, as beyond tells it.")
        @NotNull
        @WireId
        Long lastReading,
    @Schema(
            description = "The named cause for which the point is no part of the process.",
            example = "Scale was knocked; found at 10:40 and put right.")
        @NotBlank
        @Size(max = 500)
        String cause) {}
