package org.tarebook.plant;

import jakarta.persistence.Column;
import jakarta.persistence.Entity;
import jakarta.persistence.EnumType;
import jakarta.persistence.Enumerated;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.Optional;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.AccuracyClass;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.quantity.WeighingRange;

/**
 * What measures at a station. Its nature never changes: one that is rebuilt or moved is recorded as
 * a new one, so that its checks keep their meaning.
 */
@Entity
public class Instrument extends Coded {

  @Column(updatable = false)
  private long stationId;

  @Enumerated(EnumType.STRING)
  @Column(updatable = false)
  private Kind kind = Kind.TESTER;

  @Column(updatable = false)
  private String unit = "1";

  @Column(updatable = false)
  private @Nullable BigDecimal capacity;

  @Column(updatable = false)
  private @Nullable BigDecimal scaleInterval;

  @Column(updatable = false)
  private @Nullable BigDecimal verificationInterval;

  @Column(updatable = false)
  private @Nullable String accuracyClass;

  /** Kinds of instruments. */
  public enum Kind {
    SCALE,
    GAUGE,
    LENGTH_ENCODER,
    THERMOCOUPLE,
    PRESSURE_GAUGE,
    TESTER,
    COUNTER
  }

  /** For JPA. */
  protected Instrument() {}

  Instrument(String code, String name, long stationId, Kind kind, Unit unit, Scale scale) {
    super(code, name);
    this.stationId = stationId;
    this.kind = kind;
    this.unit = unit.code();
    this.capacity = scale.capacity();
    this.scaleInterval = scale.interval();
    this.verificationInterval = scale.verificationInterval();
    this.accuracyClass = scale.accuracyClass() == null ? null : scale.accuracyClass().name();
  }

  /**
   * What it can show, in its unit; any of it may be unknown.
   *
   * @param capacity the most it can show
   * @param interval d, the step of what it shows
   * @param verificationInterval e of a scale by OIML R 76
   * @param accuracyClass of a scale by OIML R 76
   */
  public record Scale(
      @Nullable BigDecimal capacity,
      @Nullable BigDecimal interval,
      @Nullable BigDecimal verificationInterval,
      @Nullable AccuracyClass accuracyClass) {

    /**
     * The range OIML R 76 gives a scale of its class; absent where class, e or capacity is unknown.
     *
     * @throws IllegalArgumentException if the class allows no such scale
     */
    public Optional<WeighingRange> weighingRange(Unit unit) {
      return accuracyClass == null || verificationInterval == null || capacity == null
          ? Optional.empty()
          : Optional.of(new WeighingRange(accuracyClass, capacity, verificationInterval, unit));
    }
  }

  /** Whether its capacity is known and lies below a value of the same kind of unit. */
  public boolean isBelow(BigDecimal value, Unit of) {
    BigDecimal most = scale().capacity();
    return most != null
        && of.sameKindAs(unit())
        && Decimals.compare(Unit.convert(value, of, unit()), Decimals.fraction(most)) > 0;
  }

  /** The station it hangs at. */
  public long stationId() {
    return stationId;
  }

  /** What it is. */
  public Kind kind() {
    return kind;
  }

  /** The unit it shows. */
  public Unit unit() {
    return Unit.of(unit);
  }

  /** What it can show. */
  public Scale scale() {
    return new Scale(
        stripped(capacity),
        stripped(scaleInterval),
        stripped(verificationInterval),
        accuracyClass == null ? null : AccuracyClass.valueOf(accuracyClass));
  }

  void change(String name, boolean retired, Instant now) {
    rename(name);
    retire(retired, now);
  }

  private static @Nullable BigDecimal stripped(@Nullable BigDecimal value) {
    return value == null ? null : Decimals.plain(value);
  }
}
