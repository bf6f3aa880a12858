package org.tarebook.reading;

import java.time.Instant;
import org.jspecify.annotations.Nullable;
import org.tarebook.chart.Chart;
import org.tarebook.quantity.Unit;

/** The readings of a chart that were measured in a window: what is asked for, and a row of it. */
public final class ReadingWindow {

  private ReadingWindow() {}

  /**
   * A window that is asked for, half-open.
   *
   * @param from first moment
   * @param before first moment after it
   * @param asOf what of the chart's record is looked at
   */
  public record Asked(Chart chart, Instant from, Instant before, AsOf asOf) {

    /** A window as it stands now. */
    public Asked(Chart chart, Instant from, Instant before) {
      this(chart, from, before, AsOf.NOW);
    }

    /** Another window of the same chart, looked at as this one is. */
    public Asked over(Instant otherFrom, Instant otherBefore) {
      return new Asked(chart, otherFrom, otherBefore, asOf);
    }
  }

  /**
   * A reading that counts.
   *
   * @param sample the name of the sample it was taken in
   * @param nanos its value, in billionths of the unit shown
   * @param decimals the decimals it was shown with
   */
  public record Row(
      long id,
      Instant measuredAt,
      @Nullable Long counter,
      long stationId,
      @Nullable Long instrumentId,
      @Nullable String die,
      @Nullable String lot,
      @Nullable String sample,
      @Nullable String operator,
      long nanos,
      int decimals,
      Unit unit) {}
}
