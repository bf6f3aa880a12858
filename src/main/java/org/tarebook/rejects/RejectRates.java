package org.tarebook.rejects;

import java.time.Clock;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Predicate;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Service;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.chart.Unsettled;
import org.tarebook.check.InstrumentChecks;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Coded;
import org.tarebook.plant.ShiftCalendars;
import org.tarebook.reading.AsOf;
import org.tarebook.reading.Direction;
import org.tarebook.stats.ClusteredShare;
import org.tarebook.stats.MethodRevision;
import org.tarebook.stats.Overdispersion;
import org.tarebook.stats.Proportion;
import org.tarebook.storage.Transactions;

/** The reject rates of the plant: items with a failed characteristic over items judged. */
@Service
public class RejectRates {

  private static final List<String> DEFINITIONS =
      List.of(
          "An item is what bears one number or lies in one place on a truck; without a name it is"
              + " one posting with those that declare to remeasure it. It counts where, and in the"
              + " bucket in which, its first judged reading lies, once for each line, component and"
              + " product told apart (station and die are told apart on each line).",
          "First pass: the first judged reading of each characteristic; final: the last, even if it"
              + " was measured after the window. An item is rejected if any of these failed.",
          "A conditional result is no reject.",
          "Voided, replaced and not judged readings, and those outside running production take no"
              + " part and are counted apart, each under the first of these causes.",
          "A judged reading counts although a check later finds its instrument doubtful: what was"
              + " rejected was rejected, and what was accepted was looked at. judgedSuspect,"
              + " rejectedSuspect and firstPassRejectedSuspect say how many rest on such a reading;"
              + " includeSuspect=false leaves these readings out. They take no part in capability"
              + " and control charts.",
          "Results unverified because a check is overdue are counted in, and told.",
          "A cavity of a press load is the cure of the tyre in it, or of an item of its own where the"
              + " tyre bears no number. It counts when its load was closed, on the line of its press,"
              + " with the cavity as die, by its standing verdict: a later verdict on the load takes"
              + " its place and is the same pass, a second cure is a second pass. Verdicts NOT_JUDGED,"
              + " and loads without a log, are counted apart; a load that was not closed stands where"
              + " it began. A cure has no characteristic and no component, and the product of its"
              + " schedule.",
          "Tyres of one load are not independent: where loads hold several of the items, interval is"
              + " made of effectiveItems, items over the design effect of loads (Rao and Scott,"
              + " Biometrics 48, 1992) with Student's t (Korn"
              + " and Graubard, Survey Methodology 24, 1998) of one degree of freedom more than loads"
              + " with a reject, and at most one less than loads; an item that was not cured is a load of"
              + " its own. Where nothing or everything was rejected, a load counts as if its tyres had"
              + " one fate.",
          "By direction or reason: items that failed so over all items judged in the group; an item"
              + " may stand under several reasons, so shares need not add up. A group has a row for"
              + " every reason of the answer whose characteristic was judged in it, or whose cures; one"
              + " without such a reason has a row without one. A cure has no direction.",
          "With a bucket every group has a row for each bucket of the window, whether or not anything"
              + " was in it; by name of shift, only for buckets with such a shift.",
          "betweenShifts: Wilson's score interval, widened by the dispersion between shifts and"
              + " Student's t with one degree of freedom less than shifts, and no less than loads widen it.");

  private static final Comparator<@Nullable String> WORD =
      Comparator.nullsFirst(Comparator.naturalOrder());

  private static final Comparator<RateAnswer.Row> ORDER =
      Comparator.comparing(RateAnswer.Row::line, WORD)
          .thenComparing(RateAnswer.Row::component, WORD)
          .thenComparing(RateAnswer.Row::product, WORD)
          .thenComparing(RateAnswer.Row::station, WORD)
          .thenComparing(RateAnswer.Row::die, WORD)
          .thenComparing(RateAnswer.Row::shift, WORD)
          .thenComparing(
              RateAnswer.Row::direction,
              Comparator.nullsFirst(Comparator.<Direction>naturalOrder()))
          .thenComparing(RateAnswer.Row::reason, WORD)
          .thenComparing(row -> row.bucket() == null ? Instant.MIN : row.bucket().from());

  private final Transactions transactions;
  private final Plans plans;
  private final ShiftCalendars calendars;
  private final InstrumentChecks checks;
  private final RejectStore store;
  private final Clock clock;

  RejectRates(
      Transactions transactions,
      Plans plans,
      ShiftCalendars calendars,
      InstrumentChecks checks,
      RejectStore store,
      Clock clock) {
    this.transactions = transactions;
    this.plans = plans;
    this.calendars = calendars;
    this.checks = checks;
    this.store = store;
    this.clock = clock;
  }

  /**
   * Answers a question, all of it on one picture of the record.
   *
   * @throws org.tarebook.http.Problem where it names what is not recorded, or gives too many rows
   */
  public RateAnswer of(RateQuestion question) {
    return transactions.snapshot(() -> read(question, true));
  }

  /** Answers a question as {@link #of} does, without the buckets in which nothing was. */
  RateAnswer ofBucketsInUse(RateQuestion question) {
    return transactions.snapshot(() -> read(question, false));
  }

  /**
   * What was counted in all for each of several questions, all of them on one picture of the
   * record.
   *
   * @throws org.tarebook.http.Problem where one names what is not recorded
   */
  List<Total> totals(List<RateQuestion> questions) {
    return transactions.snapshot(
        () -> {
          Plan now = plans.current();
          return questions.stream().map(each -> counted(asAsked(now, each), each).total()).toList();
        });
  }

  /**
   * What was counted in all.
   *
   * @param changedSince readings of the window that changed since the moment asked for; absent for
   *     now
   * @param unsettled what long work was changing; absent where nothing was
   */
  record Total(Tally tally, @Nullable Long changedSince, @Nullable Unsettled unsettled) {}

  private record Counted(
      Groups groups, Tallies tallies, @Nullable Long changedSince, @Nullable Unsettled unsettled) {
    Total total() {
      return new Total(tallies.total(), changedSince, unsettled);
    }
  }

  private Plan asAsked(Plan now, RateQuestion question) {
    Instant asOf = question.asOf();
    return asOf == null ? now : plans.asOf(now, asOf);
  }

  private Counted counted(Plan plan, RateQuestion question) {
    Scope scope = Scope.of(plan, question.narrowing(), calendars.all());
    PlantTime time = new PlantTime(plan.shifts(), question.bucket());
    Groups groups = new Groups(plan, question, time, scope);
    Instant asOf = question.asOf();
    RejectStore.Asked asked =
        store.asked(question.measuredFrom(), question.measuredBefore(), scope, asOf);
    if (asOf != null) {
      AsOf.requireReached(asOf, clock.instant());
      requireKnown(asOf, asked.presses());
    }
    Tallies tallies =
        new Tallies(
            groups, question.includeSuspect(), asOf == null ? unverified(plan) : reading -> false);
    store.items(asked, tallies::add);
    return new Counted(
        groups,
        tallies,
        asOf == null ? null : (Long) store.changedSince(asked),
        unsettled(plan, scope));
  }

  private void requireKnown(Instant asOf, List<Long> presses) {
    if (!store.knows(asOf, List.of())) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "asOf",
          "is "
              + asOf
              + ", before anything is known of how all charts stood; ask for a later moment");
    }
    if (!presses.isEmpty() && !store.knows(asOf, presses)) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "asOf",
          "is "
              + asOf
              + ", before anything is known of how all cures stood; ask for a later moment, or narrow"
              + " to a line, component or characteristic without cures");
    }
  }

  private RateAnswer read(RateQuestion question, boolean everyBucket) {
    Plan plan = asAsked(plans.current(), question);
    Counted counted = counted(plan, question);
    Groups groups = counted.groups();
    Tallies tallies = counted.tallies();
    List<RateAnswer.Row> rows = new ArrayList<>();
    if (everyBucket) {
      tallies.addEmptyBuckets();
    }
    Map<Group, Set<Tally.Reason>> reasons = tallies.reasons();
    tallies
        .byGroup()
        .forEach(
            (group, tally) ->
                reasons
                    .getOrDefault(group, Set.of())
                    .forEach(reason -> rows.add(row(question, groups, group, tally, reason))));
    rows.sort(ORDER);
    return new RateAnswer(
        question.measuredFrom(),
        question.measuredBefore(),
        plan.shifts().zoneOn(question.measuredFrom()).getId(),
        new TreeSet<>(question.groupBy()),
        question.bucket(),
        question.confidence(),
        question.method(),
        MethodRevision.NOW,
        question.includeSuspect(),
        definitions(question.method()),
        rows,
        row(question, groups, Group.ALL, tallies.total(), Tally.Reason.ANY),
        question.asOf(),
        counted.changedSince(),
        counted.unsettled());
  }

  private static @Nullable Unsettled unsettled(Plan plan, Scope scope) {
    Collection<Long> asked = scope.characteristicIds();
    return plan.unsettled(
        instrument ->
            (scope.stationIds() == null || scope.stationIds().contains(instrument.stationId()))
                && (scope.characteristicIds() == null
                    || scope.characteristicIds().stream()
                        .map(id -> plan.characteristics().get(id).unit())
                        .anyMatch(instrument.unit()::sameKindAs)),
        characteristic -> asked == null || asked.contains(characteristic.id()));
  }

  private Predicate<Measured> unverified(Plan plan) {
    Map<Long, Instant> due = new HashMap<>();
    checks
        .states(plan, plan.instruments().all().stream().map(Coded::id).toList())
        .forEach((id, state) -> state.unverifiedFrom().ifPresent(from -> due.put(id, from)));
    return reading -> {
      Instant from = reading.instrumentId() == null ? null : due.get(reading.instrumentId());
      return from != null && !reading.at().isBefore(from);
    };
  }

  private static RateAnswer.Row row(
      RateQuestion question, Groups groups, Group group, Tally tally, Tally.Reason reason) {
    Tally.Failures failures = tally.failures(reason);
    return new RateAnswer.Row(
        group.line(),
        group.component(),
        group.product(),
        group.station(),
        group.die(),
        group.shift(),
        question.asksFor(Dimension.DIRECTION) ? reason.direction() : null,
        groups.words(reason),
        period(question, group.bucket()),
        tally.judged(),
        failures.rejected(),
        failures.firstPassRejected(),
        tally.judgedSuspect(),
        failures.rejectedSuspect(),
        failures.firstPassRejectedSuspect(),
        rate(tally.rejectedByShift(reason), tally.rejectedByLoad(reason), question),
        rate(
            tally.firstPassRejectedByShift(reason),
            tally.firstPassRejectedByLoad(reason),
            question),
        tally.conditional(),
        tally.passAfterFail(),
        tally.cavities(),
        tally.apart(Apart.CURE_NOT_JUDGED),
        tally.apart(Apart.CURE_WITHOUT_LOG),
        tally.curedAgain(),
        tally.readings(),
        tally.remeasured(),
        question.asOf() == null ? (Long) tally.unverified() : null,
        tally.apart(Apart.NOT_JUDGED),
        tally.apart(Apart.VOIDED),
        tally.apart(Apart.REPLACED),
        tally.apart(Apart.NOT_RUNNING),
        tally.apart(Apart.INSTRUMENT_SUSPECT));
  }

  private static RateAnswer.@Nullable Period period(RateQuestion question, @Nullable Span bucket) {
    return bucket == null
        ? null
        : new RateAnswer.Period(
            bucket.from(),
            bucket.before(),
            bucket.label(),
            bucket.within(question.measuredFrom(), question.measuredBefore()));
  }

  private static List<String> definitions(IntervalMethod method) {
    List<String> all = new ArrayList<>(DEFINITIONS);
    all.add("interval: " + method.words() + ", as if items, or effectiveItems, were independent.");
    return all;
  }

  /** The share of items counted in shifts, with both intervals. */
  private static RateAnswer.Rate rate(
      List<Proportion.Count> shifts, Optional<ClusteredShare> loads, RateQuestion question) {
    double confidence = question.confidence();
    if (shifts.isEmpty()) {
      return new RateAnswer.Rate(null, null, null, null, RateAnswer.NotComputed.NOTHING_JUDGED);
    }
    Proportion.Count all =
        new Proportion.Count(
            shifts.stream().mapToLong(Proportion.Count::counted).sum(),
            shifts.stream().mapToLong(Proportion.Count::total).sum());
    Double effective = loads.flatMap(found -> found.effectiveTotal(confidence)).orElse(null);
    double least = loads.map(ClusteredShare::designEffect).orElse(1.0);
    RateAnswer.BetweenShifts between =
        RateAnswer.BetweenShifts.of(Overdispersion.of(shifts), least, confidence);
    return new RateAnswer.Rate(
        all.share(),
        question.method().of(all, loads, confidence).orElse(null),
        effective,
        between,
        loads.isPresent() && effective == null ? RateAnswer.NotComputed.ONE_LOAD : null);
  }
}
