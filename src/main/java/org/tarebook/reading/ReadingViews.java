package org.tarebook.reading;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Station;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Judgement;
import org.tarebook.quantity.Side;
import org.tarebook.spec.Characteristic;
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
    Map<Long, List<Notice>> noted = notices.of(plan, known);
    List<ReadingView> views = new ArrayList<>();
    for (Facts.Fact fact : known) {
      views.add(view(plan, fact, noted.getOrDefault(fact.reading().id(), List.of())));
    }
    return views;
  }

  /** The values taken together in one event as one answer: the first, with the others inside. */
  ReadingView ofEvent(Plan plan, List<Reading> event) {
    List<ReadingView> views = of(plan, event);
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
    Judgement judgement =
        specification == null || shown.value() == null
            ? null
            : specification.limits().tolerance().judge(shown.value(), shown.unit());
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
        shown.unit().code(),
        shown.gross(),
        shown.tare(),
        shown.flags(),
        event.measuredAt(),
        event.recordedAt(),
        circumstances.phase(),
        circumstances.die(),
        circumstances.lot(),
        circumstances.operator(),
        circumstances.counter(),
        circumstances.item(),
        circumstances.truck(),
        circumstances.leaf(),
        event.postedBy(),
        judged.result(),
        judged.direction(),
        judged.notJudged(),
        words(characteristic, shown, judged, specification, judgement),
        specification == null ? null : limits(specification),
        judgement == null ? null : Decimals.of(judgement.margin()),
        judgement == null ? null : judgement.nearest(),
        judgement == null ? null : Decimals.of(judgement.value()),
        standing(fact),
        fact.successors(),
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
        limits.roundingInterval());
  }

  private static String words(
      Characteristic characteristic,
      Reading.Shown shown,
      Reading.Judged judged,
      @Nullable Specification specification,
      @Nullable Judgement judgement) {
    if (specification == null || judgement == null) {
      return "NOT JUDGED: "
          + (judged.notJudged() == null ? "it showed no value" : judged.notJudged().words())
          + ".";
    }
    String unit = specification.limits().unit().label();
    String head =
        judged.direction() == null
            ? judged.result().name()
            : judged.result() + ", " + judged.direction().word(characteristic.unit().kind());
    String compared =
        judgement.rounded() != null
            ? shown.value()
                + " "
                + shown.unit().label()
                + " is rounded to "
                + judgement.rounded().toPlainString()
                + " "
                + unit
                + ", "
            : shown.unit() == specification.limits().unit()
                ? shown.value() + " " + unit + " is "
                : shown.value()
                    + " "
                    + shown.unit().label()
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
    if (margin.signum() == 0) {
      return head + ": " + compared + "on the " + limit + ".";
    }
    boolean lower = judgement.nearest() == Side.LOWER;
    String side = (margin.signum() > 0) == lower ? " above the " : " below the ";
    return head + ": " + compared + shortened(margin.abs()) + " " + unit + side + limit + ".";
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
