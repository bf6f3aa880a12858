package org.tarebook.http;

import jakarta.validation.Valid;
import jakarta.validation.Validation;
import jakarta.validation.constraints.NotNull;
import jakarta.validation.constraints.Size;
import java.math.BigDecimal;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Set;

/** A request with a member of every sort, to read strictly. */
record Sample(
    @NotNull @Code String code,
    BigDecimal mass,
    Instant measuredAt,
    Integer count,
    Boolean special,
    Side side,
    LocalDate day,
    Set<Side> sides,
    @Size(max = 3) List<@Valid Part> parts) {

  /** Where. */
  enum Side {
    LEFT,
    RIGHT
  }

  /** A member with members. */
  record Part(@NotNull BigDecimal mass) {}

  /** The readers as the service has them. */
  static Bodies bodies() {
    return new Bodies(
        new JsonConfiguration().jsonMapper(),
        Validation.buildDefaultValidatorFactory().getValidator());
  }
}
