package org.tarebook.plant;

import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.quantity.Unit;

/** Units named in requests. */
public final class Units {

  private Units() {}

  /** The unit a member names, refused with the place if there is none. */
  public static Unit require(String code, String pointer) {
    try {
      return Unit.of(code);
    } catch (IllegalArgumentException unknown) {
      throw Problem.at(ProblemType.UNKNOWN_CODE, pointer, String.valueOf(unknown.getMessage()));
    }
  }

  /** The unit a member names, refused if it is not of the kind of another. */
  public static Unit requireOfKind(String code, Unit kind, String pointer) {
    Unit unit = require(code, pointer);
    if (!unit.sameKindAs(kind)) {
      throw Problem.at(
          ProblemType.UNIT_MISMATCH,
          pointer,
          "is a unit of "
              + unit.kind().label()
              + "; wanted is one of "
              + kind.kind().label()
              + ", such as "
              + kind.code());
    }
    return unit;
  }
}
