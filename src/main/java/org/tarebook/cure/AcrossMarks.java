package org.tarebook.cure;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tarebook.cure.Channel.Recording;
import org.tarebook.cure.Run.Steady;
import org.tarebook.quantity.Unit;

/**
 * Excursions that go on over a mark. Where the next step holds the same channel from its very
 * start, an excursion that reaches the mark and the one that begins there are one, however the mark
 * divides them, and it is held against the longer of the tolerated times. A step that lets the
 * channel settle first ends an excursion, since its start says nothing of it.
 */
final class AcrossMarks {

  private final ChannelLog log;
  private final Run run;
  private final CureLog cure;
  private final List<Reason> reasons = new ArrayList<>();

  /** One set point of the channel, and what it says of it. */
  private record Held(Steady steady, Band band, List<Excursion> excursions) {
    double tolerated() {
      return steady.setPoint().tolerated() == null
          ? 0
          : steady.setPoint().tolerated().toMillis() / 1000.0;
    }
  }

  /**
   * An excursion so far.
   *
   * @param parts how many steps it lies in
   * @param told whether one of its parts is a reason by itself
   */
  private record Chain(
      Excursion excursion, Held first, Held last, int parts, double tolerated, boolean told) {}

  private AcrossMarks(ChannelLog log, Run run, CureLog cure) {
    this.log = log;
    this.run = run;
    this.cure = cure;
  }

  /**
   * Excursions over marks that are, or may be, longer than is tolerated, and no part of them is.
   */
  static List<Reason> of(ChannelLog log, Run run, CureLog cure) {
    AcrossMarks found = new AcrossMarks(log, run, cure);
    found.follow();
    return found.reasons;
  }

  private void follow() {
    List<Chain> open = List.of();
    for (Held held : held()) {
      List<Chain> going = new ArrayList<>();
      boolean continued = false;
      for (Chain chain : open) {
        if (chain.last().steady().part().index() == held.steady().part().index()) {
          going.add(chain); // another set point of the same step
          continue;
        }
        Optional<Chain> joined = joined(chain, held);
        if (joined.isEmpty()) {
          tell(chain);
        } else if (joined.get().excursion().toEnd()) {
          going.add(joined.get());
          continued = true;
        } else {
          tell(joined.get());
        }
      }
      if (!continued && !held.excursions().isEmpty()) {
        Excursion last = held.excursions().get(held.excursions().size() - 1);
        if (last.toEnd()) {
          going.add(new Chain(last, held, held, 1, held.tolerated(), told(last, held)));
        }
      }
      open = going;
    }
    open.forEach(this::tell);
  }

  private List<Held> held() {
    List<Held> all = new ArrayList<>();
    for (Steady steady : run.steady(measured -> measured == log.channel().measured())) {
      if (log.channel().meantBy(steady.setPoint())) {
        Band band = new Band(steady.setPoint(), log.channel(), cure.barometer());
        Course course = run.course(log, steady);
        all.add(new Held(steady, band, course.unseen() ? List.of() : course.outside(band)));
      }
    }
    return all;
  }

  private static boolean told(Excursion excursion, Held held) {
    return excursion.provenBeyond(held.tolerated()) || excursion.possibleBeyond(held.tolerated());
  }

  /** The excursion with what goes on from it; empty where it ends at the mark. */
  private Optional<Chain> joined(Chain chain, Held next) {
    Steady before = chain.last().steady();
    if (!next.steady().open()
        || before.part().index() + 1 != next.steady().part().index()
        || before.until() != next.steady().from()
        || next.excursions().isEmpty()
        || !next.excursions().get(0).fromStart()) {
      return Optional.empty();
    }
    Excursion other = next.excursions().get(0);
    boolean across = false;
    if (chain.excursion().seen() && other.seen()) {
      if (inside(chain.last(), next)) {
        return Optional.empty();
      }
      across = known(chain.excursion().until(), other.from(), before.until());
    }
    return Optional.of(
        new Chain(
            chain.excursion().and(other, across),
            chain.first(),
            next,
            chain.parts() + 1,
            Math.max(chain.tolerated(), next.tolerated()),
            chain.told() || told(other, next)));
  }

  /** Whether the line between the samples on both sides of a mark comes back into a band there. */
  private boolean inside(Held last, Held next) {
    double mark = next.steady().from();
    int after = log.first(Math.nextUp(mark));
    if (log.channel().recording() == Recording.ON_CHANGE
        || after == 0
        || after == log.seconds().length) {
      return false;
    }
    double from = log.seconds()[after - 1];
    double share = (mark - from) / (log.seconds()[after] - from);
    double shown = log.shown()[after - 1] * (1 - share) + log.shown()[after] * share;
    return last.band().outside(shown) == 0 || next.band().outside(shown) == 0;
  }

  /** Whether a line is known from the last moment outside before a mark to the first after it. */
  private boolean known(double last, double first, double mark) {
    if (log.channel().recording() == Recording.ON_CHANGE) {
      return first - last <= Excursion.MOMENT;
    }
    int after = log.first(Math.nextUp(mark));
    return after > 0
        && after < log.seconds().length
        && log.seconds()[after - 1] == last
        && log.seconds()[after] == first
        && first - last <= run.largestGap() + Excursion.MOMENT
        && !log.disputed(last, first);
  }

  private void tell(Chain chain) {
    if (chain.parts() < 2 || chain.told()) {
      return;
    }
    Excursion excursion = chain.excursion();
    boolean proven = excursion.provenBeyond(chain.tolerated());
    if (!proven && !excursion.possibleBeyond(chain.tolerated())) {
      return;
    }
    double lasted = proven ? excursion.proven() : excursion.possible();
    Reason reason =
        Reason.of(
                Reason.Code.SET_POINT,
                proven ? Reason.Weight.BREACH : Reason.Weight.DOUBT,
                Words.capital(log.channel().words())
                    + (proven ? " was" : " may have been")
                    + " out of its band for "
                    + Words.seconds(lasted, chain.tolerated())
                    + " over the mark from step "
                    + chain.first().steady().part().step().name()
                    + " to step "
                    + chain.last().steady().part().step().name()
                    + ", tolerated "
                    + Words.seconds(chain.tolerated(), lasted)
                    + ".")
            .on(log.channel())
            .during(chain.first().steady().part().step().name())
            .from(cure.at(excursion.from()), cure.at(excursion.until()))
            .amount(lasted, Unit.SECOND.code())
            .wanted(chain.tolerated())
            .by(Reason.Rule.COURSE)
            .line(chain.first().steady().line())
            .done();
    reasons.add(chain.last().steady().part().proven(chain.first().steady().part().proven(reason)));
  }
}
