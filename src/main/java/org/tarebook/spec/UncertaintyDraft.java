package org.tarebook.spec;

import java.math.BigDecimal;
import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;
import org.tarebook.plant.Repeat;
import org.tarebook.plant.Station;
import org.tarebook.quantity.Unit;
import org.tarebook.stats.measuring.CrossedStudy;

/**
 * A measuring uncertainty somebody wants recorded: stated, or to be computed from a study.
 *
 * @param expanded absent where a study is given, and only there
 */
record UncertaintyDraft(
    String key,
    Station station,
    Characteristic characteristic,
    @Nullable BigDecimal expanded,
    Unit unit,
    BigDecimal coverageFactor,
    Instant validFrom,
    String basis,
    @Nullable CrossedReadings study) {

  /** The expanded uncertainty as stated, or as the study gives it. */
  BigDecimal toRecord() {
    if (study == null && expanded != null) {
      return expanded;
    }
    if (study == null || expanded != null) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/expandedUncertainty",
          "give it, or a study to compute it from, one of the two");
    }
    CrossedStudy crossed = CrossedStudy.of(study.full("/study/parts"));
    double sd = Math.sqrt(crossed.components().truncated().measuring());
    BigDecimal found = MeasuringUncertainty.recorded(coverageFactor.doubleValue() * sd);
    if (found.signum() == 0) {
      throw Problem.at(
          ProblemType.RULE_BROKEN,
          "/study",
          "its readings do not vary, so the instrument reads too coarsely to show its uncertainty;"
              + " state expandedUncertainty, at least from the rounding to its interval");
    }
    return found;
  }

  /** Refuses another one under the same key if its content is not that of this stored one. */
  void requireSameAs(UncertaintyDraft sent, String what) {
    sent.content().requireSameAs(content(), key, what);
  }

  private Repeat content() {
    return new Repeat()
        .with("/station", station.code())
        .with("/characteristic", characteristic.code())
        .with("/expandedUncertainty", expanded)
        .with("/unit", unit.code())
        .with("/coverageFactor", coverageFactor)
        .with("/validFrom", validFrom)
        .with("/basis", basis)
        .with("/study", study == null ? null : study.words());
  }
}
