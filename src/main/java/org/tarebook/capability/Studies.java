package org.tarebook.capability;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.check.InstrumentChecks;
import org.tarebook.control.ChartedWindows;
import org.tarebook.control.Excluded;
import org.tarebook.control.Flags;
import org.tarebook.control.LimitsInForce;
import org.tarebook.control.NotComputed;
import org.tarebook.control.Part;
import org.tarebook.control.StudyWindow;
import org.tarebook.control.SummarisedWindow;
import org.tarebook.control.Summary;
import org.tarebook.control.WithinSigma;
import org.tarebook.plant.Instrument;
import org.tarebook.reading.AsOf;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.reading.ReadingWindow.Row;
import org.tarebook.segment.SegmentedWindows;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.Revisions;
import org.tarebook.spec.Specification;
import org.tarebook.stats.Estimator;
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
  private final WriteLocks locks;
  private final Transactions transactions;

  Studies(
      ChartedWindows windows,
      SegmentedWindows segmented,
      Flags flags,
      Stability stability,
      InstrumentChecks checks,
      Plans plans,
      WriteLocks locks,
      Transactions transactions) {
    this.windows = windows;
    this.segmented = segmented;
    this.flags = flags;
    this.stability = stability;
    this.checks = checks;
    this.plans = plans;
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
   * @param method how indices are made
   * @param seed of resampling, for {@link Method#EMPIRICAL}
   * @param asOf the moment as of which the record is looked at; absent for now
   */
  public record Question(
      StudyWindow window,
      @Nullable String stratum,
      @Nullable Estimator estimator,
      @Nullable Double confidence,
      boolean evenIfNotInControl,
      Method method,
      long seed,
      @Nullable Instant asOf) {}

  /** Studies charts, all on one picture of the record. */
  public List<Study> of(List<Chart> charts, Question question) {
    for (Chart chart : charts) {
      WithinSigma.require(chart, question.estimator(), "estimator");
      stability.chance(chart.cut()); // simulated before the snapshot, which must not wait for it
    }
    return transactions.snapshot(
        () -> {
          Plan plan = plans.current();
          Verified verified = new Verified(plan);
          return charts.stream()
              .map(
                  chart ->
                      study(plan, verified, chart, question, windows.asOf(chart, question.asOf())))
              .toList();
        });
  }

  /** Studies one chart as of a version of its lock and a moment, in the caller's transaction. */
  Study asOf(Chart chart, Question question, AsOf asOf) {
    Plan plan = plans.current();
    return study(plan, new Verified(plan), chart, question, asOf);
  }

  private Study.State state(SummarisedWindow window) {
    AsOf asOf = window.asked().asOf();
    return asOf.isNow()
        ? new Study.State(locks.version(window.asked().chart().id()), null, null)
        : new Study.State(asOf.version(), asOf.moment(), changedSince(window));
  }

  /** What was written since; a part that was kept has not changed. */
  private long changedSince(SummarisedWindow window) {
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
    limits.all().forEach(set -> apart.add(set.inForceFrom()));
    return apart;
  }

  /** From when on instruments are not verified, each line's asked for once. */
  private final class Verified {

    private final Plan plan;
    private final Set<Long> known = new HashSet<>();
    private final Map<Long, Instant> since = new HashMap<>();

    Verified(Plan plan) {
      this.plan = plan;
    }

    /** Of the instruments that stand at a line. */
    Map<Long, Instant> since(long lineId) {
      return since(
          plan.instruments().all().stream()
              .filter(each -> plan.stations().get(each.stationId()).lineId() == lineId)
              .map(Instrument::id)
              .collect(Collectors.toSet()));
    }

    /** Of some instruments; those that are verified are left out. */
    Map<Long, Instant> since(Set<Long> instruments) {
      Set<Long> unknown = new HashSet<>(instruments);
      unknown.removeAll(known);
      checks
          .states(plan, unknown)
          .forEach((id, state) -> state.unverifiedFrom().ifPresent(from -> since.put(id, from)));
      known.addAll(unknown);
      Map<Long, Instant> wanted = new HashMap<>(since);
      wanted.keySet().retainAll(instruments);
      return wanted;
    }
  }

  private Study study(Plan plan, Verified verified, Chart chart, Question question, AsOf asOf) {
    Characteristic characteristic = plan.characteristics().get(chart.characteristicId());
    ReadingWindow.Asked asked =
        new ReadingWindow.Asked(chart, question.window().from(), question.window().before(), asOf);
    LimitsInForce inForce = stability.limits(asked);
    Map<Long, Instant> since = asOf.isNow() ? verified.since(chart.lineId()) : Map.of();
    SummarisedWindow window =
        segmented.read(plan, asked, question.stratum(), apart(inForce, since.values()));
    Estimator estimator = WithinSigma.require(chart, question.estimator(), "estimator");
    Optional<SigmaEstimate> within = window.within(estimator);
    StudyLimits limits = new StudyLimits(characteristic, window);
    Double wanted = question.confidence();
    double sure = wanted == null ? chart.usual().confidence() : wanted;
    Optional<Study.InControl> control = stability.judge(window, inForce, estimator);
    Figures figures =
        new Figures(question, sure, characteristic, window, within, limits, control).compute();
    return new Study(
        chart.code(),
        characteristic.code(),
        plan.lines().get(chart.lineId()).code(),
        question.stratum(),
        window.unit().code(),
        sure,
        state(window),
        new Study.Counts(
            window.summary().readings(),
            window.points(),
            window.incomplete(),
            asOf.isNow() ? (Long) unverified(plan, verified, window) : null,
            Excluded.list(window.summary().uncounted())),
        limits.shown(),
        revisions(plan.revisions(characteristic), asked),
        control.orElse(null),
        figures.mean(),
        figures.sigmaWithin(),
        figures.sigmaTotal(),
        figures.notInControl(),
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
        figures.flags(flags.of(plan, window, within)),
        missing(figures, asOf));
  }

  private static List<NotComputed> missing(Figures figures, AsOf asOf) {
    List<NotComputed> missing = new ArrayList<>(figures.missing());
    if (!asOf.isNow()) {
      missing.add(
          new NotComputed(
              "counts.unverified",
              NotComputed.Reason.KNOWN_NOW_ONLY,
              "Which checks were overdue is known as of now only."));
    }
    return missing;
  }

  private static List<Study.Revision> revisions(Revisions all, ReadingWindow.Asked asked) {
    Revisions standing = all.asOf(asked.asOf().moment());
    List<Study.Revision> revisions = new ArrayList<>();
    for (Specification each : standing.standing()) {
      Instant end = standing.endOf(each);
      if (each.validFrom().isBefore(asked.before()) && (end == null || end.isAfter(asked.from()))) {
        revisions.add(new Study.Revision(each.revision(), each.validFrom(), end));
      }
    }
    return revisions;
  }

  private long unverified(Plan plan, Verified verified, SummarisedWindow window) {
    Set<Long> instruments = new HashSet<>();
    window.summary().shown().keySet().stream()
        .flatMap(source -> Optional.ofNullable(source.instrument()).stream())
        .forEach(instruments::add);
    Map<Long, Instant> since = verified.since(instruments);
    return window.parts().stream().mapToLong(part -> unverified(plan, window, part, since)).sum();
  }

  private long unverified(Plan plan, SummarisedWindow window, Part part, Map<Long, Instant> since) {
    long count = 0;
    for (Map.Entry<Summary.Source, Summary.Shown> each : part.summary().shown().entrySet()) {
      Summary.Shown shown = each.getValue();
      Instant from = since.get(each.getKey().instrument());
      if (from != null && shown.first().isBefore(from) && !shown.last().isBefore(from)) {
        ReadingWindow.Asked own = window.asked().over(part.from(), part.before());
        return windows.read(plan, own, window.stratum()).readings().stream()
            .filter(row -> isUnverified(row, since))
            .count();
      }
      count += from == null || shown.first().isBefore(from) ? 0 : shown.values().count();
    }
    return count;
  }

  private static boolean isUnverified(Row row, Map<Long, Instant> since) {
    Instant from = since.get(row.instrumentId());
    return from != null && !row.measuredAt().isBefore(from);
  }
}
