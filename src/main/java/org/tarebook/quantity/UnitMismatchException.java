package org.tarebook.quantity;

/** A value was to be converted into a unit that measures something else. */
public final class UnitMismatchException extends IllegalArgumentException {

  private final Unit from;
  private final Unit to;

  /** Names both units and what they measure. */
  public UnitMismatchException(Unit from, Unit to) {
    super(
        "a value in '%s' (%s) cannot be converted to '%s' (%s); use a unit of %s"
            .formatted(
                from.code(), from.kind().label(), to.code(), to.kind().label(), to.kind().label()));
    this.from = from;
    this.to = to;
  }

  /** Returns the unit of the value. */
  public Unit from() {
    return from;
  }

  /** Returns the unit that was asked for. */
  public Unit to() {
    return to;
  }
}
