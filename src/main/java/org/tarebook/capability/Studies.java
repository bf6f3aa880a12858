package org.tarebook.capability;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.chart.Unsettled;
import org.tarebook.check.InstrumentChecks;
import org.tarebook.control.ChartedWindows;
import org.tarebook.control.Excluded;
import org.tarebook.control.Flag;
import org.tarebook.control.Flags;
import org.tarebook.control.LimitSets;
import org.tarebook.control.LimitsInForce;
import org.tarebook.control.NotComputed;
import org.tarebook.control.Part;
import org.tarebook.control.StudyWindow;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.control.WithinSigma;
import org.tarebook.reading.AsOf;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.segment.BuiltSegments;
import org.tarebook.segment.SegmentedWindows;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Revisions;
import org.tarebook.spec.Specification;
import org.tarebook.stats.Estimator;
import org.tarebook.stats.MethodRevision;
import org.tarebook.stats.SigmaEstimate;
import org.tarebook.storage.Transactions;
import org.tarebook.storage.WriteLocks;

/** Capability studies of charts. */
@Service
public class Studies {

  private final ChartedWindows windows;
  private final SegmentedWindows segmented;
  private final Flags flags;
  private final Stability stability;
  private final InstrumentChecks checks;
  private final Plans plans;
  private final LimitSets limitSets;
  private final WriteLocks locks;
  private final Transactions transactions;

  Studies(
      ChartedWindows windows,
      SegmentedWindows segmented,
      Flags flags,
      Stability stability,
      InstrumentChecks checks,
      Plans plans,
      LimitSets limitSets,
      WriteLocks locks,
      Transactions transactions) {
    this.windows = windows;
    this.segmented = segmented;
    this.flags = flags;
    this.stability = stability;
    this.checks = checks;
    this.plans = plans;
    this.limitSets = limitSets;
    this.locks = locks;
    this.transactions = transactions;
  }

  /**
   * How charts are to be studied.
   *
   * @param stratum the one stratum studied; absent for all
   * @param estimator of the sigma within subgroups; absent for the usual one of each chart
   * @param confidence of every interval, such as 0.95; absent for that of each chart's row
   * @param evenIfNotInControl whether Cp to Cpl are wanted of a process that is not in control
   * @param mixture whether Cp to Cpl are wanted of several streams together too
   * @param method how indices are made
   * @param asOf the moment as of which the record is looked at; absent for now
   */
  public record Question(
      StudyWindow window,
      @Nullable String stratum,
      @Nullable Estimator estimator,
      @Nullable Double confidence,
      boolean evenIfNotInControl,
      boolean mixture,
      Method method,
      @Nullable Instant asOf) {}

  /** Studies charts, all on one picture of the record. */
  public List<Study> of(List<Chart> charts, Question question) {
    if (charts.isEmpty()) {
      return List.of();
    }
    for (Chart chart : charts) {
      WithinSigma.require(chart, question.estimator(), "estimator");
      stability.signalledPoints(
          chart.cut()); // simulated before the snapshot, which must not wait for it
    }
    return transactions.snapshot(
        () -> {
          Instant moment = question.asOf();
          Plan now = plans.current();
          Plan plan = moment == null ? now : plans.asOf(now, AsOf.standing(moment));
          Look look = new Look(plan, charts, question);
          return charts.stream()
              .map(chart -> look.study(chart, windows.asOf(chart, question.asOf())))
              .toList();
        });
  }

  /** Studies one chart as of a version of its lock and a moment, in the caller's transaction. */
  Study asOf(Chart chart, Question question, AsOf asOf) {
    return new Look(plans.asOf(plans.current(), asOf.moment()), List.of(chart), question)
        .study(chart, asOf);
  }

  /** Studies one chart as {@link #asOf} does, from its readings alone, whatever is kept of them. */
  Study ofRecord(Chart chart, Question question, AsOf asOf) {
    return new Look(
            plans.asOf(plans.current(), asOf.moment()),
            List.of(chart),
            question,
            segmented.unbuilt())
        .study(chart, asOf);
  }

  /** What was written since; a part that was kept has not changed, unless it was cut again. */
  private long changedSince(SummarisedWindow window) {
    if (windows.cutAgainSince(window.asked(), window.asked().asOf().version())) {
      return changedSince(window.asked());
    }
    long changed = 0;
    Instant kept = window.asked().from();
    for (Part part : window.parts()) {
      if (part.kept()) {
        changed += changedSince(window.asked().over(kept, part.from()));
        kept = part.before();
      }
    }
    return changed + changedSince(window.asked().over(kept, window.asked().before()));
  }

  private long changedSince(ReadingWindow.Asked asked) {
    return asked.from().isBefore(asked.before())
        ? windows.changedSince(asked, asked.asOf().version())
        : 0;
  }

  /** Moments at which limits or the standing of an instrument change. */
  private static Set<Instant> apart(LimitsInForce limits, Collection<Instant> unverified) {
    Set<Instant> apart = new HashSet<>(unverified);
    limits.standing().forEach(set -> apart.add(set.inForceFrom()));
    return apart;
  }

  /** A look at some charts on one picture of the record; what can be is read for all at once. */
  private final class Look {

    private final Plan plan;
    private final Question question;
    private final Map<Long, LimitsInForce> limits;
    private final Map<Long, Long> versions;
    private final BuiltSegments built;
    private final Unverified unverified;

    Look(Plan plan, List<Chart> charts, Question question) {
      this(
          plan,
          charts,
          question,
          segmented.built(plan, charts, question.window().from(), question.window().before()));
    }

    Look(Plan plan, List<Chart> charts, Question question, BuiltSegments built) {
      this.plan = plan;
      this.question = question;
      this.limits = limitSets.of(charts);
      this.versions = locks.versions(charts.stream().map(Chart::id).toList());
      this.unverified = new Unverified(plan, checks, windows);
      this.built = built;
    }

    Study study(Chart chart, AsOf asOf) {
      Characteristic characteristic = plan.characteristics().get(chart.characteristicId());
      ReadingWindow.Asked asked =
          new ReadingWindow.Asked(
              chart, question.window().from(), question.window().before(), asOf);
      LimitsInForce inForce = Objects.requireNonNull(limits.get(chart.id())).asOf(asOf.version());
      Collection<Instant> overdue =
          asOf.isNow() ? unverified.since(chart.lineId()).values() : Set.of();
      SummarisedWindow window =
          segmented.read(plan, built, asked, question.stratum(), apart(inForce, overdue));
      Estimator estimator = WithinSigma.require(chart, question.estimator(), "estimator");
      Optional<SigmaEstimate> within = window.within(estimator);
      StudyLimits tolerance = new StudyLimits(characteristic, window);
      Double wanted = question.confidence();
      double sure = wanted == null ? chart.usual().confidence() : wanted;
      List<NotComputed> failed = new ArrayList<>();
      Evidence evidence =
          NotComputed.attempt(
              List.of("control"), failed, () -> stability.evidence(window, inForce));
      boolean mixed = question.stratum() == null && window.strata().size() > 1;
      List<Study.Stream> streams =
          mixed
              ? new Streams(segmented, stability, plan, question, sure, characteristic, tolerance)
                  .of(window, evidence, estimator, failed)
              : List.of();
      Optional<Study.InControl> control = stability.judge(window, evidence, estimator, failed);
      List<Flag> doubts =
          NotComputed.attempt(List.of("flags"), failed, () -> flags.of(plan, window, within));
      Figures figures =
          new Figures(
                  question, sure, characteristic, window, within, tolerance, control, mixed, failed)
              .compute();
      Revisions standing = plan.revisions(characteristic).asOf(asOf.moment());
      return new Study(
          chart.code(),
          characteristic.code(),
          plan.lines().get(chart.lineId()).code(),
          question.stratum(),
          window.unit().code(),
          sure,
          MethodRevision.NOW,
          state(window),
          new Study.Counts(
              window.summary().readings(),
              window.points(),
              window.incomplete(),
              asOf.isNow() ? (Long) unverified.count(window) : null,
              Excluded.list(window.summary().uncounted())),
          tolerance.shown(),
          revisions(standing, asked),
          window.specification().filter(used -> standing.leavesOpen(asked.from(), used)).isPresent()
              ? true
              : null,
          control.orElse(null),
          figures.mean(),
          figures.sigmaWithin(),
          figures.sigmaTotal(),
          figures.shownAlthoughNotInControl(),
          figures.method(),
          figures.within().potential(),
          figures.within().minimum(),
          figures.within().upper(),
          figures.within().lower(),
          figures.total().potential(),
          figures.total().minimum(),
          figures.total().upper(),
          figures.total().lower(),
          figures.cpm(),
          figures.counted(),
          figures.estimated(),
          streams.isEmpty() ? null : streams,
          Streams.worst(streams),
          figures.mixture(),
          figures.flags(doubts == null ? List.of() : doubts),
          missing(figures, asOf, streams));
    }

    private Study.State state(SummarisedWindow window) {
      AsOf asOf = window.asked().asOf();
      long chartId = window.asked().chart().id();
      Unsettled unsettled = plan.unsettled(window.asked().chart());
      return asOf.isNow()
          ? new Study.State(Objects.requireNonNull(versions.get(chartId)), null, null, unsettled)
          : new Study.State(asOf.version(), asOf.moment(), changedSince(window), unsettled);
    }
  }

  private static List<NotComputed> missing(Figures figures, AsOf asOf, List<Study.Stream> streams) {
    List<NotComputed> missing = new ArrayList<>(figures.missing());
    Streams.withoutCpk(streams).ifPresent(missing::add);
    if (!asOf.isNow()) {
      missing.add(
          new NotComputed(
              "counts.unverified",
              NotComputed.Reason.KNOWN_NOW_ONLY,
              "Which checks were overdue is known as of now only."));
    }
    return missing;
  }

  private static List<Study.Revision> revisions(Revisions standing, ReadingWindow.Asked asked) {
    List<Study.Revision> revisions = new ArrayList<>();
    for (Specification each : standing.standing()) {
      Instant end = standing.endOf(each);
      if (each.validFrom().isBefore(asked.before()) && (end == null || end.isAfter(asked.from()))) {
        revisions.add(new Study.Revision(each.revision(), each.validFrom(), end));
      }
    }
    return revisions;
  }
}
