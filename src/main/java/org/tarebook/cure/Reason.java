package org.tarebook.cure;

import io.swagger.v3.oas.annotations.media.Schema;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Decimals;

/** Why a cavity is held, or what is to be said of it. */
@Schema(name = "VerdictReason", description = "A reason of a verdict on a cavity, or a remark.")
public record Reason(
    @Schema(description = "Kind of reason, for a program.") Code code,
    @Schema(description = "Its effect on the verdict.") Weight weight,
    @Schema(description = "The reason as a sentence for people, with its values and units.")
        String words,
    @Schema(
            description =
                "Code of the channel it was seen on; absent where it belongs to no one channel.")
        @Nullable String channel,
    @Schema(
            description =
                "Where in the tyre or the circuit; absent where it is nowhere in particular.")
        @Nullable String place,
    @Schema(description = "Name of the step; absent where it belongs to no one step.")
        @Nullable String step,
    @Schema(description = "Start of the time it concerns; absent where it belongs to no time.")
        @Nullable Instant from,
    @Schema(description = "End of the time it concerns; absent where it belongs to no time.")
        @Nullable Instant until,
    @Schema(description = "What was found, in unit; absent where it is no amount.")
        @Nullable BigDecimal amount,
    @Schema(description = "The limit it was compared with, in unit; absent where there is none.")
        @Nullable BigDecimal wanted,
    @Schema(description = "UCUM code of the unit of amount and wanted; absent where both are.")
        @Nullable String unit,
    @Schema(
            description =
                "Place in the schedule definition that it refers to, as a JSON pointer; absent"
                    + " where there is none.")
        @Nullable String line,
    @Schema(
            description =
                "How it was compared with the limit; absent where nothing was compared, and in"
                    + " verdicts of methods before 3.")
        @Nullable Rule rule,
    @Schema(description = "Whether the channel serves other cavities too.") boolean shared) {

  /** What a reason does to the verdict. */
  @Schema(name = "VerdictReasonWeight", description = "The effect of a reason on the verdict.")
  public enum Weight {
    @Schema(description = "Shown to be outside what is wanted: the verdict is NOT_GOOD.")
    BREACH,
    @Schema(
        description =
            "Something needed is missing or cannot be believed: the verdict is NOT_JUDGED.")
    DOUBT,
    @Schema(description = "For information; it does not change the verdict.")
    REMARK
  }

  /** How what was found is held against a limit; limits are inclusive. */
  @Schema(
      name = "CureReasonRule",
      description = "How what was found is compared with a limit. Limits are inclusive.")
  public enum Rule {
    @Schema(
        description =
            "The course of the channel against its band: a breach where it is known to be"
                + " outside for longer than tolerated, a doubt where it may have been. Of the"
                + " margin of hot water, pressure and temperature moment by moment.")
    COURSE,
    @Schema(description = "The time between two marks of steps.")
    MARKS,
    @Schema(description = "The mean of the worst minute.")
    WORST_MINUTE,
    @Schema(
        description =
            "The ends of the 95.45 % interval of an estimate. A minimum is met by the lower"
                + " end and missed by the upper end, a maximum the other way round. Sources of"
                + " doubt that the limit already covers are left out.")
    INTERVAL
  }

  /** Every reason there is. */
  @Schema(name = "VerdictReasonCode", description = "A kind of reason for a verdict on a cavity.")
  public enum Code {
    @Schema(description = "No revision of the cure schedule was in force when the cure started.")
    NO_SCHEDULE,
    @Schema(description = "The load has no log.")
    NO_LOG,
    @Schema(description = "No channel serves the cavity with something that must be measured.")
    CHANNEL_MISSING,
    @Schema(description = "The log of a channel has a gap.")
    GAP,
    @Schema(description = "Different values were sent for the same moment of a channel.")
    CONFLICT,
    @Schema(
        description =
            "Different values were sent for the same moment, and a person decided which one"
                + " counts.")
    CONFLICT_SETTLED,
    @Schema(description = "The recorder's clock went back.")
    CLOCK_BACK,
    @Schema(description = "The recorder's clock was ahead of the server's.")
    CLOCK_AHEAD,
    @Schema(description = "The log marks other steps but not this one.")
    STEP_NOT_MARKED,
    @Schema(
        description =
            "The log marks no steps; they are taken by the target times of the schedule, as"
                + " it states.")
    STEPS_BY_SCHEDULE,
    @Schema(
        description =
            "The log marks no steps, and the schedule does not state that the press sends"
                + " none.")
    NO_MARKS,
    @Schema(description = "A step is marked out of order, twice, or after the load closed.")
    STEPS_DISORDERED,
    @Schema(
        description =
            "The time at which the load closed does not agree with the target times of the"
                + " schedule.")
    CLOSING_DISAGREES,
    @Schema(description = "A step took less than its shortest time.")
    STEP_SHORT,
    @Schema(description = "A step took more than its longest time.")
    STEP_LONG,
    @Schema(
        description = "A channel was outside its band for longer than tolerated, or may have been.")
    SET_POINT,
    @Schema(
        description =
            "A channel left its band more than once in a step; all these times together are"
                + " compared with the total that the set point tolerates.")
    EXCURSIONS,
    @Schema(description = "A channel has no sample in a step while its set point was to be met.")
    STEP_NOT_SAMPLED,
    @Schema(description = "A channel reached its band late.")
    REACHED_LATE,
    @Schema(description = "A channel left its band before the step had ended.")
    RELEASED_EARLY,
    @Schema(
        description =
            "The inside pressure was gone before the release was marked; the release counts from"
                + " then.")
    RELEASED_BEFORE_MARK,
    @Schema(
        description = "The inside pressure stayed up from the mark of the release to the closing.")
    PRESSURE_NOT_RELEASED,
    @Schema(description = "A channel showed values that it cannot show.")
    OUT_OF_RANGE,
    @Schema(
        description =
            "A channel showed more than the highest temperature that the schedule states for"
                + " the medium.")
    HOTTER_THAN_STATED,
    @Schema(description = "A channel stayed at one value without any change.")
    STUCK,
    @Schema(description = "A channel jumped for one sample and back; such samples are not used.")
    SPIKE,
    @Schema(
        description =
            "The values of a channel fit the schedule only in another unit than the declared"
                + " one.")
    UNIT_SUSPECTED,
    @Schema(
        description =
            "The values of a channel fit the schedule only with the other kind of pressure,"
                + " gauge or absolute.")
    PRESSURE_KIND_SUSPECTED,
    @Schema(description = "Two channels look exchanged: each shows what the other should.")
    SWAPPED,
    @Schema(
        description =
            "Two channels that measure the same differ by more than their sensors may err.")
    TWINS_DISAGREE,
    @Schema(description = "The dome was colder than saturated steam of its pressure.")
    AIR_IN_DOME,
    @Schema(
        description =
            "The dome was hotter than saturated steam of its pressure, and its sensors agree.")
    SUPERHEAT,
    @Schema(
        description =
            "The dome was hotter than saturated steam of its pressure; superheat or a wrong"
                + " sensor.")
    NOT_SATURATED,
    @Schema(
        description =
            "The hot water was above boiling at the lowest pressure of its circuit, or may have"
                + " been.")
    FLASHING,
    @Schema(
        description =
            "The hot water was closer to boiling than the schedule allows, or may have been.")
    WATER_MARGIN,
    @Schema(
        description =
            "The pressure of the hot water is logged at the supply only and its temperature at"
                + " the return only; its margin elsewhere in the circuit is less.")
    WATER_MARGIN_AT_BEST,
    @Schema(
        description =
            "The pressure difference between supply and return of the hot water was too"
                + " small.")
    NO_CIRCULATION,
    @Schema(
        description = "The schedule states a limit that no channels that can be believed measure.")
    LIMIT_NOT_HELD,
    @Schema(
        description =
            "The sensors of the dome may err by more than the depression that the schedule"
                + " allows.")
    SENSORS_TOO_COARSE,
    @Schema(description = "The cavity's own pressure fell against the shared supply.")
    LEAK,
    @Schema(
        description = "Internal and outside temperature differed by more than the schedule allows.")
    INSIDE_OUTSIDE,
    @Schema(description = "The green tyre was colder or warmer than the schedule allows.")
    GREEN_TYRE_TEMPERATURE,
    @Schema(
        description = "The temperature of the green tyre is not known, and the schedule limits it.")
    GREEN_TYRE_TEMPERATURE_UNKNOWN,
    @Schema(description = "The green tyre was older than the schedule allows.")
    GREEN_TYRE_AGE,
    @Schema(description = "The age of the green tyre is not known, and the schedule limits it.")
    GREEN_TYRE_AGE_UNKNOWN,
    @Schema(description = "The equivalent cure at the release of pressure is below the blow point.")
    UNDER_BLOW_POINT,
    @Schema(description = "The equivalent cure is below a minimum.")
    UNDER_CURE,
    @Schema(description = "The equivalent cure may be below a minimum.")
    UNDER_CURE_POSSIBLE,
    @Schema(
        description =
            "Whether a limit on equivalent cure is met cannot be decided, because an"
                + " uncertainty is not stated.")
    UNCERTAINTY_UNKNOWN,
    @Schema(
        description = "The result depends on temperatures that the kinetics are not stated for.")
    KINETICS_OUT_OF_RANGE,
    @Schema(description = "The equivalents use kinetics that are on trial.")
    TRIAL_KINETICS,
    @Schema(
        description =
            "A limit on equivalent cure is met whatever the temperatures were in the gaps of"
                + " the log.")
    MET_WITHOUT_GAP,
    @Schema(description = "The equivalent cure is above a maximum.")
    OVER_CURE,
    @Schema(description = "The equivalent cure may be above a maximum.")
    OVER_CURE_POSSIBLE,
    @Schema(description = "The equivalent cure could not be computed.")
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
