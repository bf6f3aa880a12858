package org.tarebook.rejects;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Plan;
import org.tarebook.plant.Coded;
import org.tarebook.quantity.Kind;
import org.tarebook.spec.Characteristic;

/** Tells to which group of a question a reading belongs. Not for several threads. */
final class Groups {

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
    Characteristic characteristic = plan.characteristics().get(reading.characteristicId());
    return new Part(
        byLine ? lineId(reading) : null,
        asks(Dimension.COMPONENT) ? characteristic.componentId() : null,
        asks(Dimension.PRODUCT) ? characteristic.productId() : null);
  }

  /** The part of an item that a reading is of, for the total. */
  Part partOfAll(Measured reading) {
    return new Part(question.narrowing().die() != null ? lineId(reading) : null, null, null);
  }

  /** The group of a reading, and of an item whose first judged reading it is. */
  Group of(Measured reading) {
    Characteristic characteristic = plan.characteristics().get(reading.characteristicId());
    Long component = asks(Dimension.COMPONENT) ? characteristic.componentId() : null;
    Long product = asks(Dimension.PRODUCT) ? characteristic.productId() : null;
    return new Group(
        asks(Dimension.LINE) ? plan.lines().get(lineId(reading)).code() : null,
        code(plan.components(), component),
        code(plan.products(), product),
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

  /** When the shift of a reading began. */
  Instant shiftStart(Measured reading) {
    return time.shiftAt(reading.at()).from();
  }

  /** The reason as far as it is asked for. */
  Tally.Reason reason(Measured.Reason reason) {
    boolean byReason = asks(Dimension.REASON);
    return new Tally.Reason(
        byReason ? (Long) reason.characteristicId() : null,
        byReason || asks(Dimension.DIRECTION) ? reason.direction() : null);
  }

  /** Whether reasons are told apart. */
  boolean byReason() {
    return asks(Dimension.REASON) || asks(Dimension.DIRECTION);
  }

  /** A reason in the words of the floor: {@code TR114-MASS light}; absent without one. */
  @Nullable String words(Tally.Reason reason) {
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

  private long lineId(Measured reading) {
    return plan.stations().get(reading.stationId()).lineId();
  }

  private static @Nullable String code(Plan.Named<? extends Coded> things, @Nullable Long id) {
    return id == null ? null : things.get(id).code();
  }
}
