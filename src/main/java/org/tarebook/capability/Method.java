package org.tarebook.capability;

import io.swagger.v3.oas.annotations.media.Schema;
import java.util.Optional;
import org.tarebook.stats.fit.Family;

/** How indices are made. */
@Schema(name = "CapabilityMethod")
public enum Method {
  /** By mean and sigma, as of a normal process. */
  NORMAL(Family.NORMAL),
  LOGNORMAL(Family.LOGNORMAL),
  WEIBULL(Family.WEIBULL),
  GAMMA(Family.GAMMA),
  RAYLEIGH(Family.RAYLEIGH),
  RICE(Family.RICE),
  /** By percentiles of the readings themselves. */
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
