package org.tarebook.cure;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.tarebook.cure.Run.Steady;
import org.tarebook.quantity.Unit;
import org.tarebook.schedule.CircuitEnd;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.Measured.Physical;

/** Whether channels can be believed beside each other: swapped ones, twins that disagree. */
final class ChannelPairs {

  private static final double MOST = 0.8;
  private static final double HARDLY_ANY = 0.2;

  private final Plausibility plausibility;
  private final Run run;
  private final CureLog cure;

  ChannelPairs(Plausibility plausibility, Run run, CureLog cure) {
    this.plausibility = plausibility;
    this.run = run;
    this.cure = cure;
  }

  /** Doubts about a pair of channels, one for each of the two. */
  List<Reason> of(ChannelLog one, ChannelLog other) {
    if (one.empty()
        || other.empty()
        || one.channel().measured().physical() != other.channel().measured().physical()
        || one.channel().measured().physical() == Physical.CLAMPING
        || Collections.disjoint(one.channel().serves(), other.channel().serves())) {
      return List.of();
    }
    boolean together =
        Set.copyOf(one.channel().serves()).equals(Set.copyOf(other.channel().serves()));
    List<Reason> found = new ArrayList<>();
    if (one.channel().measured() != other.channel().measured()) {
      if (swapped(one, other)) {
        found.add(exchange(one, other));
        found.add(exchange(other, one));
      }
    } else if (one.channel().circuitEnd() == other.channel().circuitEnd()) {
      twins(one, other).ifPresent(found::add);
      twins(other, one).ifPresent(found::add);
    } else if (!together) {
      return found; // a manifold and one cavity's own end are different places of the circuit
    } else if (one.channel().circuitEnd() == CircuitEnd.SUPPLY && againstTheFlow(one, other)) {
      found.add(exchange(one, other));
      found.add(exchange(other, one));
    } else if (other.channel().circuitEnd() == CircuitEnd.SUPPLY && againstTheFlow(other, one)) {
      found.add(exchange(one, other));
      found.add(exchange(other, one));
    }
    return found;
  }

  private boolean swapped(ChannelLog one, ChannelLog other) {
    List<Steady> ones = held(one);
    List<Steady> others = held(other);
    return plausibility.shareAsDeclared(one, ones) < HARDLY_ANY
        && plausibility.shareAsDeclared(other, others) < HARDLY_ANY
        && plausibility.shareAsDeclared(one, others) > MOST
        && plausibility.shareAsDeclared(other, ones) > MOST;
  }

  private List<Steady> held(ChannelLog log) {
    return run.steady(measured -> measured == log.channel().measured());
  }

  private Reason exchange(ChannelLog one, ChannelLog other) {
    return Reason.of(
            Reason.Code.SWAPPED,
            Reason.Weight.DOUBT,
            Words.capital(one.channel().words())
                + " and "
                + other.channel().words()
                + " look exchanged: each shows what the other should; look at their wiring.")
        .on(one.channel())
        .done();
  }

  /** Whether the return is above the supply throughout, which flow and heat loss do not allow. */
  private boolean againstTheFlow(ChannelLog supply, ChannelLog back) {
    double sum = 0;
    double error = 0;
    int count = 0;
    for (Steady steady : held(supply)) {
      for (MinuteMeans.Mean mean :
          MinuteMeans.of(run.course(supply, steady), run.course(back, steady))) {
        sum += mean.means()[1] - mean.means()[0];
        error = supply.error(mean.means()[0]) + back.error(mean.means()[1]);
        count++;
      }
    }
    return count > 0 && sum / count > error;
  }

  /**
   * How far two channels of one place are apart. A cavity's own pressure may lie below the shared
   * one, by a leak, which is another finding; it cannot lie above what feeds it.
   */
  private static double apart(ChannelLog one, ChannelLog twin, MinuteMeans.Mean mean) {
    double difference = mean.means()[0] - mean.means()[1];
    if (one.channel().measured() != Measured.INTERNAL_PRESSURE
        || one.channel().shared() == twin.channel().shared()) {
      return Math.abs(difference);
    }
    return one.channel().shared() ? -difference : difference;
  }

  private static String amount(double found, double other, Channel channel) {
    return channel.measured().physical() == Physical.TEMPERATURE
        ? Words.number(found, other) + " K"
        : Words.pressure(found, other, channel);
  }

  private Optional<Reason> twins(ChannelLog one, ChannelLog twin) {
    for (Steady steady : held(one)) {
      Optional<MinuteMeans.Mean> worst =
          MinuteMeans.worst(
              MinuteMeans.of(run.course(one, steady), run.course(twin, steady)),
              mean -> apart(one, twin, mean));
      if (worst.isEmpty()) {
        continue;
      }
      double[] means = worst.get().means();
      double allowed = one.error(means[0]) + twin.error(means[1]);
      double apart = apart(one, twin, worst.get());
      if (apart > allowed) {
        boolean temperature = one.channel().measured().physical() == Physical.TEMPERATURE;
        return Optional.of(
            Reason.of(
                    Reason.Code.TWINS_DISAGREE,
                    Reason.Weight.DOUBT,
                    Words.capital(one.channel().words())
                        + " and its twin "
                        + twin.channel().code()
                        + " were "
                        + amount(apart, allowed, one.channel())
                        + " apart, more than both sensors may err ("
                        + amount(allowed, apart, one.channel())
                        + "); which of them is wrong cannot be told.")
                .on(one.channel())
                .during(steady.part().step().name())
                .from(cure.at(worst.get().from()), cure.at(worst.get().until()))
                .amount(apart, temperature ? Unit.KELVIN_DIFFERENCE.code() : Unit.KILOPASCAL.code())
                .wanted(allowed)
                .done());
      }
    }
    return Optional.empty();
  }
}
