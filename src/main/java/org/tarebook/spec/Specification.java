package org.tarebook.spec;

import io.swagger.v3.oas.annotations.media.Schema;
import jakarta.persistence.Column;
import jakarta.persistence.Entity;
import jakarta.persistence.GeneratedValue;
import jakarta.persistence.GenerationType;
import jakarta.persistence.Id;
import jakarta.persistence.SequenceGenerator;
import jakarta.persistence.Version;
import java.math.BigDecimal;
import java.math.MathContext;
import java.time.Instant;
import java.util.Optional;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Tolerance;
import org.tarebook.quantity.Unit;

/**
 * One revision of the target and limits of a characteristic, in the unit they were written in. It
 * is never edited: it holds from its start until its stated end or the start of the next revision,
 * and a wrong one is withdrawn, which leaves it on record.
 */
@Entity
public class Specification {

  @Id
  @GeneratedValue(strategy = GenerationType.SEQUENCE, generator = "specification")
  @SequenceGenerator(name = "specification", sequenceName = "master_seq", allocationSize = 50)
  private @Nullable Long id;

  private long characteristicId;
  private int revision;
  private Instant validFrom = Instant.EPOCH;
  private @Nullable Instant validBefore;
  private @Nullable BigDecimal target;
  private @Nullable BigDecimal lowerLimit;
  private @Nullable BigDecimal upperLimit;
  private String unit = "1";
  private short decimals;
  private @Nullable BigDecimal roundingInterval;
  private @Nullable BigDecimal guardFactor;
  private String reason = "";
  private String person = "";

  @Column(name = "recorded_at")
  private Instant recordedAt = Instant.EPOCH;

  private @Nullable Instant withdrawnAt;
  private @Nullable String withdrawnBy;
  private @Nullable String withdrawnReason;
  @Version private int rowVersion;

  /** How a reading is compared with the limits (ASTM E29). */
  @Schema(
      name = "Comparison",
      description = "How a reading is compared with the limits (ASTM E29).")
  public enum Comparison {
    @Schema(description = "The reading as it is.")
    ABSOLUTE,
    @Schema(description = "The reading rounded half-even to the rounding interval first.")
    ROUNDING
  }

  /** What a limit means to a reading that is not certain (JCGM 106:2012). */
  @Schema(
      name = "DecisionRule",
      description = "How the uncertainty of a reading enters the decision (JCGM 106:2012).")
  public enum DecisionRule {
    @Schema(
        description =
            "Simple acceptance: inside the limits passes, outside fails; the uncertainty"
                + " does not enter (8.2).")
    SIMPLE,
    @Schema(
        description =
            "Guarded acceptance: a reading passes only if it lies inside the limits by the"
                + " guard band, which is the guard factor times the station's expanded"
                + " uncertainty. Closer to a limit it is conditional (8.3).")
    GUARDED
  }

  /**
   * Target and limits as written, and how they decide.
   *
   * @param target where the process is aimed; may lie on a limit; absent where there is none
   * @param lower the lower specification limit, inclusive; absent where there is none
   * @param upper the upper specification limit, inclusive; absent where there is none
   * @param unit the unit all are written in
   * @param roundingInterval under the rounding method what readings are rounded to; absent under
   *     the absolute method
   * @param guardFactor r, the guard band over the expanded measuring uncertainty, above 0 and at
   *     most 2; absent under simple acceptance
   */
  public record Limits(
      @Nullable BigDecimal target,
      @Nullable BigDecimal lower,
      @Nullable BigDecimal upper,
      Unit unit,
      @Nullable BigDecimal roundingInterval,
      @Nullable BigDecimal guardFactor) {

    /** The tolerance itself, limits inclusive, without any guard band. */
    public Tolerance tolerance() {
      return new Tolerance(lower, upper, unit, roundingInterval, BigFraction.ZERO);
    }

    /**
     * The tolerance with the guard band that a measuring uncertainty asks for, w = r U: converted
     * into the unit of the limits, exactly. Without a guard factor there is no band.
     */
    public Tolerance tolerance(MeasuringUncertainty uncertainty) {
      return guardFactor == null
          ? tolerance()
          : tolerance()
              .guardedBy(uncertainty.expandedIn(unit).multiply(Decimals.fraction(guardFactor)));
    }

    /**
     * Why nothing could pass with a measuring uncertainty: its guard bands take up the whole
     * tolerance. Empty where something can.
     */
    Optional<String> whyNothingPasses(MeasuringUncertainty uncertainty) {
      Tolerance guarded = tolerance(uncertainty);
      if (!guarded.guardBandsMeet() || lower == null || upper == null) {
        return Optional.empty();
      }
      return Optional.of(
          "the guard band, %s times %s %s, is %s %s, and the tolerance from %s to %s %s is no wider than twice that"
              .formatted(
                  guardFactor,
                  uncertainty.expanded(),
                  uncertainty.unit().label(),
                  Decimals.plain(Decimals.of(guarded.guardBand()).round(MathContext.DECIMAL32)),
                  unit.label(),
                  lower,
                  upper,
                  unit.label()));
    }

    /** What the limits mean to a reading that is not certain. */
    public DecisionRule decisionRule() {
      return guardFactor == null ? DecisionRule.SIMPLE : DecisionRule.GUARDED;
    }

    /** Whether both limits are one. */
    public boolean equal() {
      return lower != null && upper != null && lower.compareTo(upper) == 0;
    }

    /** Limits and target in another unit, as doubles; empty where both limits are one. */
    public Optional<org.tarebook.stats.Tolerance> in(Unit other) {
      return equal()
          ? Optional.empty()
          : Optional.of(
              new org.tarebook.stats.Tolerance(
                  in(lower, other), in(upper, other), in(target, other)));
    }

    /** One of the figures in another unit, as a double. */
    public @Nullable Double in(@Nullable BigDecimal figure, Unit other) {
      return figure == null ? null : (Double) Unit.convert(figure, unit, other).doubleValue();
    }

    boolean sameAs(Limits other) {
      return unit == other.unit
          && same(target, other.target)
          && same(lower, other.lower)
          && same(upper, other.upper)
          && same(roundingInterval, other.roundingInterval)
          && same(guardFactor, other.guardFactor);
    }

    private static boolean same(@Nullable BigDecimal a, @Nullable BigDecimal b) {
      return a == null ? b == null : b != null && a.compareTo(b) == 0;
    }
  }

  /** For JPA. */
  protected Specification() {}

  Specification(
      long characteristicId,
      int revision,
      Instant validFrom,
      @Nullable Instant validBefore,
      Limits limits) {
    this.characteristicId = characteristicId;
    this.revision = revision;
    this.validFrom = validFrom;
    this.validBefore = validBefore;
    this.target = limits.target();
    this.lowerLimit = limits.lower();
    this.upperLimit = limits.upper();
    this.unit = limits.unit().code();
    this.decimals = (short) decimals(limits);
    this.roundingInterval = limits.roundingInterval();
    this.guardFactor = limits.guardFactor();
  }

  Specification signedBy(String signer, String why, Instant at) {
    person = signer;
    reason = why;
    recordedAt = at;
    return this;
  }

  void withdraw(String by, String why, Instant at) {
    withdrawnAt = at;
    withdrawnBy = by;
    withdrawnReason = why;
  }

  /** Its id in the database. */
  public long id() {
    if (id == null) {
      throw new IllegalStateException("The specification is not stored yet");
    }
    return id;
  }

  /** The characteristic it limits. */
  public long characteristicId() {
    return characteristicId;
  }

  /** Counted from 1 within the characteristic. */
  public int revision() {
    return revision;
  }

  /** The first moment it holds for. */
  public Instant validFrom() {
    return validFrom;
  }

  /** The first moment after it, where one is stated; else it holds until the next begins. */
  public @Nullable Instant validBefore() {
    return validBefore;
  }

  /** Target and limits, with the decimals they were written with. */
  public Limits limits() {
    return new Limits(
        scaled(target),
        scaled(lowerLimit),
        scaled(upperLimit),
        Unit.of(unit),
        stripped(roundingInterval),
        stripped(guardFactor));
  }

  /** How a reading is compared. */
  public Comparison comparison() {
    return roundingInterval == null ? Comparison.ABSOLUTE : Comparison.ROUNDING;
  }

  /** Why it was made. */
  public String reason() {
    return reason;
  }

  /** Who answers for it. */
  public String person() {
    return person;
  }

  /** When it was recorded. */
  public Instant recordedAt() {
    return recordedAt;
  }

  /** When it was withdrawn; absent while it stands. */
  public @Nullable Instant withdrawnAt() {
    return withdrawnAt;
  }

  /** Who withdrew it. */
  public @Nullable String withdrawnBy() {
    return withdrawnBy;
  }

  /** Why it was withdrawn. */
  public @Nullable String withdrawnReason() {
    return withdrawnReason;
  }

  /** Whether it was recorded and stood at a moment. */
  public boolean stoodAt(Instant moment) {
    return !recordedAt.isAfter(moment) && (withdrawnAt == null || withdrawnAt.isAfter(moment));
  }

  /** Whether it stands. */
  public boolean stands() {
    return withdrawnAt == null;
  }

  private static int decimals(Limits limits) {
    int most = 0;
    for (BigDecimal value : new BigDecimal[] {limits.lower(), limits.upper()}) {
      if (value != null) {
        most = Math.max(most, Decimals.decimals(value));
      }
    }
    return most;
  }

  private @Nullable BigDecimal scaled(@Nullable BigDecimal value) {
    return value == null
        ? null
        : value.setScale(Math.max(decimals, value.stripTrailingZeros().scale()));
  }

  private static @Nullable BigDecimal stripped(@Nullable BigDecimal value) {
    return value == null ? null : Decimals.plain(value);
  }
}
