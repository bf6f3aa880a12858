package org.tarebook.cure;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.cure.CavityFigures.Equivalents;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.BlowPoint;
import org.tarebook.schedule.DecidingInterval;
import org.tarebook.schedule.Until;

/** The reasons that a limit of equivalents gives: missed, perhaps missed, met across a gap. */
final class HeatReasons {

  private final @Nullable BlowPoint blowPoint;
  private final Run run;
  private final CureLog log;

  HeatReasons(@Nullable BlowPoint blowPoint, Run run, CureLog log) {
    this.blowPoint = blowPoint;
    this.run = run;
    this.log = log;
  }

  /**
   * The reasons of one limit; none where it is met without doubt.
   *
   * @param when words put before the place
   */
  List<Reason> of(HeldLimit held, String when) {
    DecidingInterval ends = held.ends();
    Set<String> unknown = ends.unknown();
    List<Reason> reasons = new ArrayList<>();
    if (!unknown.isEmpty()) {
      reasons.add(unbounded(held, unknown));
    }
    if (ends.missed()) {
      Reason missed = missed(held, when);
      if (!unknown.isEmpty()) {
        missed =
            missed.unproven(
                "the uncertainty of " + String.join(" and ", unknown) + " is not known");
      }
      reasons.add(
          run.sure() ? missed : missed.unproven("when the time ended that counts is not marked"));
    } else if (!ends.met() && ends.decidedByExtrapolation()) {
      reasons.add(outOfRange(held));
    } else if (!ends.met()) {
      reasons.add(possible(held, when));
    } else if (unknown.isEmpty() && held.view().bridged() != null) {
      reasons.add(
          reason(
              Reason.Code.MET_WITHOUT_GAP,
              Reason.Weight.REMARK,
              held,
              ends.minimum() || ends.most() == null ? ends.least() : ends.most(),
              place(held)
                  + (ends.minimum() ? " has at least " : " has at most ")
                  + ends.limit().toPlainString()
                  + " equivalent minutes whatever the temperatures were in the gaps of "
                  + Words.seconds(held.view().bridged().doubleValue())
                  + "."));
    }
    return reasons;
  }

  private Reason unbounded(HeldLimit held, Set<String> unknown) {
    DecidingInterval ends = held.ends();
    return reason(
        Reason.Code.UNCERTAINTY_UNKNOWN,
        Reason.Weight.DOUBT,
        held,
        held.view().minutes().doubleValue(),
        "Whether "
            + place(held)
            + (ends.minimum() ? " has at least " : " has at most ")
            + ends.limit().toPlainString()
            + " equivalent minutes cannot be told: "
            + String.join(" and ", unknown)
            + (unknown.size() == 1 ? " has" : " have")
            + " no known uncertainty, and the "
            + (ends.minimum() ? "minimum" : "maximum")
            + " does not hold this doubt already ("
            + (ends.minimum() ? "minimumHolds" : "maximumHolds")
            + ": ACTIVATION_ENERGY). Record kinetics with an activation energy and its uncertainty,"
            + " or from three temperatures or more.");
  }

  private Reason missed(HeldLimit held, String when) {
    DecidingInterval ends = held.ends();
    BlowPoint blow = held.line().equals("/blowPoint") ? blowPoint : null;
    double deciding = ends.most() == null || !ends.minimum() ? ends.least() : ends.most();
    double estimate = held.view().minutes().doubleValue();
    boolean porous = blow != null && blow.porousWith(BigDecimal.valueOf(deciding));
    return reason(
        !ends.minimum()
            ? Reason.Code.OVER_CURE
            : porous ? Reason.Code.UNDER_BLOW_POINT : Reason.Code.UNDER_CURE,
        Reason.Weight.BREACH,
        held,
        deciding,
        (ends.minimum() ? "Under-cured: " : "Over-cured: ")
            + when
            + place(held)
            + " had "
            + (estimate == deciding ? "" : "about " + Words.number(estimate, deciding) + " and ")
            + (ends.minimum() ? "at most " : "at least ")
            + digits(deciding, estimate, ends.limit().doubleValue())
            + " equivalent minutes, wanted at "
            + (ends.minimum() ? "least " : "most ")
            + ends.limit().stripTrailingZeros().toPlainString()
            + (blow == null
                ? "."
                : porous
                    ? ", and the blow point is " + blow.equivalents().toPlainString() + "."
                    : ", which is the blow point times its factor."));
  }

  private Reason possible(HeldLimit held, String when) {
    DecidingInterval ends = held.ends();
    double limit = ends.limit().doubleValue();
    Double most = ends.most();
    return reason(
        ends.minimum() ? Reason.Code.UNDER_CURE_POSSIBLE : Reason.Code.OVER_CURE_POSSIBLE,
        Reason.Weight.DOUBT,
        held,
        ends.minimum() || most == null ? ends.least() : most,
        (ends.minimum() ? "Possibly under-cured: " : "Possibly over-cured: ")
            + when
            + place(held)
            + " had at least "
            + Words.number(ends.least(), limit)
            + (most == null ? "" : " and at most " + Words.number(most, limit))
            + " equivalent minutes, wanted at "
            + (ends.minimum() ? "least " : "most ")
            + ends.limit().stripTrailingZeros().toPlainString()
            + (held.view().bridged() == null
                ? "."
                : "; gaps of "
                    + Words.seconds(held.view().bridged().doubleValue())
                    + (ends.mostExtrapolated() == null
                        ? " have no upper bound, since the schedule does not state how hot the"
                            + " medium can be (hottest)."
                        : " may have been as cold or as hot as the medium can be.")));
  }

  private Reason outOfRange(HeldLimit held) {
    DecidingInterval ends = held.ends();
    return reason(
        Reason.Code.KINETICS_OUT_OF_RANGE,
        Reason.Weight.DOUBT,
        held,
        ends.least(),
        place(held)
            + " has "
            + between(held, ends.least(), ends.most())
            + " equivalent minutes by the temperatures that the kinetics are stated for, "
            + String.join(", ", held.basis().kinetics().ranges())
            + ", and "
            + between(held, ends.leastExtrapolated(), ends.mostExtrapolated())
            + " if they hold beyond; wanted at "
            + (ends.minimum() ? "least " : "most ")
            + ends.limit().stripTrailingZeros().toPlainString()
            + ". Record kinetics for the temperatures of the cure.");
  }

  /** Both ends, with the digits that show on which side of the limit they lie. */
  private static String between(HeldLimit held, double least, @Nullable Double most) {
    double limit = held.ends().limit().doubleValue();
    return "at least "
        + Words.number(least, limit)
        + (most == null ? " and no known most" : " and at most " + Words.number(most, limit));
  }

  /** A figure beside two others, with the digits that show that it is neither. */
  private static String digits(double figure, double one, double other) {
    String beside = Words.number(figure, one);
    String besideOther = Words.number(figure, other);
    return beside.length() > besideOther.length() ? beside : besideOther;
  }

  private Reason reason(
      Reason.Code code, Reason.Weight weight, HeldLimit held, double amount, String words) {
    Equivalents view = held.view();
    return Reason.of(code, weight, Words.capital(words) + origin(view))
        .at(
            view.medium() == null
                ? view.layer() + " " + depth(view) + " mm"
                : view.medium() + " medium")
        .from(log.at(0), log.at(view.until() == Until.RELEASE ? run.release() : run.opening()))
        .amount(amount, Unit.MINUTE.code())
        .wanted(held.ends().limit().doubleValue())
        .by(Reason.Rule.INTERVAL)
        .line(held.line())
        .done();
  }

  private static String place(HeldLimit held) {
    Equivalents view = held.view();
    return view.medium() == null
        ? view.layer() + ", " + depth(view) + " mm from the inside"
        : "the medium " + view.medium().name().toLowerCase(Locale.ROOT);
  }

  private static String origin(Equivalents view) {
    return view.medium() == null
        ? " An estimate by heat penetration."
        : " Of the medium itself, not of the rubber.";
  }

  private static String depth(Equivalents view) {
    return Objects.requireNonNull(view.depth()).toPlainString();
  }
}
