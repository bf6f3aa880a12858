package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Decimals;

/**
 * Why a cavity is held, or what is to be said of it.
 *
 * @param words a sentence for people, units included
 * @param channel code of the channel it was seen on; absent where it is no one channel's
 * @param place where in the tyre or the circuit; absent where it is nowhere in particular
 * @param step name of the step
 * @param amount what was found, in unit
 * @param wanted the limit it was held against, in unit
 * @param line the place in the schedule, as a JSON pointer
 * @param rule how it was held against the limit; absent where nothing was compared, and in verdicts
 *     of methods before 3
 * @param shared whether the channel serves other cavities too
 */
@Schema(name = "VerdictReason")
public record Reason(
    Code code,
    Weight weight,
    String words,
    @Nullable String channel,
    @Nullable String place,
    @Nullable String step,
    @Nullable Instant from,
    @Nullable Instant until,
    @Nullable BigDecimal amount,
    @Nullable BigDecimal wanted,
    @Nullable String unit,
    @Nullable String line,
    @Nullable Rule rule,
    boolean shared) {

  /** What a reason does to the verdict. */
  @Schema(name = "VerdictReasonWeight")
  public enum Weight {
    /** Proven outside what is wanted: not good. */
    BREACH,
    /** Something needed is missing or cannot be believed: not judged. */
    DOUBT,
    /** Worth knowing; changes nothing. */
    REMARK
  }

  /** How what was found is held against a limit; limits are inclusive. */
  @Schema(name = "CureReasonRule")
  public enum Rule {
    /**
     * The course of the channel against the band: proven where it is known to be outside for longer
     * than tolerated, in doubt where it may have been.
     */
    COURSE,
    /** The time between two marks of steps. */
    MARKS,
    /** The mean of the worst minute. */
    WORST_MINUTE,
    /**
     * The ends of the interval of 95.45 % of an estimate, without the doubts that the limit holds:
     * a minimum is met by the lower end and missed by the upper one, a maximum the other way round.
     */
    INTERVAL
  }

  /** Every reason there is. */
  @Schema(name = "VerdictReasonCode")
  public enum Code {
    NO_SCHEDULE,
    NO_LOG,
    CHANNEL_MISSING,
    GAP,
    CONFLICT,
    CONFLICT_SETTLED,
    CLOCK_BACK,
    CLOCK_AHEAD,
    STEP_NOT_MARKED,
    STEPS_BY_SCHEDULE,
    NO_MARKS,
    STEPS_DISORDERED,
    CLOSING_DISAGREES,
    STEP_SHORT,
    STEP_LONG,
    SET_POINT,
    EXCURSIONS,
    STEP_NOT_SAMPLED,
    REACHED_LATE,
    RELEASED_EARLY,
    OUT_OF_RANGE,
    HOTTER_THAN_STATED,
    STUCK,
    SPIKE,
    UNIT_SUSPECTED,
    PRESSURE_KIND_SUSPECTED,
    SWAPPED,
    TWINS_DISAGREE,
    AIR_IN_DOME,
    SUPERHEAT,
    NOT_SATURATED,
    FLASHING,
    WATER_MARGIN,
    NO_CIRCULATION,
    LIMIT_NOT_HELD,
    SENSORS_TOO_COARSE,
    LEAK,
    INSIDE_OUTSIDE,
    GREEN_TYRE_TEMPERATURE,
    GREEN_TYRE_TEMPERATURE_UNKNOWN,
    GREEN_TYRE_AGE,
    GREEN_TYRE_AGE_UNKNOWN,
    UNDER_BLOW_POINT,
    UNDER_CURE,
    UNDER_CURE_POSSIBLE,
    UNCERTAINTY_UNKNOWN,
    KINETICS_OUT_OF_RANGE,
    TRIAL_KINETICS,
    MET_WITHOUT_GAP,
    OVER_CURE,
    OVER_CURE_POSSIBLE,
    EQUIVALENTS_NOT_COMPUTED
  }

  /** A reason that was not proven after all, since what it was seen on cannot be believed. */
  Reason unproven(String why) {
    return weight != Weight.BREACH
        ? this
        : worded(Weight.DOUBT, words + " Not proven: " + why + ".");
  }

  /** This reason with more to say. */
  Reason with(String more) {
    return worded(weight, words + more);
  }

  private Reason worded(Weight otherWeight, String otherWords) {
    return new Reason(
        code,
        otherWeight,
        otherWords,
        channel,
        place,
        step,
        from,
        until,
        amount,
        wanted,
        unit,
        line,
        rule,
        shared);
  }

  /** Starts a reason. */
  static Draft of(Code code, Weight weight, String words) {
    return new Draft(code, weight, words);
  }

  /** A reason being put together. */
  static final class Draft {
    private final Code code;
    private final Weight weight;
    private final String words;
    private @Nullable Channel channel;
    private @Nullable String place;
    private @Nullable String step;
    private @Nullable Instant from;
    private @Nullable Instant until;
    private @Nullable BigDecimal amount;
    private @Nullable BigDecimal wanted;
    private @Nullable String unit;
    private @Nullable String line;
    private @Nullable Rule rule;

    private Draft(Code code, Weight weight, String words) {
      this.code = code;
      this.weight = weight;
      this.words = words;
    }

    Draft on(Channel seenOn) {
      channel = seenOn;
      return this;
    }

    Draft at(String where) {
      place = where;
      return this;
    }

    Draft during(String stepName) {
      step = stepName;
      return this;
    }

    Draft from(Instant first, Instant last) {
      from = first;
      until = last;
      return this;
    }

    Draft amount(double found, String inUnit) {
      amount = decimal(found);
      unit = inUnit;
      return this;
    }

    Draft wanted(double limit) {
      wanted = decimal(limit);
      return this;
    }

    Draft by(Rule heldBy) {
      rule = heldBy;
      return this;
    }

    Draft line(String pointer) {
      line = pointer;
      return this;
    }

    Reason done() {
      return new Reason(
          code,
          weight,
          words,
          channel == null ? null : channel.code(),
          place,
          step,
          from,
          until,
          amount,
          wanted,
          unit,
          line,
          rule,
          channel != null && channel.shared());
    }
  }

  /** A computed figure as it is stored and shown: six significant digits, no exponent. */
  static BigDecimal decimal(double figure) {
    BigDecimal rounded = Decimals.rounded(figure, 6);
    return rounded.scale() > Decimals.MOST_DECIMALS
        ? Decimals.plain(rounded.setScale(Decimals.MOST_DECIMALS, RoundingMode.HALF_EVEN))
        : rounded;
  }
}
