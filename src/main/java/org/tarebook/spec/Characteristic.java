package org.tarebook.spec;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.persistence.Column;
import jakarta.persistence.Entity;
import jakarta.persistence.EnumType;
import jakarta.persistence.Enumerated;
import java.time.Instant;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.plant.Coded;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.Tolerance;

/** What is measured or counted on one component or one product. */
@Entity
public class Characteristic extends Coded {

  @Column(updatable = false)
  private @Nullable Long componentId;

  @Column(updatable = false)
  private @Nullable Long productId;

  @Enumerated(EnumType.STRING)
  @Column(updatable = false)
  private Kind kind = Kind.MEASURED;

  @Column(updatable = false)
  private String unit = "1";

  @Enumerated(EnumType.STRING)
  @Column(updatable = false)
  private Bounded bounded = Bounded.NOT;

  private boolean special;

  /** How it is found. */
  @Schema(name = "CharacteristicKind", description = "How a characteristic is determined.")
  public enum Kind {
    @Schema(description = "It is measured.")
    MEASURED,
    @Schema(description = "It is counted.")
    COUNTED
  }

  /** Whether it cannot go beyond a bound by its nature, as a runout cannot go below 0. */
  @Schema(
      name = "CharacteristicBounded",
      description = "Whether a characteristic has a natural bound, as a runout cannot be below 0.")
  public enum Bounded {
    @Schema(description = "It has no natural bound.")
    NOT,
    @Schema(description = "It cannot be below 0.")
    BELOW_AT_0,
    @Schema(description = "It cannot be above 100.")
    ABOVE_AT_100
  }

  /** For JPA. */
  protected Characteristic() {}

  Characteristic(String code, String name, Subject subject, Kind kind, Unit unit, Bounded bounded) {
    super(code, name);
    this.componentId = subject.componentId();
    this.productId = subject.productId();
    this.kind = kind;
    this.unit = unit.code();
    this.bounded = bounded;
  }

  /** What it is measured on: a component or a product, never both. */
  record Subject(@Nullable Long componentId, @Nullable Long productId) {}

  /** The component it is measured on; absent where it is a product's. */
  public @Nullable Long componentId() {
    return componentId;
  }

  /** The product it is measured on; absent where it is a component's. */
  public @Nullable Long productId() {
    return productId;
  }

  /** How it is found. */
  public Kind kind() {
    return kind;
  }

  /** The unit its charts are drawn in. */
  public Unit unit() {
    return Unit.of(unit);
  }

  /** Its natural bound. */
  public Bounded bounded() {
    return bounded;
  }

  /**
   * Limits and target without a limit that is the bound by nature: a run-out cannot be below 0,
   * whatever was written.
   *
   * @return empty where no other limit is left
   */
  public Optional<Tolerance> withoutNaturalBound(Tolerance tolerance) {
    Double lower = tolerance.lower();
    Double upper = tolerance.upper();
    boolean noLower = bounded == Bounded.BELOW_AT_0 && lower != null && lower <= 0;
    boolean noUpper = bounded == Bounded.ABOVE_AT_100 && upper != null && upper >= 100;
    Double low = noLower ? null : lower;
    Double high = noUpper ? null : upper;
    return low == null && high == null
        ? Optional.empty()
        : Optional.of(new Tolerance(low, high, tolerance.target()));
  }

  /** Whether it is a special characteristic: safety, rules or fit hang on it. */
  public boolean special() {
    return special;
  }

  void change(String name, boolean isSpecial, boolean retired, Instant now) {
    rename(name);
    special = isSpecial;
    retire(retired, now);
  }
}
