package org.tarebook.capability;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.Optional;
import org.tarebook.stats.fit.Family;

/** How indices are made. */
@Schema(
    name = "CapabilityMethod",
    description = "The method by which capability indices are computed.")
public enum Method {
  @Schema(description = "By mean and sigma, as of a normal distribution.")
  NORMAL(Family.NORMAL),
  @Schema(description = "By percentiles of a fitted lognormal distribution.")
  LOGNORMAL(Family.LOGNORMAL),
  @Schema(description = "By percentiles of a fitted Weibull distribution.")
  WEIBULL(Family.WEIBULL),
  @Schema(description = "By percentiles of a fitted gamma distribution.")
  GAMMA(Family.GAMMA),
  @Schema(description = "By percentiles of a fitted Rayleigh distribution.")
  RAYLEIGH(Family.RAYLEIGH),
  @Schema(description = "By percentiles of a fitted Rice distribution.")
  RICE(Family.RICE),
  @Schema(description = "By percentiles of the readings themselves.")
  EMPIRICAL(null);

  private final @org.jspecify.annotations.Nullable Family family;

  Method(@org.jspecify.annotations.Nullable Family family) {
    this.family = family;
  }

  /** The family of distributions that is fitted; empty for {@link #EMPIRICAL}. */
  Optional<Family> family() {
    return Optional.ofNullable(family);
  }
}
