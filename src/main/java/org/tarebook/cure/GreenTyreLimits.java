package org.tarebook.cure;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.GreenTyre;

/** Holds the green tyre of a cavity against the schedule: its temperature and its age. */
final class GreenTyreLimits {

  private GreenTyreLimits() {}

  /** What is to be said of the tyre in one cavity. */
  static List<Reason> hold(CavityLoad load, GreenTyre limits, Instant startedAt) {
    List<Reason> reasons = new ArrayList<>();
    if (load.greenTemperature() == null) {
      reasons.add(
          Reason.of(
                  Reason.Code.GREEN_TYRE_TEMPERATURE_UNKNOWN,
                  Reason.Weight.REMARK,
                  "Nobody told the temperature of the green tyre; the limits of the schedule are"
                      + " taken, each where it is the worse.")
              .line("/greenTyre")
              .done());
    } else {
      double green = load.greenTemperature().in(Unit.CELSIUS);
      double coldest = limits.coldest().in(Unit.CELSIUS);
      double warmest = limits.warmest().in(Unit.CELSIUS);
      if (green < coldest || green > warmest) {
        reasons.add(
            Reason.of(
                    Reason.Code.GREEN_TYRE_TEMPERATURE,
                    Reason.Weight.BREACH,
                    "The green tyre had "
                        + Words.number(green, green < coldest ? coldest : warmest)
                        + " °C, wanted "
                        + Words.number(coldest, green)
                        + " to "
                        + Words.number(warmest, green)
                        + " °C.")
                .amount(green, Unit.CELSIUS.code())
                .wanted(green < coldest ? coldest : warmest)
                .line(green < coldest ? "/greenTyre/coldest" : "/greenTyre/warmest")
                .done());
      }
    }
    if (load.builtAt() == null && limits.oldest() != null) {
      reasons.add(
          Reason.of(
                  Reason.Code.GREEN_TYRE_AGE_UNKNOWN,
                  Reason.Weight.DOUBT,
                  "The age of the green tyre is not known, and the schedule wants at most "
                      + Words.number(limits.oldest().toMillis() / 3_600_000.0)
                      + " h: post builtAt with each cavity, or leave oldest out of the schedule.")
              .line("/greenTyre/oldest")
              .done());
    }
    if (load.builtAt() != null && limits.oldest() != null) {
      Duration age = Duration.between(load.builtAt(), startedAt);
      double hours = age.toNanos() / 3.6e12;
      double most = limits.oldest().toNanos() / 3.6e12;
      if (age.compareTo(limits.oldest()) > 0) {
        reasons.add(
            Reason.of(
                    Reason.Code.GREEN_TYRE_AGE,
                    Reason.Weight.BREACH,
                    "The green tyre was "
                        + Words.number(hours, most)
                        + " h old, wanted at most "
                        + Words.number(most, hours)
                        + " h.")
                .amount(age.toNanos() / 1e9, Unit.SECOND.code())
                .wanted(limits.oldest().toNanos() / 1e9)
                .line("/greenTyre/oldest")
                .done());
      }
    }
    return reasons;
  }
}
