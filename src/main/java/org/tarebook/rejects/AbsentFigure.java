package org.tarebook.rejects;

import io.swagger.v3.oas.annotations.media.Schema;

/**
 * A figure of rejects that does not exist, and why.
 *
 * @param figure the member it would have stood in
 * @param reason why, for a program
 * @param words why, for a person
 */
@Schema(name = "RejectFigureAbsent", description = "A figure that does not exist, and why.")
record AbsentFigure(
    @Schema(example = "centre") String figure, RateAnswer.NotComputed reason, String words) {}
