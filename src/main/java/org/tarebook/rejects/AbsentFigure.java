package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;

/** A figure of rejects that does not exist, and why. */
@Schema(name = "RejectFigureAbsent", description = "A figure that does not exist, and why.")
record AbsentFigure(
    @Schema(description = "The member in which the figure would be.", example = "centre")
        String figure,
    @Schema(description = "Why it does not exist, for a program.") RateAnswer.NotComputed reason,
    @Schema(description = "Why it does not exist, as a sentence for people.") String words) {}
