package org.tarebook.rejects;

import java.time.Instant;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Coded;
import org.tarebook.quantity.Kind;
import org.tarebook.spec.Characteristic;

/** Tells to which group of a question a reading belongs. Not for several threads. */
final class Groups {

  /** Stands for what a cure breached where reasons are told apart by side only. */
  private static final String NO_SIDE = "";

  /** What a group is told with where nothing can have failed in it for any reason of the answer. */
  static final Tally.Reason NONE = new Tally.Reason(null, null, NO_SIDE);

  private final Plan plan;
  private final RateQuestion question;
  private final PlantTime time;
  private final @Nullable Long stationId;
  private final boolean byLine;

  Groups(Plan plan, RateQuestion question, PlantTime time, Scope scope) {
    this.plan = plan;
    this.question = question;
    this.time = time;
    this.stationId = scope.stationId();
    this.byLine =
        asks(Dimension.LINE)
            || asks(Dimension.STATION)
            || asks(Dimension.DIE)
            || question.narrowing().die() != null;
  }

  /** What an item is judged on apart: the readings of one line, one component, one product. */
  record Part(@Nullable Long lineId, @Nullable Long componentId, @Nullable Long productId) {}

  /** The part of an item that a reading is of, for the row of a group. */
  Part part(Measured reading) {
    return new Part(byLine ? lineId(reading) : null, componentId(reading), productId(reading));
  }

  /** The part of an item that a reading is of, for the total. */
  Part partOfAll(Measured reading) {
    return new Part(question.narrowing().die() != null ? lineId(reading) : null, null, null);
  }

  /** The group of a reading, and of an item whose first judged reading it is. */
  Group of(Measured reading) {
    return new Group(
        asks(Dimension.LINE) ? plan.lines().get(lineId(reading)).code() : null,
        code(plan.components(), componentId(reading)),
        code(plan.products(), productId(reading)),
        asks(Dimension.STATION) ? plan.stations().get(reading.stationId()).code() : null,
        asks(Dimension.DIE) ? reading.die() : null,
        asks(Dimension.SHIFT) ? time.shiftAt(reading.at()).name() : null,
        question.bucket() == Bucket.NONE ? null : time.at(reading.at()));
  }

  /** Whether a reading, or an item whose first judged reading it is, is asked for. */
  boolean wants(Measured reading) {
    RateQuestion.Narrowing narrowing = question.narrowing();
    return inWindow(reading.at())
        && (stationId == null || stationId == reading.stationId())
        && (narrowing.die() == null || narrowing.die().equals(reading.die()))
        && (narrowing.shift() == null
            || narrowing.shift().equals(time.shiftAt(reading.at()).name()));
  }

  /** The buckets of the question's window; one more than so many where there are more. */
  List<Span> buckets(int most) {
    return question.bucket() == Bucket.NONE
        ? List.of()
        : time.spans(question.measuredFrom(), question.measuredBefore(), most);
  }

  /** The names of the shifts that lie in a bucket and in the window. */
  Set<String> shifts(Span bucket) {
    Instant from = bucket.from();
    Instant before = bucket.before();
    return time.shiftNames(
        from.isBefore(question.measuredFrom()) ? question.measuredFrom() : from,
        before.isAfter(question.measuredBefore()) ? question.measuredBefore() : before);
  }

  /** The shift that all items must be of; absent where any may be. */
  @Nullable String onlyShift() {
    return question.narrowing().shift();
  }

  /** The group of everything, where nothing is told apart but time. */
  boolean byTimeOnly() {
    return question.groupBy().stream()
        .allMatch(each -> each == Dimension.DIRECTION || each == Dimension.REASON);
  }

  /** Whether a reason can be found in a group where this was judged. */
  boolean possible(Tally.Reason reason, Set<Tally.Judged> judged) {
    if (reason.breach() != null) {
      return judged.contains(Tally.Judged.CURE);
    }
    Long characteristic = reason.characteristicId();
    return judged.stream()
        .anyMatch(
            each ->
                each.characteristicId() != null
                    && (characteristic == null || characteristic.equals(each.characteristicId())));
  }

  /** When the shift of a reading began. */
  Instant shiftStart(Measured reading) {
    return time.shiftAt(reading.at()).from();
  }

  /** The reason as far as it is asked for. */
  Tally.Reason reason(Measured.Reason reason) {
    boolean byReason = asks(Dimension.REASON);
    return new Tally.Reason(
        byReason ? reason.characteristicId() : null,
        byReason || asks(Dimension.DIRECTION) ? reason.direction() : null,
        byReason ? reason.breach() : byReason() && reason.breach() != null ? NO_SIDE : null);
  }

  /** Whether reasons are told apart. */
  boolean byReason() {
    return asks(Dimension.REASON) || asks(Dimension.DIRECTION);
  }

  /**
   * A reason in the words of the floor: {@code TR114-MASS light}, {@code cure SET_POINT}; absent
   * without one.
   */
  @Nullable String words(Tally.Reason reason) {
    if (reason.breach() != null && !reason.breach().equals(NO_SIDE)) {
      return "cure " + reason.breach();
    }
    if (reason.characteristicId() == null || reason.direction() == null) {
      return null;
    }
    Characteristic characteristic = plan.characteristics().get(reason.characteristicId());
    Kind kind = characteristic.unit().kind();
    return characteristic.code() + " " + reason.direction().word(kind);
  }

  private boolean inWindow(Instant moment) {
    return !moment.isBefore(question.measuredFrom()) && moment.isBefore(question.measuredBefore());
  }

  private boolean asks(Dimension dimension) {
    return question.asksFor(dimension);
  }

  private @Nullable Long componentId(Measured reading) {
    return asks(Dimension.COMPONENT) && reading.characteristicId() != null
        ? plan.characteristics().get(reading.characteristicId()).componentId()
        : null;
  }

  private @Nullable Long productId(Measured reading) {
    if (!asks(Dimension.PRODUCT)) {
      return null;
    }
    return reading.characteristicId() == null
        ? Objects.requireNonNull(reading.cure()).productId()
        : plan.characteristics().get(reading.characteristicId()).productId();
  }

  private long lineId(Measured reading) {
    return plan.stations().get(reading.stationId()).lineId();
  }

  private static @Nullable String code(Plan.Named<? extends Coded> things, @Nullable Long id) {
    return id == null ? null : things.get(id).code();
  }
}
