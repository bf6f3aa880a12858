package org.tarebook.plant;

import jakarta.persistence.Embeddable;
import java.math.BigDecimal;
import java.time.Instant;
import java.util.Optional;
import java.util.StringJoiner;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.quantity.AccuracyClass;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Unit;
import org.tarebook.quantity.WeighingRange;

/**
 * What an instrument can show from a moment on. It is never edited; a later revision takes its
 * place from the moment at which that one begins.
 *
 * @param validFrom the first moment it holds for; of the first revision the earliest there is
 * @param capacity the most it can show, in its unit
 * @param scaleInterval d, the step of what it shows, in its unit
 * @param verificationInterval e of a scale by OIML R 76, in its unit
 * @param accuracyClass of a scale by OIML R 76
 * @param factKey the sender's own key; absent of the first, which was recorded with the instrument
 * @param reason why it was recorded; absent of the first
 * @param person who recorded it; absent where an earlier schema did not keep it
 * @param judgedAgain how many readings were judged again because of it; absent of the first, and
 *     where an earlier schema did not keep it
 */
@Embeddable
public record InstrumentRevision(
    Instant validFrom,
    @Nullable BigDecimal capacity,
    @Nullable BigDecimal scaleInterval,
    @Nullable BigDecimal verificationInterval,
    @Nullable String accuracyClass,
    @Nullable String factKey,
    @Nullable String reason,
    @Nullable String person,
    Instant recordedAt,
    @Nullable Long judgedAgain) {

  static InstrumentRevision of(
      Instant validFrom,
      Scale scale,
      @Nullable String key,
      @Nullable String reason,
      String person,
      Instant now) {
    return new InstrumentRevision(
        validFrom,
        scale.capacity(),
        scale.interval(),
        scale.verificationInterval(),
        scale.accuracyClass() == null ? null : scale.accuracyClass().name(),
        key,
        reason,
        person,
        now,
        null);
  }

  InstrumentRevision withJudgedAgain(long readings) {
    return new InstrumentRevision(
        validFrom,
        capacity,
        scaleInterval,
        verificationInterval,
        accuracyClass,
        factKey,
        reason,
        person,
        recordedAt,
        readings);
  }

  /** What the instrument can show. */
  public Scale scale() {
    return new Scale(
        capacity,
        scaleInterval,
        verificationInterval,
        accuracyClass == null ? null : AccuracyClass.valueOf(accuracyClass));
  }

  /**
   * What an instrument can show, in its unit; any of it may be unknown.
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

    static final Scale UNKNOWN = new Scale(null, null, null, null);

    /** Figures are kept without zeros at their ends, so that equal ones are equal. */
    public Scale {
      capacity = plain(capacity);
      interval = plain(interval);
      verificationInterval = plain(verificationInterval);
    }

    private static @Nullable BigDecimal plain(@Nullable BigDecimal value) {
      return value == null ? null : Decimals.plain(value);
    }

    /** What is known, in words. */
    String words(Unit unit) {
      StringJoiner words = new StringJoiner(", ").setEmptyValue("nothing known of it");
      add(words, "capacity", capacity, unit);
      add(words, "interval", interval, unit);
      add(words, "verificationInterval", verificationInterval, unit);
      if (accuracyClass != null) {
        words.add("accuracyClass " + accuracyClass);
      }
      return words.toString();
    }

    private static void add(
        StringJoiner words, String member, @Nullable BigDecimal figure, Unit unit) {
      if (figure != null) {
        words.add(member + " " + figure.toPlainString() + " " + unit.label());
      }
    }

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

    /** Refuses a class without the figures it needs, or with figures it does not allow. */
    void requireOfItsClass(Unit unit) {
      if (accuracyClass == null) {
        return;
      }
      if (!unit.sameKindAs(Unit.GRAM) || capacity == null || verificationInterval == null) {
        throw Problem.at(
            ProblemType.RULE_BROKEN,
            "/accuracyClass",
            "needs a capacity and a verificationInterval, both in a unit of mass");
      }
      try {
        Optional<WeighingRange> unused = weighingRange(unit);
      } catch (IllegalArgumentException refused) {
        throw Problem.at(
            ProblemType.RULE_BROKEN, "/verificationInterval", String.valueOf(refused.getMessage()));
      }
    }
  }
}
