package org.tarebook.reading;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.apache.commons.numbers.fraction.BigFraction;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Station;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Judgement;
import org.tarebook.quantity.Side;
import org.tarebook.quantity.Tolerance;
import org.tarebook.spec.Characteristic;
import org.tarebook.spec.MeasuringUncertainty;
import org.tarebook.spec.Specification;

/** Makes answers out of readings and what was said of them. */
@Component
class ReadingViews {

  private final Facts facts;
  private final Notices notices;

  ReadingViews(Facts facts, Notices notices) {
    this.facts = facts;
    this.notices = notices;
  }

  /** The readings as answers, in the same order. */
  List<ReadingView> of(Plan plan, List<Reading> readings) {
    List<Facts.Fact> known = facts.of(readings);
    return views(plan, known, notices.of(plan, known));
  }

  private static List<ReadingView> views(
      Plan plan, List<Facts.Fact> known, Map<Long, List<Notice>> noted) {
    List<ReadingView> views = new ArrayList<>();
    for (Facts.Fact fact : known) {
      views.add(view(plan, fact, noted.getOrDefault(fact.reading().id(), List.of())));
    }
    return views;
  }

  /** The values taken together in one event as one answer: the first, with the others inside. */
  ReadingView ofEvent(Plan plan, List<Reading> event) {
    return together(of(plan, event));
  }

  /** The same of an event that was recorded a moment ago. */
  ReadingView ofRecorded(Recorded recorded, List<Reading> event) {
    Plan plan = recorded.plan();
    List<Facts.Fact> known = facts.ofRecorded(event, recorded.instruments());
    return together(views(plan, known, notices.of(plan, known, recorded.instruments())));
  }

  /**
   * What is worth knowing at once of postings that were taken in together.
   *
   * @return of each reading, by its id
   */
  Map<Long, Known> known(Recorded recorded) {
    List<Reading> fresh = new ArrayList<>();
    List<Reading> replayed = new ArrayList<>();
    for (Outcome outcome : recorded.outcomes()) {
      (outcome.replayed() ? replayed : fresh).addAll(outcome.readings());
    }
    Map<Long, Known> known = new HashMap<>();
    if (!fresh.isEmpty()) {
      List<Facts.Fact> of = facts.ofRecorded(fresh, recorded.instruments());
      add(known, of, notices.of(recorded.plan(), of, recorded.instruments()));
    }
    if (!replayed.isEmpty()) {
      List<Facts.Fact> of = facts.of(replayed);
      add(known, of, notices.of(recorded.plan(), of));
    }
    return known;
  }

  private static void add(
      Map<Long, Known> known, List<Facts.Fact> of, Map<Long, List<Notice>> noted) {
    for (Facts.Fact fact : of) {
      long id = fact.reading().id();
      known.put(id, new Known(fact, noted.getOrDefault(id, List.of())));
    }
  }

  /** A reading with what was said of it, and its notices. */
  record Known(Facts.Fact fact, List<Notice> notices) {
    String standing() {
      return ReadingViews.standing(fact);
    }
  }

  private static ReadingView together(List<ReadingView> views) {
    return views.size() == 1 ? views.get(0) : views.get(0).with(views.subList(1, views.size()));
  }

  private static ReadingView view(Plan plan, Facts.Fact fact, List<Notice> notices) {
    Reading reading = fact.reading();
    Reading.Event event = reading.event();
    Reading.Circumstances circumstances = event.circumstances();
    Reading.Shown shown = reading.shown();
    Reading.Judged judged = fact.judged();
    Station station = plan.stations().get(event.stationId());
    Characteristic characteristic = plan.characteristics().get(reading.characteristicId());
    Specification specification =
        judged.specificationId() == null ? null : plan.specification(judged.specificationId());
    MeasuringUncertainty uncertainty =
        judged.uncertaintyId() == null ? null : plan.uncertainty(judged.uncertaintyId());
    Tolerance tolerance = specification == null ? null : tolerance(specification, uncertainty);
    Judgement judgement =
        tolerance == null || shown.value() == null || judged.result() == Result.NOT_JUDGED
            ? null
            : tolerance.judge(shown.value(), shown.unit());
    Facts.Amended amended = fact.amendment();
    return new ReadingView(
        String.valueOf(reading.id()),
        event.key(),
        station.code(),
        plan.lines().get(station.lineId()).code(),
        shown.instrumentId() == null ? null : plan.instruments().get(shown.instrumentId()).code(),
        characteristic.code(),
        characteristic.componentId() == null
            ? null
            : plan.components().get(characteristic.componentId()).code(),
        characteristic.productId() == null
            ? null
            : plan.products().get(characteristic.productId()).code(),
        reading.chartId() == null ? null : plan.charts().get(reading.chartId()).code(),
        shown.value(),
        shown.censored(),
        shown.unit().code(),
        shown.gross(),
        shown.tare(),
        shown.flags(),
        event.measuredAt(),
        event.recordedAt(),
        circumstances.phase(),
        circumstances.die(),
        circumstances.lot(),
        circumstances.sample(),
        circumstances.operator(),
        circumstances.counter(),
        circumstances.item(),
        circumstances.truck(),
        circumstances.leaf(),
        event.postedBy(),
        judged.result(),
        judged.direction(),
        judged.notJudged(),
        words(characteristic, shown, fact, tolerance, judgement),
        specification == null ? null : limits(specification),
        tolerance == null || uncertainty == null ? null : guard(tolerance, uncertainty),
        judgement == null ? null : Decimals.of(judgement.margin()),
        judgement == null ? null : judgement.nearest(),
        judgement == null ? null : Decimals.of(judgement.value()),
        standing(fact),
        fact.successors(),
        restsOnWithdrawn(specification, uncertainty) ? true : null,
        reading.remeasuresId() == null ? null : String.valueOf(reading.remeasuresId()),
        amended == null
            ? null
            : new ReadingView.AmendmentView(
                amended.kind(),
                amended.replacementId() == null ? null : String.valueOf(amended.replacementId()),
                amended.reason(),
                amended.person()),
        notices,
        null);
  }

  private static boolean restsOnWithdrawn(
      @Nullable Specification specification, @Nullable MeasuringUncertainty uncertainty) {
    boolean limitsStand = specification == null || specification.stands();
    boolean uncertaintyStands = uncertainty == null || uncertainty.stands();
    return !(limitsStand && uncertaintyStands);
  }

  private static String standing(Facts.Fact fact) {
    return fact.causes().isEmpty() ? "COUNTED" : fact.causes().iterator().next().name();
  }

  private static ReadingView.Limits limits(Specification specification) {
    Specification.Limits limits = specification.limits();
    return new ReadingView.Limits(
        specification.revision(),
        limits.target(),
        limits.lower(),
        limits.upper(),
        limits.unit().code(),
        limits.roundingInterval(),
        limits.guardFactor());
  }

  private static Tolerance tolerance(
      Specification specification, @Nullable MeasuringUncertainty uncertainty) {
    return uncertainty == null
        ? specification.limits().tolerance()
        : specification.limits().tolerance(uncertainty);
  }

  private static ReadingView.Guard guard(Tolerance tolerance, MeasuringUncertainty uncertainty) {
    BigFraction lower = tolerance.acceptanceLower();
    BigFraction upper = tolerance.acceptanceUpper();
    return new ReadingView.Guard(
        String.valueOf(uncertainty.id()),
        uncertainty.revision(),
        uncertainty.expanded(),
        uncertainty.unit().code(),
        uncertainty.coverageFactor(),
        Decimals.of(tolerance.guardBand()),
        lower == null ? null : Decimals.of(lower),
        upper == null ? null : Decimals.of(upper));
  }

  private static String words(
      Characteristic characteristic,
      Reading.Shown shown,
      Facts.Fact fact,
      @Nullable Tolerance tolerance,
      @Nullable Judgement judgement) {
    Reading.Judged judged = fact.judged();
    if (tolerance == null || judgement == null) {
      return "NOT JUDGED: "
          + (judged.notJudged() == null ? "it showed no value" : judged.notJudged().words())
          + ".";
    }
    String unit = tolerance.unit().label();
    String head =
        (judged.direction() == null
                ? judged.result().name()
                : judged.result() + ", " + judged.direction().word(characteristic.unit().kind()))
            + doubted(fact);
    String more = shown.censored() == null ? "" : " " + shown.censored().words();
    String compared =
        judgement.rounded() != null
            ? shown.value()
                + " "
                + shown.unit().label()
                + more
                + " is rounded to "
                + judgement.rounded().toPlainString()
                + " "
                + unit
                + ", "
            : shown.unit() == tolerance.unit()
                ? shown.value() + " " + unit + more + " is "
                : shown.value()
                    + " "
                    + shown.unit().label()
                    + more
                    + " is "
                    + shortened(Decimals.of(judgement.value()))
                    + " "
                    + unit
                    + ", ";
    BigDecimal margin = Decimals.of(judgement.margin());
    String limit =
        (judgement.nearest() == Side.LOWER ? "lower" : "upper")
            + " limit "
            + judgement.limit()
            + " "
            + unit;
    String band =
        judged.result() == Result.CONDITIONAL
            ? ", inside the guard band of "
                + shortened(Decimals.of(tolerance.guardBand()))
                + " "
                + unit
            : "";
    if (margin.signum() == 0) {
      return head + ": " + compared + "on the " + limit + band + ".";
    }
    boolean lower = judgement.nearest() == Side.LOWER;
    String side = (margin.signum() > 0) == lower ? " above the " : " below the ";
    return head
        + ": "
        + compared
        + shortened(margin.abs())
        + " "
        + unit
        + side
        + limit
        + band
        + ".";
  }

  /** What a reading must not be relied on for, beside its result. */
  private static String doubted(Facts.Fact fact) {
    if (fact.causes().contains(Cause.INSTRUMENT_FAILED)) {
      return ", but its instrument had failed";
    }
    return fact.causes().contains(Cause.INSTRUMENT_SUSPECT) ? ", but suspect" : "";
  }

  /** A decimal for the eye only: six significant digits at most. */
  private static String shortened(BigDecimal value) {
    return value.precision() <= 6
        ? value.toPlainString()
        : value
            .round(new java.math.MathContext(6, java.math.RoundingMode.HALF_EVEN))
            .stripTrailingZeros()
            .toPlainString();
  }
}
