package org.tarebook.segment;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.springframework.stereotype.Component;
import org.tarebook.chart.Chart;
import org.tarebook.chart.Plan;
import org.tarebook.chart.Plans;
import org.tarebook.control.ChartedWindow;
import org.tarebook.control.ChartedWindows;
import org.tarebook.control.Summary;
import org.tarebook.reading.ReadingWindow;
import org.tarebook.reading.Readings;
import org.tarebook.storage.Transactions;

/** Compares segments with the readings they stand for. */
@Component
class SegmentCheck {

  private static final Instant FAR = Instant.parse("2200-01-01T00:00:00Z");

  private final SegmentStore store;
  private final ChartedWindows windows;
  private final Readings readings;
  private final Plans plans;
  private final Transactions transactions;

  SegmentCheck(
      SegmentStore store,
      ChartedWindows windows,
      Readings readings,
      Plans plans,
      Transactions transactions) {
    this.store = store;
    this.windows = windows;
    this.readings = readings;
    this.plans = plans;
    this.transactions = transactions;
  }

  /**
   * What was compared.
   *
   * @param segments how many were compared
   * @param stale how many wait to be built again, and are not used meanwhile
   * @param differences a sentence for each that is wrong
   */
  record Found(long segments, long stale, List<String> differences) {
    Found plus(Found other) {
      List<String> all = new ArrayList<>(differences);
      all.addAll(other.differences);
      return new Found(segments + other.segments, stale + other.stale, all);
    }
  }

  /** Compares the segments of a chart, each month on one picture of the record. */
  Found check(Chart chart) {
    Found found = new Found(0, 0, List.of());
    Instant cursor = Instant.EPOCH;
    while (cursor.isBefore(FAR)) {
      Instant from = cursor;
      Checked checked = transactions.snapshot(() -> next(chart, from));
      found = found.plus(checked.found());
      cursor = checked.before();
    }
    return found;
  }

  private record Checked(Found found, Instant before) {}

  /** Compares the next month that has readings or segments. */
  private Checked next(Chart chart, Instant from) {
    Plan plan = plans.current();
    SegmentStore.Edge edge = store.edge(chart.id());
    Instant built = edge.before();
    if (built == null || !built.isAfter(from) || !plan.shifts().digest().equals(edge.calendar())) {
      return new Checked(new Found(0, 0, List.of()), FAR);
    }
    Instant first = readings.firstOf(new ReadingWindow.Asked(chart, from, built));
    Instant begin = store.firstStart(chart.id(), from).orElse(first);
    if (begin == null) {
      return new Checked(new Found(0, 0, List.of()), FAR);
    }
    begin = first != null && first.isBefore(begin) ? first : begin;
    Month month = Month.of(plan.shifts(), begin);
    Instant end = month.ends().isBefore(built) ? month.ends() : built;
    return new Checked(compare(plan, chart, month, end), end);
  }

  private Found compare(Plan plan, Chart chart, Month month, Instant end) {
    List<Segment> shifts = store.find(chart.id(), Segment.Span.SHIFT, month.starts(), end);
    List<Segment> months = store.find(chart.id(), Segment.Span.MONTH, month.starts(), end);
    List<String> differences = new ArrayList<>();
    Summary all = Summary.EMPTY;
    Instant shown = month.starts();
    for (Segment each : shifts) {
      nothingBetween(chart, shown, each.starts(), differences);
      shown = each.ends();
      ChartedWindow window =
          windows.readRecord(plan, new ReadingWindow.Asked(chart, each.starts(), each.ends()));
      Summary real = windows.summary(plan, window);
      all = all.plus(real);
      same(chart, each, real, differences);
      keepsTheSame(plan, window, differences);
    }
    nothingBetween(chart, shown, end, differences);
    for (Segment each : months) {
      same(chart, each, all, differences);
    }
    long stale = Stream.concat(shifts.stream(), months.stream()).filter(Segment::stale).count();
    return new Found(shifts.size() + months.size() - stale, stale, differences);
  }

  private void keepsTheSame(Plan plan, ChartedWindow shift, List<String> differences) {
    ReadingWindow.Asked asked = shift.asked();
    for (SegmentStore.KeptShift each : store.kept(asked, plan.shifts().digest()).shifts()) {
      byte[] kept = each.readings();
      if (kept != null
          && PackedReadings.readable(kept)
          && !PackedReadings.unpack(kept).equals(shift.readings())) {
        differences.add(
            "%s: the segment of the shift from %s keeps other readings than the record holds."
                .formatted(asked.chart().code(), each.starts()));
      }
    }
  }

  private void nothingBetween(Chart chart, Instant from, Instant before, List<String> differences) {
    if (from.isBefore(before)) {
      Instant first = readings.firstOf(new ReadingWindow.Asked(chart, from, before));
      if (first != null) {
        differences.add(
            "%s: the shift that holds %s has readings and no segment."
                .formatted(chart.code(), first));
      }
    }
  }

  private static void same(Chart chart, Segment kept, Summary real, List<String> differences) {
    Summary summary = kept.summary();
    if (!kept.stale() && !summary.equals(real)) {
      differences.add(
          "%s: the segment of the %s from %s holds %d readings and %d points, the record %d and %d%s."
              .formatted(
                  chart.code(),
                  kept.span() == Segment.Span.SHIFT ? "shift" : "month",
                  kept.starts(),
                  summary.readings(),
                  summary.together().count(),
                  real.readings(),
                  real.together().count(),
                  summary.readings() == real.readings() ? "; their figures differ" : ""));
    }
  }
}
